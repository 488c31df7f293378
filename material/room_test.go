package material

import "testing"

func TestMoltenTinNeedsItsGrowthAndNoMore(t *testing.T) {
	tin, _ := Lookup("tin")
	aluminium, _ := Lookup("aluminium")
	c := Composite{Name: "block", Matrix: aluminium, Filler: tin, FillerFraction: 0.3, VoidFraction: 0.03}
	r, ok := c.Room()
	if !ok {
		t.Fatal("densities of tin are not known")
	}
	// Source: tin grows by 2.3 to 2.8 % on melting and, solid, by some 1.5 % from 20 °C (23·10⁻⁶ 1/K along each direction); handbooks, from memory.
	if growth := r.Needs / 0.3; growth < 1.03 || growth > 1.05 {
		t.Errorf("molten tin takes %.4f of its volume at 20 °C, not 1.0255 + 0.0147 within 0.01", growth)
	}
	if left := r.Left(); !(left > 0 && left < 0.03) {
		t.Errorf("of a void of 3 %% there stay %.2f %%", 100*left)
	}
	m, err := c.Medium()
	if err != nil {
		t.Fatal(err)
	}
	if m.Room != r {
		t.Errorf("the medium has the room %+v, its composite %+v", m.Room, r)
	}
	c.VoidFraction = 0
	if r, _ := c.Room(); !(r.Left() < 0) {
		t.Errorf("without a void %g is left", r.Left())
	}
	c.Filler.LiquidDensity = 0
	if _, ok := c.Room(); ok {
		t.Error("a melt of unknown density fits")
	}
}
