package bench

import "testing"

func TestTubesMayStateWhatTheyBear(t *testing.T) {
	p := ability(t, "strength").Problem.Receiver.Passes
	a, b := p[0].Strength, p[1].Strength
	if a == nil || b == nil {
		t.Fatal("the strength of a tube is not read")
	}
	for T, want := range map[float64]float64{20 + zero: 110e6, 350 + zero: 110e6} {
		got, known := a.At(T)
		same(t, "a single stress is known", known, true)
		near(t, "a single stress", got, want)
	}
	if _, known := a.At(351 + zero); known {
		t.Error("a single stress is known above its temperature")
	}
	near(t, "undersize by default", a.Undersize, 0.125)
	near(t, "joint by default", a.Joint, 1)
	got, known := b.At(200 + zero)
	same(t, "stress between points is known", known, true)
	near(t, "stress between points", got, 123.5e6)
	if _, known := b.At(301 + zero); known {
		t.Error("stress is known above the last point")
	}
	near(t, "joint", b.Joint, 0.85)
	near(t, "undersize", b.Undersize, 0.1)
	near(t, "allowance", b.Allowance, 1e-4)
	same(t, "source", b.Source, "invented for this test")
	if s := ability(t, "links-of-the-chain").Problem.Receiver.Passes[0].Strength; s != nil {
		t.Errorf("a tube of which nothing is said has the strength %+v", s)
	}
}
