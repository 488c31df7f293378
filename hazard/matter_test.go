package hazard

import (
	"testing"

	"emberbank/internal/testkit"
	"emberbank/material"
)

func TestGraphiteBurnsFasterByItsActivationEnergy(t *testing.T) {
	const source = "ratio of rates with 163 kJ/mol, worked apart; activation energy: Gulbransen et al., J. Electrochem. Soc., abstract"
	for _, r := range []struct{ to, want float64 }{{420, 2.317}, {500, 43.24}} {
		got, err := Burns(r.to+iceZero, 400+iceZero)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Close(t, source, got, r.want, 3e-4, 0)
	}
	if _, err := Burns(850+iceZero, 400+iceZero); err == nil {
		t.Error("a rate above 800 °C is given")
	}
}

func TestMoltenTinNeedsItsGrowthAndNoMore(t *testing.T) {
	e, _ := material.Lookup("tin")
	r, ok := RoomOf(&e, 0.3, 0.03)
	if !ok {
		t.Fatal("densities of tin are not known")
	}
	// Source: tin grows by 2.3 to 2.8 % on melting and, solid, by some 1.5 % from 20 °C (23·10⁻⁶ 1/K along each direction); handbooks, from memory.
	testkit.Close(t, "growth", r.Needs/0.3, 1+0.0255+0.0147, 0, 0.01)
	testkit.Close(t, "left", r.Left(), 0.33-r.Needs, 1e-12, 0)
	if r, _ := RoomOf(&e, 0.3, 0); !(r.Left() < 0) {
		t.Errorf("without a void %g is left", r.Left())
	}
	if _, ok := RoomOf(&material.Entry{Density: 1000}, 0.3, 0); ok {
		t.Error("a melt of unknown density fits")
	}
}
