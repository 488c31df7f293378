package water

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// The files of testdata carry their sources: published verification tables of the IAPWS releases, and states
// computed with an independent implementation of IF97.

// digits9 is the tolerance of a published value of nine significant digits: half a unit of the last at worst.
const digits9 = 5.01e-9

func readJSON(t *testing.T, name string, into any) {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("reading %s: %v", name, err)
	}
}

// same fails unless got is want within the relative tolerance.
func same(t *testing.T, what string, got, want, rtol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rtol*math.Abs(want)) {
		t.Errorf("%s: got %.12g, want %.12g (relative difference %.2g, allowed %.2g)", what, got, want, got/want-1, rtol)
	}
}

type point map[string]float64

type block struct {
	Equation, Table, Source string
	Points                  []point
}

func TestBasicEquationsMatchReleaseTables(t *testing.T) {
	var file struct{ Region1, Region2, Region3, Region5 block }
	readJSON(t, "if97_verification.json", &file)
	check := func(b block, basic func(p, T float64) phase) {
		if len(b.Points) < 2 {
			t.Fatalf("%s: %d points", b.Table, len(b.Points))
		}
		for _, q := range b.Points {
			f := basic(q["p_MPa"]*1e6, q["T_K"])
			at := fmt.Sprintf("%s at %g K, %g MPa: ", b.Table, q["T_K"], q["p_MPa"])
			if rho, given := q["rho_kgm3"]; given { // region 3 is tabulated over density
				f = region3(rho, q["T_K"])
				same(t, at+"p", f.pressure, q["p_MPa"]*1e6, digits9)
				q["v_m3kg"] = 1 / rho
			}
			same(t, at+"v", f.v, q["v_m3kg"], digits9)
			same(t, at+"h", f.h, q["h_kJkg"]*1e3, digits9)
			same(t, at+"u", f.u, q["u_kJkg"]*1e3, digits9)
			same(t, at+"s", f.s, q["s_kJkgK"]*1e3, digits9)
			same(t, at+"cp", f.cp, q["cp_kJkgK"]*1e3, digits9)
			same(t, at+"w", f.w, q["w_ms"], digits9)
		}
	}
	check(file.Region1, region1)
	check(file.Region2, region2)
	check(file.Region3, func(p, T float64) phase { return phasePT(3, p, T) })
	check(file.Region5, region5)
}

func TestSaturationLineMatchesReleaseTables(t *testing.T) {
	var file struct {
		Saturation_pressure, Saturation_temperature block
	}
	readJSON(t, "if97_verification.json", &file)
	if len(file.Saturation_pressure.Points) < 2 || len(file.Saturation_temperature.Points) < 2 {
		t.Fatal("points are missing")
	}
	for _, q := range file.Saturation_pressure.Points {
		p, err := SaturationPressure(q["T_K"])
		if err != nil {
			t.Fatal(err)
		}
		same(t, "p", p, q["p_MPa"]*1e6, digits9)
	}
	for _, q := range file.Saturation_temperature.Points {
		T, err := SaturationTemperature(q["p_MPa"] * 1e6)
		if err != nil {
			t.Fatal(err)
		}
		same(t, "T", T, q["T_K"], digits9)
	}
}

func TestBackwardEquationsMatchReleaseTables(t *testing.T) {
	var file struct{ Backward []block }
	readJSON(t, "if97_verification.json", &file)
	if len(file.Backward) != 8 {
		t.Fatalf("%d backward equations, want 8", len(file.Backward))
	}
	for _, b := range file.Backward {
		for _, q := range b.Points {
			p, h, s := q["p_MPa"]*1e6, q["h_kJkg"]*1e3, q["s_kJkgK"]*1e3
			var T float64
			switch {
			case b.Equation == "region 1 T(p,h)":
				T = temperature1PH(p, h)
			case b.Equation == "region 1 T(p,s)":
				T = temperature1PS(p, s)
			case strings.HasSuffix(b.Equation, "T(p,h)"):
				T = temperature2PH(p, h)
			default:
				T = temperature2PS(p, s)
			}
			same(t, fmt.Sprintf("%s, %s at %g MPa", b.Equation, b.Table, q["p_MPa"]), T, q["T_K"], digits9)
		}
	}
}

