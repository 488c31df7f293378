package hazard

import (
	"testing"

	"emberbank/internal/testkit"
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
