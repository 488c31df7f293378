package yield

import (
	"math"
	"testing"

	"emberbank/history"
)

// rows is a history by the hour of what is stored, wanted and given.
func rows(stored, wanted, given []float64) *history.History {
	h := &history.History{}
	for i := range stored {
		h.Time = append(h.Time, 3600*float64(i))
	}
	h.Columns = []history.Column{
		{Name: "stored", Quantity: history.Heat, Values: stored},
		{Name: "load wanted", Quantity: history.HeatFlow, Values: wanted},
		{Name: "load delivered", Quantity: history.HeatFlow, Values: given},
	}
	return h
}

func TestALoadGoesShortWhereItIsNotMetAnyMoreUntilNothingIsWanted(t *testing.T) {
	for name, c := range map[string]struct {
		stored, wanted, given []float64
		full, short           float64 // h
	}{
		"met throughout":              {[]float64{1, 3, 2, 1}, []float64{0, 5, 5, 0}, []float64{0, 5, 4.95, 0}, 1, math.NaN()},
		"water that is still to come": {[]float64{1, 3, 2, 1}, []float64{0, 5, 5, 0}, []float64{0, 0, 5, 0}, 1, math.NaN()},
		"empty before the end":        {[]float64{1, 3, 2, 1, 1}, []float64{0, 5, 5, 5, 0}, []float64{0, 5, 4, 3, 0}, 1, 2},
		"short when the run ends":     {[]float64{1, 3, 2, 1, 0}, []float64{0, 5, 5, 5, 5}, []float64{0, 5, 5, 3, 2}, 1, 3},
		"short by next to nothing":    {[]float64{1, 3, 2, 1, 0}, []float64{0, 5, 5, 5, 0}, []float64{0, 5, 5, 4.88, 0}, 1, math.NaN()},
		"short before it is full too": {[]float64{2, 1, 1, 3, 2, 1}, []float64{5, 5, 0, 5, 5, 0}, []float64{5, 1, 0, 5, 2, 0}, 3, 4},
		"short before it is full":     {[]float64{2, 1, 1, 3, 2, 1}, []float64{5, 5, 0, 5, 5, 0}, []float64{5, 1, 0, 5, 5, 0}, 3, 1},
	} {
		got := CourseOf(rows(c.stored, c.wanted, c.given))
		if got.Full != 3600*c.full || got.Short != 3600*c.short && !(math.IsNaN(got.Short) && math.IsNaN(c.short)) {
			t.Errorf("%s: full at %g h, short from %g h; want %g and %g", name, got.Full/3600, got.Short/3600, c.full, c.short)
		}
	}
	if got := CourseOf(&history.History{}); !math.IsNaN(got.Full) || !math.IsNaN(got.Short) {
		t.Errorf("without rows it is %+v", got)
	}
}

// What rows say of going short agrees with what was added up step by step; four openings wait some minutes each for their first water.
func TestARunThatIsAlwaysMetNeverGoesShort(t *testing.T) {
	y, r := run(t, bakery())
	c := CourseOf(&r.History)
	if y.Served.Asked-y.Served.Held > 1800 || !math.IsNaN(c.Short) {
		t.Errorf("held for %g of %g s, short from %g s", y.Served.Held, y.Served.Asked, c.Short)
	}
	p := bakery()
	p.Duty.Load.Wanted.V = []float64{0, 150, 0, 3000, 0}
	y, r = run(t, p)
	if c := CourseOf(&r.History); y.Served.Asked-y.Served.Held < 3600 || !(c.Short >= 15*3600) {
		t.Errorf("held for %g of %g s, short from %g s", y.Served.Held, y.Served.Asked, c.Short)
	}
}
