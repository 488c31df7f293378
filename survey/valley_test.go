package survey

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/farm"
	"emberbank/history"
	"emberbank/seek"
)

// TestASecondValleyIsNamedWhereThereIsOne: (x² − 1)² + x/20 has its least near −1 and, a twentieth higher on each side of a hill,
// a second good place near 1; (x + 1)²/4 has one place alone.
func TestASecondValleyIsNamedWhereThereIsOne(t *testing.T) {
	for _, c := range []struct {
		of     func(x float64) float64
		second bool
	}{
		{func(x float64) float64 { return (x*x-1)*(x*x-1) + x/20 }, true},
		{func(x float64) float64 { return (x + 1) * (x + 1) / 4 }, false},
	} {
		w := &working{Survey: &Survey{Asked: &bench.Study{
			Kind: bench.Search, Search: &bench.StudySearch{Runs: 31, Surrogate: true, Aims: []bench.StudyAim{{}}},
			Axes:      []bench.StudyAxis{{Name: "x", Low: -1.5, High: 1.5}},
			Responses: []bench.StudyResponse{{Name: "y", Quantity: history.Heat}},
		}}}
		f := &finding{sought: w.sought()}
		var err error
		if f.seeker, err = seek.NewSurrogate(f.problem); err != nil {
			t.Fatal(err)
		}
		o := &account.VariedOptimum{Tolerance: 0.02}
		for i := range 31 {
			u := []float64{-1.5 + 0.1*float64(i)}
			one := farm.Outcome{Key: fmt.Sprint(i), Values: []float64{c.of(u[0])}}
			f.points, f.outcomes = append(f.points, u), append(f.outcomes, one)
			if err := f.seeker.Tell(u, f.told(&one)); err != nil {
				t.Fatal(err)
			}
			if one.Values[0] < f.outcomes[o.Best].Values[0] {
				o.Best = i
			}
		}
		v := w.varied(f.outcomes, func(n int64) point { return point{x: f.points[n]} })
		s := w.lay(f, f.points[o.Best], nil)
		if s == nil {
			t.Fatal("no surface is laid")
		}
		near(t, "the best place", f.points[o.Best][0], -1, 0.06)
		said := strings.Join(w.valley(v, f, s, o), " ")
		if c.second != strings.Contains(said, "A second good place lies apart from it: variant 26, x 1") {
			t.Errorf("it says %q, the best is %g", said, math.Round(10*f.points[o.Best][0])/10)
		}
	}
}