func TestBoundariesMatchRelease(t *testing.T) {
	// The blocks hold strings beside the numbers, so each names its numbers.
	var file struct {
		B23  struct{ T_K, P_MPa float64 }    `json:"boundary_2_3"`
		B2bc struct{ H_kJkg, P_MPa float64 } `json:"boundary_2b_2c"`
	}
	readJSON(t, "if97_verification.json", &file)
	same(t, "B23 p(T)", boundary23(file.B23.T_K), file.B23.P_MPa*1e6, digits9)
	same(t, "B23 T(p)", temperature23(file.B23.P_MPa*1e6), file.B23.T_K, digits9)
	same(t, "B2bc h(p)", boundary2bc(file.B2bc.P_MPa*1e6), file.B2bc.H_kJkg*1e3, 5e-10)
}

func TestTransportMatchesReleaseTables(t *testing.T) {
	var file struct {
		Viscosity, Conductivity, Conductivity_industrial, Surface_tension block
	}
	readJSON(t, "transport_verification.json", &file)
	if len(file.Viscosity.Points) < 8 || len(file.Conductivity.Points) < 3 ||
		len(file.Conductivity_industrial.Points) < 2 || len(file.Surface_tension.Points) < 8 {
		t.Fatal("points are missing")
	}
	for _, q := range file.Viscosity.Points {
		// Six decimals of µPa s.
		want := q["mu_uPas"] * 1e-6
		same(t, fmt.Sprintf("μ at %g K, %g kg/m³", q["T_K"], q["rho_kgm3"]),
			viscosity(q["rho_kgm3"], q["T_K"]), want, 5.01e-13/want)
	}
	for _, q := range file.Conductivity.Points {
		same(t, fmt.Sprintf("λ0 λ1 at %g K, %g kg/m³", q["T_K"], q["rho_kgm3"]),
			conductivityBackground(q["rho_kgm3"], q["T_K"]), q["k_mWmK"]*1e-3, digits9)
	}
	for _, q := range file.Conductivity_industrial.Points {
		s, err := AtPT(q["p_MPa"]*1e6, q["T_K"])
		if err != nil {
			t.Fatal(err)
		}
		same(t, fmt.Sprintf("λ at %g K, %g MPa", q["T_K"], q["p_MPa"]), s.Conductivity, q["k_WmK"], digits9)
	}
	for _, q := range file.Surface_tension.Points {
		T := q["t_C"] + 273.15
		sigma, err := SurfaceTension(T)
		if err != nil {
			t.Fatal(err)
		}
		same(t, fmt.Sprintf("σ at %g °C", q["t_C"]), sigma, q["sigma_formula_mNm"]*1e-3, digits9)
		if math.Abs(sigma*1e3-q["sigma_mNm"]) > 0.0051 {
			t.Errorf("σ at %g °C: got %.5g mN/m, table says %g", q["t_C"], sigma*1e3, q["sigma_mNm"])
		}
	}
}

// row is a line of a CSV grid by column name; empty cells are NaN.
type row map[string]float64

func readGrid(t *testing.T, name string) (rows []row, kinds []string) {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range lines[1:] {
		q, kind := row{}, ""
		for i, key := range lines[0] {
			v := math.NaN()
			if key == "kind" {
				kind = line[i]
			} else if line[i] != "" {
				if v, err = strconv.ParseFloat(line[i], 64); err != nil {
					t.Fatal(err)
				}
			}
			q[key] = v
		}
		rows, kinds = append(rows, q), append(kinds, kind)
	}
	return rows, kinds
}

