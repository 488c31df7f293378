package season

import (
	"context"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"emberbank/duty"
	"emberbank/heat"
)

// The aim: on days apart, melting, boiling and an empty start among them, under 5 % of the day's heat and 5 K of the block's
// mean.
func TestDaysApartAreMet(t *testing.T) {
	for name, load := range map[string]string{"steam": makesSteam, "liquid": warmsWater} {
		s := makeOnce[load](t)
		if s.m == nil {
			t.Fatal(s.err)
		}
		var melted, boiled, empty, drawn bool
		for i := range s.m.Checks {
			c := &s.m.Checks[i]
			t.Logf("%s, %s: heat off by %.2f %% (%s), block mean by %.2f K (any row %.2f K, rms %.2f K); %s", name, c.Day, 100*c.Off, c.Worst, c.Mean, c.Peak, c.Spread, c.Told())
			melted, boiled, empty, drawn = melted || c.Melted[1] > 0.5, boiled || c.Boiled, empty || c.Empty, drawn || c.Drawn
			if c.Off > 0.05 || c.Mean > 5 {
				t.Errorf("%s, %s: off by %.2f %% of its heat and %.2f K", name, c.Day, 100*c.Off, c.Mean)
			}
			t.Logf("%s, %s: met %.4g of %.4g, by the full model %.4g of %.4g", name, c.Day, c.Fast.Met, c.Fast.Wanted, c.Full.Met, c.Full.Wanted)
			if math.Abs(c.Fast.Wanted-c.Full.Wanted) > 1e-3*c.Full.Wanted || math.Abs(c.Fast.Met-c.Full.Met) > 0.05*c.Full.Wanted || !(c.Full.Met > 0) {
				t.Errorf("%s, %s: met %.4g of %.4g, by the full model %.4g of %.4g", name, c.Day, c.Fast.Met, c.Fast.Wanted, c.Full.Met, c.Full.Wanted)
			}
		}
		if s.err != nil {
			t.Errorf("%s: %v", name, s.err)
		}
		if !melted || !empty || !drawn || boiled != (load == makesSteam) {
			t.Errorf("%s: the days apart melted %t, boiled %t, began empty %t, drew water %t", name, melted, boiled, empty, drawn)
		}
	}
}

// A block that is full turns the light off, and the rule that looks at the light shuts the cover in the same moment.
func TestRuleThatAnotherMakesActActsAtOnce(t *testing.T) {
	s := makeOnce[warmsWater](t)
	if s.out == nil {
		t.Fatal(s.err)
	}
	follows := map[string]string{"full": "sun: back", "full: back": "sun"}
	seen := 0
	for i, e := range s.out.Events {
		want := follows[e.What]
		if want == "" || e.What == "full: back" && s.p.Duty.Light.Power.At(e.At) < 60 {
			continue
		}
		seen++
		if i+1 == len(s.out.Events) || s.out.Events[i+1].What != want || s.out.Events[i+1].At != e.At {
			t.Errorf("after %s at %s the next is %+v", e.What, clock(e.At), s.out.Events[min(i+1, len(s.out.Events)-1)])
		}
	}
	if seen < 4 {
		t.Errorf("the block was full, or had cooled, %d times only", seen)
	}
}

func TestBooksOfEverySeasonDayClose(t *testing.T) {
	s := makeOnce[makesSteam](t)
	if s.out == nil {
		t.Fatal(s.err)
	}
	var delivered, lost, stored float64
	for i := range s.out.Days {
		d := &s.out.Days[i]
		if scale := d.Absorbed + d.Delivered + d.Lost; math.Abs(d.Residual) > 1e-9*scale {
			t.Errorf("day %d: %g J of %g J left over", d.Day+1, d.Residual, scale)
		}
		delivered, lost, stored = delivered+d.Delivered, lost+d.Lost, stored+d.Stored
	}
	w := &s.out.Whole
	for _, q := range [][2]float64{{delivered, w.Delivered}, {lost, w.Lost}, {stored, w.Stored}} {
		if math.Abs(q[0]-q[1]) > 1e-9*w.Absorbed {
			t.Errorf("the days add up to %g J, the season has %g J", q[0], q[1])
		}
	}
	if len(s.out.Days) != 10 || len(s.out.History.Time) != 241 {
		t.Errorf("%d days and %d rows", len(s.out.Days), len(s.out.History.Time))
	}
	for _, c := range s.out.History.Columns { // heat flows are means: their sum is the season's heat
		if c.Name != "heat to passes" {
			continue
		}
		sum := 0.0
		for _, v := range c.Values {
			sum += v * 3600
		}
		if math.Abs(sum-w.Delivered) > 1e-6*w.Delivered {
			t.Errorf("the rows carry %g J, the books %g J", sum, w.Delivered)
		}
	}
}

