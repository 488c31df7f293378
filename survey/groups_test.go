package survey

import (
	"fmt"
	"io"
	"math"
	"testing"

	"emberbank/account"
	"emberbank/answer"
	"emberbank/bench"
	"emberbank/farm"
	"emberbank/history"
	"emberbank/sample"
)

// madeSweep is a study of three axes that nobody runs.
func madeSweep(t *testing.T, levels ...int64) *working {
	t.Helper()
	s := &bench.Study{Name: "made up", Responses: []bench.StudyResponse{{Name: "y", Quantity: history.Heat}}}
	var all []sample.Levels
	for k, n := range levels {
		l := sample.Range{From: float64(k + 1), To: float64(k+1) + float64(n-1), Count: n}
		if n == 1 {
			l.To = l.From
		}
		s.Axes = append(s.Axes, bench.StudyAxis{Name: string(rune('a' + k)), Levels: l})
		all = append(all, l)
	}
	g, err := sample.NewGrid(all...)
	if err != nil {
		t.Fatal(err)
	}
	s.Design = g
	return &working{Survey: &Survey{Asked: s}}
}

// TestGroupsDifferInOneAxisOnly: for every axis of three, and with one held, each variant stands in one group at most, and what
// differs within a group is the axis alone, rising.
func TestGroupsDifferInOneAxisOnly(t *testing.T) {
	w := madeSweep(t, 3, 4, 2)
	for over := range 3 {
		for _, held := range []map[int]int64{nil, {(over + 1) % 3: 1}} {
			seen := map[int]bool{}
			want := 24
			if held != nil {
				want /= int(w.Asked.Axes[(over+1)%3].Levels.Len())
			}
			for _, g := range w.groups(over, held) {
				first := w.at(int64(g.variants[0])).x
				for l, i := range g.variants {
					x := w.at(int64(i)).x
					if seen[i] {
						t.Errorf("variant %d stands in two groups", i)
					}
					seen[i] = true
					for k := range x {
						switch {
						case k == over && x[k] != first[k]+float64(l), k != over && x[k] != first[k]:
							t.Errorf("over %d: variant %d of a group has %v, the first %v", over, l, x, first)
						}
						if at, ok := held[k]; ok && x[k] != w.Asked.Axes[k].Levels.Value(at) {
							t.Errorf("axis %d is not held: %v", k, x)
						}
					}
				}
			}
			if len(seen) != want {
				t.Errorf("over %d, held %v: %d variants, want %d", over, held, len(seen), want)
			}
		}
	}
}

// TestJudgementNamesWhatItRestsOn goes through made-up outcomes: a plateau of a known shape, a variant that failed, one without a value.
func TestJudgementNamesWhatItRestsOn(t *testing.T) {
	w := madeSweep(t, 12)
	w.Asked.Constraints = []bench.StudyConstraint{{Response: 0, Above: 0.5, Below: math.Inf(1)}}
	outcomes := make([]farm.Outcome, 12)
	for i := range outcomes {
		outcomes[i] = farm.Outcome{Key: fmt.Sprint(i), Values: []float64{1 - math.Exp(-2*float64(i+1))}}
	}
	outcomes[2] = farm.Outcome{Failure: "made to"}
	outcomes[3].Values = []float64{math.NaN()}
	v := w.varied(outcomes, w.at)
	a := bench.StudyAnswer{Axis: 0, Margin: 0.02, Computing: 0.001}
	got := w.plateaus(v, a, &beside{})
	if len(got) != 1 || got[0].Verdict != answer.Flattened.String() || got[0].Plateau.Missing != 2 || len(got[0].Plateau.Group) != 10 {
		t.Fatalf("it says %+v", got)
	}
	if c := v.Constraints[0]; c.Meet != 10 || c.Words != "y at least 0.5\u00a0J: 10 of 12 variants meet it." {
		t.Errorf("the constraint says %+v", c)
	}
	b := &beside{inputs: []bench.Uncertain{{Path: "made.up"}}, unmoved: []int{1}}
	effects := make([][]float64, 12)
	for i := range effects {
		effects[i] = []float64{0.5 * float64(i)} // what grows towards the end hides the plateau
	}
	b.effects = [][][]float64{effects}
	got = w.plateaus(v, a, b)
	if got[0].Verdict == answer.Flattened.String() || len(got[0].Plateau.Inputs) != 1 {
		t.Errorf("with an input that hides it, it says %+v", got[0].Sentences)
	}
}

// TestNoAnswerWithoutValues: a study all of whose variants failed is judged without an end.
func TestNoAnswerWithoutValues(t *testing.T) {
	w := madeSweep(t, 4)
	outcomes := make([]farm.Outcome, 4)
	for i := range outcomes {
		outcomes[i].Failure = "made to"
	}
	v := w.varied(outcomes, w.at)
	if got := w.plateaus(v, bench.StudyAnswer{Axis: 0, Computing: math.NaN()}, &beside{}); len(got) != 1 || got[0].Verdict != answer.Undecided.String() {
		t.Errorf("it says %+v", got)
	}
	pays := bench.StudyAnswer{Axis: 0, Computing: math.NaN(), Pays: &bench.StudyPays{Responses: []int{0}, Control: -1}}
	if got := w.payings(v, pays, &beside{}); len(got) != 1 || got[0].Pays != nil {
		t.Errorf("it says %+v", got)
	}
	w.Asked.Sample = &bench.StudySample{Sensitivity: true}
	for _, a := range []account.VariedAnswer{w.spread(v, 0, []int{0, 1, 2, 3}), w.sensitivity(v, 0)} {
		if a.Verdict != answer.Undecided.String() || a.Spread != nil || a.Sensitivity != nil {
			t.Errorf("it says %+v", a)
		}
	}
	if len(v.Notes) != 1 {
		t.Errorf("it notes %q", v.Notes)
	}
}

// BenchmarkLay is a hundred thousand variants laid out, listed and, at a hundred places of one axis, judged, without their disk.
func BenchmarkLay(b *testing.B) {
	w := madeSweep(&testing.T{}, 100, 1000)
	outcomes := make([]farm.Outcome, 100_000)
	for i := range outcomes {
		outcomes[i] = farm.Outcome{Key: "0123456789abcdef0123456789abcdef", Values: []float64{math.Sqrt(float64(i))}}
	}
	b.ReportAllocs()
	for b.Loop() {
		v := w.varied(outcomes, w.at)
		_ = w.plateau(v, bench.StudyAnswer{Axis: 0, Computing: 1}, w.groups(0, nil)[0], &beside{}, "")
		if err := account.StudyText(io.Discard, v); err != nil {
			b.Fatal(err)
		}
	}
}
