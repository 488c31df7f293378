package plan

import (
	"context"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/match"
)

// drainedDay is a day of a block of one lump: light until off, then water from open on, whose outlet has no value before and
// reads the inlet in its first two seconds, when the water has not come through. All numbers are invented.
func drainedDay(off, open, until float64) (*formula, []match.Parameter) {
	const capacity, light, flow = 3000.0, 350.0, 63.0
	f := &formula{
		until: until, columns: []string{"T", "circuit main outlet"},
		events: []duty.Event{{At: off, Name: "hold"}, {At: open, Name: "drain"}},
		at: func(x []float64, p *heat.Problem, t float64) []float64 {
			off, open := p.Duty.Events[0].At, p.Duty.Events[1].At
			T := 293.15
			stretch := func(dt, power, g, rest float64) {
				T = rest + power/g + (T-rest-power/g)*math.Exp(-g*max(dt, 0)/capacity)
			}
			stretch(min(t, off), x[2]*light, x[1], 293.15)
			stretch(min(t, open)-off, 0, x[1], 293.15)
			share := 1 - math.Exp(-x[0]/flow)
			q := flow * share
			stretch(t-open, 0, x[1]+q, (x[1]*293.15+q*288.15)/(x[1]+q))
			out := math.NaN()
			switch {
			case t >= open+2:
				out = 288.15 + share*(T-288.15)
			case t >= open:
				out = 288.15
			}
			return []float64{T, out}
		},
	}
	return f, []match.Parameter{parameter("contact", 4, 1, 15), parameter("loss", 0.25, 0.05, 1), parameter("absorptance", 0.86, 0.5, 1)}
}

var twoSensors = []Sensor{{Column: "T", Noise: 0.1, Offset: 0.8}, {Column: "circuit main outlet", Noise: 0.05, Offset: 0.15}}

func planned(t interface{ Fatal(...any) }, off, open, until, every float64) []float64 {
	f, ps := drainedDay(off, open, until)
	r, err := Make(context.Background(), Problem{
		Trials: []Trial{{Name: "day", Load: f.load(ps)}}, Parameters: ps, Sensors: twoSensors, Every: every,
	}, Options{Run: f.run})
	if err != nil {
		t.Fatal(err)
	}
	var sd []float64
	for j := range r.Covariance {
		sd = append(sd, math.Sqrt(r.Covariance[j][j]))
	}
	return sd
}

// TestThePromiseMovesSmoothlyWithTimes moves switchings by seconds, over and beside what would be a row of the run and of the
// logger: no uncertainty changes by more than 3 %. (Where a row stood at the switching itself it was 70 %.)
func TestThePromiseMovesSmoothlyWithTimes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.Float64Range(1800, 3300).Draw(t, "off")
		open := off + 30*math.Ceil(rapid.Float64Range(60, 1500).Draw(t, "hold")/30)
		if rapid.Bool().Draw(t, "on a row") {
			off, open = 30*math.Round(off/30), 30*math.Round(open/30)
		}
		until := 7200.0
		every := rapid.SampledFrom([]float64{1, 10, 30, 60, 300}).Draw(t, "every")
		by := rapid.Float64Range(-8, 8).Draw(t, "by")
		before, after := planned(t, off, open, until, every), planned(t, off, open+by, until, every)
		for j := range before {
			if r := after[j]/before[j] - 1; math.Abs(r) > 0.03 {
				t.Fatalf("water %g s later at %g s, a reading each %g s: uncertainty %d changes by %.1f %%", by, open, every, j, 100*r)
			}
		}
	})
}

// TestAFasterLoggerNeverTeachesLess holds every interval of the ladder against the next.
func TestAFasterLoggerNeverTeachesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.Float64Range(900, 3600).Draw(t, "off")
		open := off + rapid.Float64Range(20, 1800).Draw(t, "hold")
		if rapid.Bool().Draw(t, "in whole minutes") {
			off, open = 60*math.Round(off/60), 60*math.Ceil(open/60)
		}
		f, ps := drainedDay(off, open, 7200)
		r, err := Make(context.Background(), Problem{Trials: []Trial{{Name: "day", Load: f.load(ps)}}, Parameters: ps, Sensors: twoSensors}, Options{Run: f.run})
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(r.Intervals); i++ {
			a, b := r.Intervals[i-1], r.Intervals[i]
			for j := range a.SD {
				if b.SD[j] < a.SD[j]*(1-1e-9) {
					t.Fatalf("uncertainty %d is %g with a reading each %g s and %g each %g s", j, a.SD[j], a.Every, b.SD[j], b.Every)
				}
			}
		}
	})
}

// TestALongerTrialNeverTeachesLess goes on with the last stretch: nothing of what was read before is lost.
func TestALongerTrialNeverTeachesLess(t *testing.T) {
	for _, open := range []float64{4200, 4203, 4222} {
		f, ps := drainedDay(3300, open, 7200)
		for _, by := range []float64{10, 480, 1500} {
			r, err := Make(context.Background(), Problem{
				Trials: []Trial{{Name: "day", Load: f.load(ps)}}, Parameters: ps, Sensors: twoSensors,
				Changes: []Change{{Longer: &Longer{After: "drain", By: by}}}, Every: 10,
			}, Options{Run: f.run})
			if err != nil {
				t.Fatal(err)
			}
			if c := r.Candidates[0]; c.Joint > 1.0005 || slices.Max(c.Gain) > 1.002 { // rows lie a little closer or farther than before
				t.Errorf("water at %g s, %g s longer: %.4f of all is left, %.4f of each", open, by, c.Joint, c.Gain)
			}
		}
	}
}

// TestARowStandsForItsTime: what cells stand for adds up to the run, and none stands at a switching.
func TestARowStandsForItsTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := heat.Problem{Until: rapid.Float64Range(600, 1e5).Draw(t, "until")}
		for _, at := range rapid.SliceOfN(rapid.Float64Range(-10, 1.1e5), 0, 8).Draw(t, "events") {
			p.Duty.Events = append(p.Duty.Events, duty.Event{At: at})
		}
		row := p.Until / rowsOfRun
		times, width, begins := cells(&p, row)
		sum := 0.0
		for k := range times {
			sum += width[k]
			if k > 0 && times[k] <= times[k-1] || width[k] > row*(1+1e-9) || width[k] > 0 && times[k]-begins[k] < 0.49*width[k] {
				t.Fatalf("row %d at %g s stands for %g s of what begins at %g s", k, times[k], width[k], begins[k])
			}
		}
		if math.Abs(sum-p.Until) > 1e-4*p.Until {
			t.Fatalf("rows stand for %g s of %g s", sum, p.Until)
		}
	})
}
