package film

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

// row is one line of testdata/rows.json: a law, its inputs and the value that a
// source gives, with the significant digits that it shows.
type row struct {
	Law    string             `json:"law"`
	In     map[string]float64 `json:"in"`
	Want   float64            `json:"want"`
	Digits int                `json:"digits"`
	Source string             `json:"source"`
}

func readRows(t *testing.T) []row {
	t.Helper()
	raw, err := os.ReadFile("testdata/rows.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Rows []row }
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Rows) < 150 {
		t.Fatalf("only %d rows; some of the table is gone", len(file.Rows))
	}
	return file.Rows
}

const degree = math.Pi / 180

// ask evaluates the law of a row at its inputs.
func ask(r row) (got float64, known bool) {
	in := r.In
	switch r.Law {
	case "ChurchillChuPlate":
		return ChurchillChuPlate(in["Ra"], in["Pr"]), true
	case "ChurchillChuPlateLaminar":
		return ChurchillChuPlateLaminar(in["Ra"], in["Pr"]), true
	case "ChurchillChuCylinder":
		return ChurchillChuCylinder(in["Ra"], in["Pr"]), true
	case "HotFaceUp":
		return HotFaceUp(in["Ra"]), true
	case "HotFaceDown":
		return HotFaceDown(in["Ra"]), true
	case "Petukhov":
		return Petukhov(in["Re"]), true
	case "Filonenko":
		return Filonenko(in["Re"]), true
	case "Gnielinski":
		return Gnielinski(in["Re"], in["Pr"], in["f"]), true
	case "Gnielinski with Petukhov":
		return Gnielinski(in["Re"], in["Pr"], Petukhov(in["Re"])), true
	case "Gnielinski with Filonenko":
		return Gnielinski(in["Re"], in["Pr"], Filonenko(in["Re"])), true
	case "DittusBoelter heating":
		return DittusBoelter(in["Re"], in["Pr"], true), true
	case "DittusBoelter cooling":
		return DittusBoelter(in["Re"], in["Pr"], false), true
	case "Friction":
		const inner = 0.02 // any bore: only e/D counts
		return Friction(in["Re"], in["eD"]*inner, inner), true
	case "Colebrook":
		return Colebrook(in["Re"], in["eD"]), true
	case "Hausen":
		return Hausen(in["Re"], in["Pr"], in["D_over_L"]), true
	case "ChurchillBernstein":
		return ChurchillBernstein(in["Re"], in["Pr"]), true
	case "Hollands":
		return Hollands(in["Ra"], in["tilt_deg"]*degree), true
	case "UprightGap":
		return UprightGap(in["Ra"], in["aspect"]), true
	case "SteepGap":
		return SteepGap(in["Ra"], in["aspect"]), true
	case "GapNusselt":
		return GapNusselt(in["Ra"], in["aspect"], in["tilt_deg"]*degree), true
	case "BrownThomas":
		return BrownThomas(in["Gz"], in["Gr"]), true
	case "PlateInWind":
		return PlateInWind(in["Re"], in["Pr"]), true
	case "Grey":
		return Grey(in["e"], in["T1"], in["T2"]), true
	case "Cooper":
		return Cooper(in["q"], in["pr"], in["M_g_mol"], 1), true
	case "CooperAt":
		return CooperAt(in["dT"], in["pr"], in["M_g_mol"], in["Rp_um"]), true
	case "GungorWinterton":
		return GungorWinterton(pairOf(in), in["x"], in["G"], in["D"], in["q"]), true
	case "Kandlikar":
		return Kandlikar(pairOf(in), in["x"], in["G"], in["D"], in["q"]), true
	case "LiuWinterton":
		return LiuWinterton(pairOf(in), in["x"], in["G"], in["D"], in["q"]), true
	case "LiuWinterton with superheat":
		pair := TwoPhase{
			Liquid: Fluid{Density: in["rho_l"], Viscosity: in["mu_l"], Conductivity: in["k_l"], HeatCapacity: in["cp_l"], Prandtl: in["cp_l"] * in["mu_l"] / in["k_l"]},
			Vapour: Fluid{Density: in["rho_v"]},
		}
		pool := CooperAt(in["dT"], in["pr"], in["M_g_mol"], 1)
		G := in["m_kg_s"] / (math.Pi / 4 * in["D"] * in["D"])
		return liuWintertonWith(pair, in["x"], G, in["D"], pool), true
	case "Zuber":
		// The source's own gravity, where it gives one: q is as g^¼.
		return Zuber(pairOf(in), in["K"]) * math.Pow(gravityOf(in)/Gravity, 0.25), true
	case "Berenson":
		return Berenson(pairOf(in)), true
	case "Rohsenow":
		return Rohsenow(pairOf(in), in["dT"], in["Csf"], 1) * math.Sqrt(gravityOf(in)/Gravity), true
	case "OpenCavity":
		return OpenCavity(in["Gr"], in["Tw"], in["Ta"], in["tilt"]*degree, in["d_over_L"]), true
	case "AirAt rho":
		return AirAt(in["t_C"] + 273.15).Density, true
	case "AirAt cp":
		return AirAt(in["t_C"] + 273.15).HeatCapacity, true
	case "AirAt k":
		return AirAt(in["t_C"] + 273.15).Conductivity, true
	case "AirAt mu":
		return AirAt(in["t_C"] + 273.15).Viscosity, true
	case "AirAt Pr":
		return AirAt(in["t_C"] + 273.15).Prandtl, true
	case "Sutherland":
		return Sutherland(in["t_C"] + 273.15), true
	case "CoaxialDisks":
		return CoaxialDisks(in["r1"], in["r2"], in["L"]), true
	case "OpposedRectangles":
		return OpposedRectangles(in["a"], in["b"], in["c"]), true
	case "EdgeRectangles":
		return EdgeRectangles(in["edge"], in["w1"], in["h2"]), true
	case "Exchange":
		return Exchange(in["e1"], in["e2"], in["T1"], in["T2"]), true
	case "ConcentricCylinders":
		return ConcentricCylinders(in["e1"], in["e2"], in["r1"], in["r2"], in["T1"], in["T2"]), true
	case "ConcentricSpheres":
		return ConcentricSpheres(in["e1"], in["e2"], in["r1"], in["r2"], in["T1"], in["T2"]), true
	case "Shield", "Shield temperature":
		q, sheet := Shield(in["e1"], in["e2"], in["e3_side1"], in["e3_side2"], in["T1"], in["T2"])
		if r.Law == "Shield" {
			return q, true
		}
		return sheet, true
	case "CavityEmissivity":
		return CavityEmissivity(in["eps"], in["A_aperture"], in["A_cavity"]), true
	case "ReradiatingPair of disks":
		a1, a2 := math.Pi*in["r1"]*in["r1"], math.Pi*in["r2"]*in["r2"]
		return ReradiatingPair(in["e1"], in["e2"], a1, a2, CoaxialDisks(in["r1"], in["r2"], in["L"]), in["T1"], in["T2"]), true
	case "BlackFraction":
		return BlackFraction(in["lambdaT_umK"] * 1e-6), true
	}
	return 0, false
}

