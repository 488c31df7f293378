package water

import (
	"errors"
	"fmt"
	"math"
	"testing"
)

// The releases tabulate their critical parts with derivatives of IAPWS-95, which the tables do not print: they stand in
// critical_derivatives.csv, in units of kg/(m³ MPa).
func criticalRows(t *testing.T) map[float64]row {
	rows, _ := readGrid(t, "critical_derivatives.csv")
	by := map[float64]row{}
	for _, q := range rows {
		by[q["rho_kgm3"]] = q
	}
	return by
}

// excessOf is Δχ with both compressibilities given.
func excessOf(rho, T, drhodp, reference float64) float64 {
	const unit = CriticalPressure / 1e6 / criticalDensity
	return rho / criticalDensity * unit * (drhodp - reference*1.5*CriticalTemperature/T)
}

func TestCriticalPartsMatchReleaseTables(t *testing.T) {
	var file struct{ Viscosity_critical, Conductivity_critical block }
	readJSON(t, "transport_verification.json", &file)
	if len(file.Viscosity_critical.Points) < 4 || len(file.Conductivity_critical.Points) < 6 {
		t.Fatal("points are missing")
	}
	by := criticalRows(t)
	for _, q := range file.Viscosity_critical.Points {
		rho, T := q["rho_kgm3"], q["T_K"]
		r := by[rho]
		got := viscosity(rho, T) * viscosityEnhancement(excessOf(rho, T, r["drhodp"], r["drhodp_reference"]))
		// What the file's own verification says of these rows.
		same(t, fmt.Sprintf("μ at %g kg/m³", rho), got, q["mu_uPas"]*1e-6, 2e-6)
	}
	for _, q := range file.Conductivity_critical.Points {
		rho, T := q["rho_kgm3"], q["T_K"]
		r := by[rho]
		got := conductivityBackground(rho, T)
		excess := excessOf(rho, T, r["drhodp"], r["drhodp_reference"])
		if excess > 0 { // with the viscosity's own critical part, for the scientific form has it
			mu := viscosity(rho, T) * viscosityEnhancement(excess)
			got += conductivityEnhancement(excess, rho, T, r["cp_kJkgK"]*1e3, r["cv_kJkgK"]*1e3, mu)
		}
		same(t, fmt.Sprintf("λ at %g kg/m³", rho), got, q["k_mWmK"]*1e-3, 2e-6)
	}
}

// By IF97's own derivatives and fits the same states come close, further off the nearer the critical point is.
func TestIndustrialFormIsCloseToTheScientificOne(t *testing.T) {
	var file struct{ Conductivity_critical block }
	readJSON(t, "transport_verification.json", &file)
	for _, q := range file.Conductivity_critical.Points {
		s, err := AtVT(1/q["rho_kgm3"], q["T_K"])
		if q["rho_kgm3"] == 750 && errors.Is(err, ErrOverPressure) {
			continue // above 100 MPa
		}
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%g kg/m³: %.3g off", q["rho_kgm3"], s.Conductivity/q["k_mWmK"]*1e3-1)
		rtol := 0.03
		if math.Abs(q["rho_kgm3"]-criticalDensity) < 60 {
			rtol = 0.3
		}
		same(t, fmt.Sprintf("λ at %g kg/m³", q["rho_kgm3"]), s.Conductivity, q["k_mWmK"]*1e-3, rtol)
	}
}

// The release's own statement of where the viscosity's critical part matters.
func TestCriticalViscosityMattersOnlyNearTheCriticalPoint(t *testing.T) {
	most := 0.0
	for T := 623.0; T < 700; T += 0.5 {
		for p := 17e6; p < 40e6; p += 0.1e6 {
			f, err := CriticalViscosityFactor(p, T)
			if err != nil {
				t.Fatal(err)
			}
			s, err := AtPT(p, T)
			if err != nil {
				t.Fatal(err)
			}
			inside := T > 645.9 && T < 650.8 && s.Density > 240 && s.Density < 410
			if f < 1 || f > 1.021 && !inside {
				t.Errorf("factor %g at %g K, %g Pa, %g kg/m³", f, T, p, s.Density)
			}
			most = math.Max(most, f)
		}
	}
	if most < 1.02 {
		t.Errorf("it is never above %g", most)
	}
	if _, err := CriticalViscosityFactor(-1, 300); err == nil {
		t.Error("no error outside the range")
	}
}
