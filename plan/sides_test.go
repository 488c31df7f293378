package plan

import (
	"context"
	"math"
	"testing"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/match"
	"emberbank/receiver"
)

// TestAChangeThatDoesNotHelpCostsHalfTheRuns has a temperature that bends with its parameter, T = x²/400 K·(1 + gain), and a
// cover whose opening multiplies what is read or leaves it. Runs are counted by the state of the cover: with one parameter two
// for a change that does nothing, and a third, to the other side, for one that helps, whose answer is then by both sides:
// derivatives twice as large leave half of the uncertainty.
func TestAChangeThatDoesNotHelpCostsHalfTheRuns(t *testing.T) {
	for _, gain := range []float64{0, 1} {
		f, ps := level()
		open := func(p *heat.Problem) bool {
			s := p.Duty.Switches.Clone()
			for _, e := range p.Duty.Events {
				for _, a := range e.Do {
					a.Apply(&s)
				}
			}
			return !s.CoverShut
		}
		f.at = func(x []float64, p *heat.Problem, _ float64) []float64 {
			v := x[0] * x[0] / 400
			if open(p) {
				v *= 1 + gain
			}
			return []float64{v}
		}
		load := f.load(ps)
		shut := func(s match.Settings) (heat.Problem, error) {
			p, err := load(s)
			p.Receiver.Window, p.Duty.Switches.CoverShut = &receiver.Window{}, true
			p.Duty.Light = &duty.Light{}
			return p, err
		}
		runs := 0
		r, err := Make(context.Background(), Problem{
			Trials: []Trial{{"day", shut}}, Parameters: ps, Model: none(), Every: 60, Sensors: []Sensor{{Column: "T", Noise: 0.5, Lasting: 1e-9}},
			Changes: []Change{{Cover: &Cover{From: 0, To: math.Inf(1)}}},
		}, Options{Run: func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
			if open(&p) {
				runs++
			}
			return f.run(ctx, p)
		}})
		if err != nil {
			t.Fatal(err)
		}
		c := r.Candidates[0]
		if want := 2 + int(gain); runs != want {
			t.Errorf("gain %g: the change took %d runs, not %d", gain, runs, want)
		}
		if want := 1 / (1 + gain); math.Abs(c.Joint-want) > 1e-3 || math.Abs(c.Gain[0]-want) > 1e-3 || math.Abs(c.SD[0]-want*math.Sqrt(r.Covariance[0][0])) > 1e-3*c.SD[0] {
			t.Errorf("gain %g: it leaves %g, %v, %v of %g", gain, c.Joint, c.Gain, c.SD, math.Sqrt(r.Covariance[0][0]))
		}
	}
}

// TestOneSideIsTheOneWithMoreRoom: a parameter at its upper bound is moved down.
func TestOneSideIsTheOneWithMoreRoom(t *testing.T) {
	f, ps := level()
	ps[0].Start = ps[0].Upper
	r := make1(t, f, Problem{Parameters: ps, Model: none(), Every: 60, Sensors: []Sensor{{Column: "T", Noise: 0.5, Lasting: 1e-9}}, Changes: []Change{{Longer: &Longer{By: 3600}}}})
	if s := r.Courses[0].Slope[0][10]; math.Abs(s/r.Expected[0].Before-1) > 1e-9 {
		t.Errorf("the derivative is %g", s/r.Expected[0].Before)
	}
	if g, want := r.Candidates[0].Gain[0], math.Sqrt(121.0/181); math.Abs(g-want) > 0.01*want { // readings of white noise
		t.Errorf("half as long again leaves %g, not %g", g, want)
	}
}