func TestStatesMatchIndependentGrid(t *testing.T) {
	rows, kinds := readGrid(t, "state_grid.csv")
	more, moreKinds := readGrid(t, "state_grid_dense.csv")
	rows, kinds = append(rows, more...), append(kinds, moreKinds...)
	seen := map[string]int{}
	for i, q := range rows {
		const rtol = 1e-8 // the grid has ten digits
		p, T, h := q["p_bar"]*1e5, q["t_C"]+273.15, q["h_kJkg"]*1e3
		at := fmt.Sprintf("%s at %g bar, %g °C: ", kinds[i], q["p_bar"], q["t_C"])
		seen[kinds[i]]++
		if kinds[i] == "two-phase" {
			s, err := AtPH(p, h)
			if err != nil {
				t.Fatal(at, err)
			}
			same(t, at+"T", s.T, T, rtol)
			same(t, at+"v", 1/s.Density, q["v_m3kg"], 1e-7) // h has ten digits, its excess over hl fewer
			same(t, at+"s", s.Entropy, q["s_kJkgK"]*1e3, rtol)
			if math.Abs(s.Quality-q["quality"]) > 1e-8 {
				t.Errorf("%squality %.10g", at, s.Quality)
			}
			continue
		}
		s, err := AtPT(p, T)
		if err != nil {
			t.Fatal(at, err)
		}
		same(t, at+"v", 1/s.Density, q["v_m3kg"], rtol)
		same(t, at+"h", s.H, h, rtol)
		same(t, at+"s", s.Entropy, q["s_kJkgK"]*1e3, rtol)
		same(t, at+"cp", s.HeatCapacity, q["cp_kJkgK"]*1e3, rtol)
		same(t, at+"μ", s.Viscosity, q["mu_Pas"], rtol)
		same(t, at+"λ", s.Conductivity, q["k_WmK"], rtol)
		region, err := regionPT(p, T)
		if err != nil || region != int(q["if97_region"]) {
			t.Errorf("%sregion %d, want %g (%v)", at, region, q["if97_region"], err)
		}
		f := phasePT(region, p, T)
		same(t, at+"u", f.u, q["u_kJkg"]*1e3, rtol)
		same(t, at+"w", f.w, q["w_ms"], rtol)
		if back, err := AtPH(p, h); err != nil {
			t.Fatal(at, err)
		} else {
			same(t, at+"T(p,h)", back.T, T, rtol)
		}
		if back, err := AtPS(p, q["s_kJkgK"]*1e3); err != nil {
			t.Fatal(at, err)
		} else {
			same(t, at+"T(p,s)", back.T, T, rtol)
		}
	}
	if seen["liquid"] < 20 || seen["vapour"] < 20 || seen["two-phase"] < 20 || seen["dense"] < 20 || seen["hot"] < 20 {
		t.Errorf("rows seen: %v", seen)
	}
}

func TestSaturatedStatesMatchIndependentTable(t *testing.T) {
	rows, _ := readGrid(t, "saturation_table.csv")
	states := 0
	for _, q := range rows {
		const rtol = 1e-8 // the table has nine digits
		T := q["t_C"] + 273.15
		at := fmt.Sprintf("%g °C: ", q["t_C"])
		p, err := SaturationPressure(T)
		if err != nil {
			t.Fatal(err)
		}
		same(t, at+"p", p, q["p_bar"]*1e5, rtol)
		sigma, err := SurfaceTension(T)
		if err != nil {
			t.Fatal(err)
		}
		same(t, at+"σ", sigma, q["sigma_Nm"], rtol)
		states++
		l, err := SaturatedLiquid(p)
		if err != nil {
			t.Fatal(err)
		}
		v, err := SaturatedVapour(p)
		if err != nil {
			t.Fatal(err)
		}
		for _, side := range []struct {
			name string
			s    State
		}{{"liq", l}, {"vap", v}} {
			same(t, at+"v "+side.name, 1/side.s.Density, q["v_"+side.name], rtol)
			same(t, at+"h "+side.name, side.s.H, q["h_"+side.name]*1e3, rtol)
			same(t, at+"s "+side.name, side.s.Entropy, q["s_"+side.name]*1e3, rtol)
			same(t, at+"cp "+side.name, side.s.HeatCapacity, q["cp_"+side.name]*1e3, rtol)
			same(t, at+"μ "+side.name, side.s.Viscosity, q["mu_"+side.name], rtol)
			if k := q["k_"+side.name]; !math.IsNaN(k) { // the table leaves it empty in region 3
				same(t, at+"λ "+side.name, side.s.Conductivity, k, rtol)
			}
		}
		same(t, at+"evaporation", v.H-l.H, q["h_fg"]*1e3, rtol)
	}
	if states < 9 {
		t.Errorf("only %d saturated states compared", states)
	}
}
