package water

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestMetastableVapourMatchesReleaseTable(t *testing.T) {
	var file struct{ Metastable_vapour block }
	readJSON(t, "if97_verification.json", &file)
	if len(file.Metastable_vapour.Points) < 3 {
		t.Fatal("points are missing")
	}
	for _, q := range file.Metastable_vapour.Points {
		s, err := MetastableVapour(q["p_MPa"]*1e6, q["T_K"])
		if err != nil {
			t.Error(err)
			continue
		}
		f := metastable(s.P, s.T)
		same(t, "v", f.v, q["v_m3kg"], digits9)
		same(t, "h", f.h, q["h_kJkg"]*1e3, digits9)
		same(t, "u", f.u, q["u_kJkg"]*1e3, digits9)
		same(t, "s", f.s, q["s_kJkgK"]*1e3, digits9)
		same(t, "cp", f.cp, q["cp_kJkgK"]*1e3, digits9)
		same(t, "w", f.w, q["w_ms"], digits9)
	}
}

// At saturation the metastable equation continues that of region 2, and gives a sound state or an error elsewhere.
func TestMetastableVapourContinuesTheStableOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPressure(t, TriplePressure, 10e6)
		_, v, _ := saturated(p)
		f := metastable(p, v.T)
		near(t, "volume", f.v, v.v, 2e-4)
		near(t, "enthalpy", f.h, v.h, 2e-4)
		s, err := MetastableVapour(p, v.T-rapid.Float64Range(-1, 60).Draw(t, "subcooling"))
		switch {
		case err != nil && !errors.Is(err, ErrRange):
			t.Fatal(err)
		case err == nil && (sound(s) != "" || s.Quality < 0.95 || s.Quality > 1.001):
			t.Fatalf("%s: %+v", sound(s), s)
		}
	})
	for _, c := range [][2]float64{{11e6, 500}, {100, 270}, {math.NaN(), 400}, {1e6, math.NaN()}, {1e6, 300}, {1e6, 500}} {
		if _, err := MetastableVapour(c[0], c[1]); !errors.Is(err, ErrRange) {
			t.Errorf("%g Pa, %g K: error %v", c[0], c[1], err)
		}
	}
}
