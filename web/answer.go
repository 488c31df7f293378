package web

import (
	"math"
	"slices"

	"emberbank/bench"
	"emberbank/block"
	"emberbank/figure"
	"emberbank/heat"
	"emberbank/history"
)

// answer is what a run gives, whole or as far as it has got.
type answer struct {
	loaded *bench.Run
	coarse bool
	cells  int
	until  float64 // s
	steady bool
	h      history.History // a copy that grows row by row
	fields []heat.Field    // at some of the rows
	water  [][]wet         // with each of the fields
	grid   *block.Grid
	part   []int16      // of each cell
	chains []heat.Chain // of all rows
	books  books        // of all rows
	// low and top, in degC, are the coolest and the hottest of the fields.
	low, top float64
	every    int // a field is kept at every so many rows
	events   []heat.Mark
	result   *heat.Result // nil: not yet at its end
}

// fieldMemory bounds, in bytes, what the fields of one answer may take.
const fieldMemory = 128 << 20

// newAnswer makes room for the rows of a problem.
func newAnswer(loaded *bench.Run, p *heat.Problem, coarse bool) *answer {
	return &answer{loaded: loaded, coarse: coarse, until: p.Until, steady: p.Steady, every: 1, low: math.Inf(1), top: math.Inf(-1)}
}

// grow takes in a row. It is called by the run, one row after the other; who reads holds the run's lock, as this does.
func (a *answer) grow(s heat.Sight, rows int) {
	h := s.History()
	last := len(h.Time) - 1
	if a.h.Columns == nil {
		for _, c := range h.Columns {
			a.h.Columns = append(a.h.Columns, history.Column{Name: c.Name, Quantity: c.Quantity})
		}
	}
	a.h.Time = append(a.h.Time, h.Time[last])
	for i := range h.Columns {
		a.h.Columns[i].Values = append(a.h.Columns[i].Values, h.Columns[i].Values[last])
	}
	a.books.add(s.Books())
	a.events = append(a.events[:0], s.Events()...)
	for _, c := range s.Chains()[len(a.chains):] { // the run fills gains in later; they come with the result
		c.Links = slices.Clone(c.Links)
		a.chains = append(a.chains, c)
	}
	if a.cells > 0 && (len(a.h.Time)-1)%a.every != 0 {
		return
	}
	f := s.Field()
	if a.cells == 0 {
		a.cells = len(f.Temperature)
		a.grid, a.part = s.Body()
		a.every = max(1, int(math.Ceil(16*float64(a.cells)*float64(rows)/fieldMemory)))
	}
	a.reaches(&f)
	a.fields = append(a.fields, f)
	a.water = append(a.water, wetAlong(s.Water()))
}

// end takes in the result. A run of a steady state has its only row and field there.
func (a *answer) end(r *heat.Result) {
	a.result = r
	a.h, a.events, a.chains, a.grid, a.part = r.History, r.Events, r.Chains, r.Grid, r.Part
	if a.steady {
		a.fields, a.water = r.Fields, [][]wet{wetAlong(r.Profiles)}
		for i := range r.Fields {
			a.reaches(&r.Fields[i])
		}
	}
}

// reaches takes the temperatures of a field into what the rule spans.
func (a *answer) reaches(f *heat.Field) {
	lo, hi := figure.Extremes(f)
	a.low, a.top = min(a.low, lo), max(a.top, hi)
}

// rule is what the rule of temperature spans in the pictures of an answer, in °C: all that was reached so far, and more where
// that is little, so that the cold does not have the colour of heat while the answer grows.
func (a *answer) rule() (low, top float64) {
	low = a.low
	for _, T := range a.loaded.Problem.Duty.Ambient.V {
		low = min(low, T-zeroCelsius)
	}
	return low, max(a.top, low+leastRule)
}

// leastRule is what the rule of temperature spans at least, K.
const leastRule = 80.0

// shown is what a picture of a field needs of a run, also of one that is still being computed.
func (a *answer) shown() *heat.Result {
	r := &heat.Result{Grid: a.grid, Part: a.part, Chains: a.chains}
	if a.steady && a.result != nil {
		r.Ledger.Steady = true
	}
	return r
}

// fieldAt returns the field that was kept last at or before a time, or the first; false: there is none.
func (a *answer) fieldAt(t float64) (heat.Field, bool) {
	if len(a.fields) == 0 {
		return heat.Field{}, false
	}
	best := a.fields[0]
	for _, f := range a.fields {
		if f.Time <= t+1e-9 {
			best = f
		}
	}
	return best, true
}