func gravityOf(in map[string]float64) float64 {
	if g := in["g"]; g > 0 {
		return g
	}
	return Gravity
}

func pairOf(in map[string]float64) TwoPhase {
	return TwoPhase{
		Liquid:          Fluid{Density: in["rl"], Viscosity: in["mu"], Conductivity: in["k"], HeatCapacity: in["cp"], Prandtl: in["Pr"]},
		Vapour:          Fluid{Density: in["rv"]},
		Latent:          in["hfg"],
		SurfaceTension:  in["sigma"],
		ReducedPressure: in["pr"],
		MolarMass:       in["M_g_mol"],
	}
}

// TestLawsMatchPublishedRows holds every correlation against its rows, to half
// a unit of the last digit given (twice that, since inputs are rounded too).
// Air is the exception: the ideal gas, the straight lines and the one factor on
// Sutherland's law stray from a table of four digits by the amounts below.
func TestLawsMatchPublishedRows(t *testing.T) {
	air := map[string]float64{
		"AirAt rho": 0.0015, // ideal gas against the table, 0.15 %
		"AirAt mu":  0.003,  // see AirAt
		"AirAt Pr":  0.005,  // the table's own Pr is off by 0.2 % from μ cp/k
	}
	seen := map[string]int{}
	for i, r := range readRows(t) {
		if r.Source == "" {
			t.Errorf("row %d (%s) has no source", i, r.Law)
		}
		got, known := ask(r)
		if !known {
			t.Errorf("row %d: no law %q", i, r.Law)
			continue
		}
		seen[r.Law]++
		rtol := math.Pow(10, 1-float64(r.Digits))
		if wide, ok := air[r.Law]; ok {
			rtol = wide
		}
		if !(math.Abs(got-r.Want) <= rtol*math.Abs(r.Want)) {
			t.Errorf("row %d: %s%v = %.10g, source gives %.10g (off by %.2g, allowed %.2g)\n  %s",
				i, r.Law, r.In, got, r.Want, got/r.Want-1, rtol, r.Source)
		}
	}
	if len(seen) < 40 {
		t.Errorf("rows cover only %d laws", len(seen))
	}
}

func TestViewFactorsOfTheUnitCubeCloseToOne(t *testing.T) {
	// One opposed and four adjacent faces see all that leaves a face.
	sum := OpposedRectangles(1, 1, 1) + 4*EdgeRectangles(1, 1, 1)
	if math.Abs(sum-1) > 1e-12 {
		t.Errorf("faces of a cube see %v, want 1", sum)
	}
}

func TestSkyAndGroundShareTheView(t *testing.T) {
	for _, e := range []float64{-math.Pi / 2, -0.3, 0, 0.7, math.Pi / 2} {
		if s := SkyShare(e) + SkyShare(-e); math.Abs(s-1) > 1e-15 {
			t.Errorf("at %v the two sides of a sheet see %v skies, want 1", e, s)
		}
	}
	if SkyShare(math.Pi/2) != 1 || math.Abs(SkyShare(0)-0.5) > 1e-16 {
		t.Error("a level face sees all of the sky, an upright one half")
	}
}

func TestBlackFractionJoinsItsTwoSeries(t *testing.T) {
	const c2 = 0.01438776877503933
	below := BlackFraction(c2 / 0.5 * (1 - 1e-12))
	above := BlackFraction(c2 / 0.5 * (1 + 1e-12))
	if math.Abs(below-above) > 1e-11 {
		t.Errorf("series differ by %g where they meet", above-below)
	}
	if BlackFraction(0) != 0 || math.Abs(BlackFraction(1)-1) > 1e-6 {
		t.Error("the share runs from 0 to 1")
	}
}