func TestSameSeasonGivesTheSameNumbersForOneWorkerAndTwo(t *testing.T) {
	two := makeOnce[warmsWater](t)
	if two.out == nil {
		t.Fatal(two.err)
	}
	m, out, err := Make(context.Background(), two.p, Plan{FromCount: 3, ApartCount: 3}, 3600, Options{Run: heat.Run, Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(out, two.out) || !reflect.DeepEqual(m.Checks, two.m.Checks) {
		t.Error("one worker and two differ")
	}
}

func TestModelThatWasBuiltDryRefusesWater(t *testing.T) {
	p := smallProblem(t, warmsWater)
	dry := p
	dry.Duty.Load = nil
	m, err := Build(context.Background(), dry, []Day{DayAt(0, math.NaN())}, []Day{DayAt(3, math.NaN())}, Options{Run: heat.Run, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	if why := m.Refuses(); why != "" {
		t.Fatal(why)
	}
	d := dry.Duty
	d.Water = []duty.Water{{Flow: duty.Fixed(0.002), Inlet: duty.Fixed(288.15), Pressure: duty.Fixed(1e6)}}
	d.Events = []duty.Event{{At: 15 * 3600, Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}}}
	_, err = m.Run(context.Background(), &d, 285.15, daySeconds, 3600)
	if !errors.Is(err, ErrOutside) || !strings.Contains(err.Error(), "circuit main, which was empty on all days") || !strings.Contains(err.Error(), "0 d 15:00") {
		t.Errorf("it answered %v", err)
	}
	// Hotter than it was ever built.
	d = dry.Duty
	d.Rules = d.Rules[:1]
	if _, err = m.Run(context.Background(), &d, 285.15, daySeconds, 3600); !errors.Is(err, ErrOutside) || !strings.Contains(err.Error(), "it was built up to") {
		t.Errorf("it answered %v", err)
	}
}

func TestModelHeldAgainstNothingAnswersNothing(t *testing.T) {
	if why := (&Model{}).Refuses(); why == "" {
		t.Error("it answers")
	}
	m := &Model{Allowed: Allowance{0.05, 5}, Checks: []Check{{Day: "day 3", Off: 0.04, Mean: 4}, {Day: "day 9", Off: 0.06, Worst: "lost", Mean: 1}}}
	if why := m.Refuses(); !strings.Contains(why, "on day 9 it is off by 6.0 %") || strings.Contains(why, "day 3") {
		t.Errorf("it refuses because %q", why)
	}
}

func TestWhatTheFastModelDoesNotKnowIsRefusedBeforeAnythingIsComputed(t *testing.T) {
	run := func(context.Context, heat.Problem) (*heat.Result, error) {
		t.Error("it computed")
		return nil, errors.New("computed")
	}
	for name, change := range map[string]func(p *heat.Problem){
		"pump":  func(p *heat.Problem) { p.Duty.Pumps = []duty.Pump{{Circuits: []int{0}}} },
		"place": func(p *heat.Problem) { p.Duty.Rules[0].Watch = duty.Watch{What: duty.WatchProbe, Probe: "core"} },
		"end":   func(p *heat.Problem) { p.Duty.Rules[0].Do = []duty.Action{{What: duty.StopRun}} },
		"event": func(p *heat.Problem) {
			p.Duty.Events = []duty.Event{{Name: "enough", At: 3 * daySeconds, Do: []duty.Action{{What: duty.StopRun}}}}
		},
	} {
		p := smallProblem(t, warmsWater)
		p.Duty.Rules = append([]duty.Rule(nil), p.Duty.Rules...)
		change(&p)
		if _, _, err := Make(context.Background(), p, Plan{}, 3600, Options{Run: run}); !errors.Is(err, ErrOutside) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestStoppingStopsAskingWhatSurroundingsAndWaterTake(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	p := smallProblem(t, warmsWater)
	p.Duty.Load = nil
	_, err := Build(ctx, p, []Day{DayAt(5, math.NaN())}, nil, Options{Run: heat.Run, Progress: func(what string, _, _ int) {
		if strings.HasPrefix(what, "what surroundings") {
			stop()
		}
	}})
	if !errors.Is(err, context.Canceled) || !strings.Contains(err.Error(), "asking") {
		t.Errorf("it ended with %v", err)
	}
}

func TestStoppingStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, _, err := Make(ctx, smallProblem(t, warmsWater), Plan{}, 3600, Options{Run: heat.Run}); !errors.Is(err, context.Canceled) {
		t.Errorf("it ended with %v", err)
	}
}
