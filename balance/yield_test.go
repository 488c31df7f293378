package balance

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestADrainWithoutOneWholeRowIsSaidNotMapped holds a record of which the drain lasts to the last row while its second
// circuit reads no flow, as it does when litres a minute are read as litres an hour and fall below the meter's least.
func TestADrainWithoutOneWholeRowIsSaidNotMapped(t *testing.T) {
	m := make1(circumstances{seed: 3, every: 30, noise: 0.05})
	m.in.second(func(int) float64 { return 0 })
	m.in.Phases = []Given{{Drain, 9000, 27000}}
	y, err := Yields(&m.in, 0.1)
	if err == nil {
		t.Fatalf("a drain without a row that counts was mapped: %d yields", len(y))
	}
	if want := `the flow reads zero throughout in "other"`; !strings.Contains(err.Error(), want) {
		t.Errorf("%q does not say %q", err, want)
	}
}

// second gives a record a second circuit that shares the temperatures of the first.
func (in *Input) second(flow func(row int) float64) {
	for _, c := range in.Channels[1:4] {
		col := *in.History.Column(c.Column)
		col.Name = "circuit other " + col.Name[len("circuit main "):]
		if c.Role == Flow {
			v := make([]float64, len(col.Values))
			for k := range v {
				v[k] = flow(k)
			}
			col.Values = v
		}
		in.History.Columns = append(in.History.Columns, col)
		c.Column, c.Of = col.Name, "other"
		in.Channels = append(in.Channels, c)
	}
}

// TestOddFlowsAreBalancedOrRefused draws flows of no sense: none, holes, spikes, one row, negative, far too large.
func TestOddFlowsAreBalancedOrRefused(t *testing.T) {
	base := make1(circumstances{seed: 5, every: 120, noise: 0.05})
	rapid.Check(t, func(t *rapid.T) {
		in := base.in
		h := *base.in.History
		h.Columns = append(h.Columns[:0:0], h.Columns...)
		in.History, in.Quick = &h, true
		in.Channels = append(in.Channels[:0:0], in.Channels...)
		odd := func(name string) func(int) float64 {
			n := len(h.Time)
			from := rapid.IntRange(0, n-1).Draw(t, name+" from")
			to := rapid.IntRange(from, n).Draw(t, name+" to")
			level := rapid.SampledFrom([]float64{0, 1e-9, 0.02, -0.02, 30, math.NaN()}).Draw(t, name+" level")
			rest := rapid.SampledFrom([]float64{0, math.NaN(), 1e-12, -1}).Draw(t, name+" rest")
			hole := rapid.IntRange(1, 50).Draw(t, name+" holes")
			return func(k int) float64 {
				switch {
				case k < from || k >= to:
					return rest
				case k%hole == 0 && hole > 1:
					return math.NaN()
				}
				return level
			}
		}
		f := odd("main")
		for i := range h.Columns {
			if h.Columns[i].Name == "circuit main flow" {
				v := make([]float64, len(h.Time))
				for k := range v {
					v[k] = f(k)
				}
				h.Columns[i].Values = v
			}
		}
		if rapid.Bool().Draw(t, "two circuits") {
			in.second(odd("other"))
		}
		if rapid.Bool().Draw(t, "phases by hand") {
			a := rapid.Float64Range(0, 26000).Draw(t, "from")
			in.Phases = []Given{{Drain, a, rapid.Float64Range(a+1, 40000).Draw(t, "to")}}
		}
		if _, err := Reduce(in); err != nil && err.Error() == "" {
			t.Fatal("refused without a word")
		}
		y, err := Yields(&in, 0.1)
		if err != nil {
			return
		}
		for i := range y {
			if len(y[i].T) == 0 || len(y[i].T) != len(y[i].Q) || len(y[i].T) != len(y[i].Time) {
				t.Fatalf("a yield of %d times, %d temperatures and %d heat flows", len(y[i].Time), len(y[i].T), len(y[i].Q))
			}
		}
		_, _ = FitMap(y, MapOptions{Seed: 1, Nodes: 10})
	})
}
