package duty

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// hot is a rule on the block's mean that turns the light off above 400 and on again below 390.
func hot() Rule {
	return Rule{
		Name: "full", Watch: Watch{What: WatchBlockMean}, Above: true, Threshold: 400, Hysteresis: 10,
		Do: []Action{{What: SetLight, Value: 0}}, Else: []Action{{What: SetLight, Value: 1}},
	}
}

func at(v float64) func(Watch) float64 { return func(Watch) float64 { return v } }

func TestRuleActsOnceThenWaitsForItsHysteresis(t *testing.T) {
	p := NewPlayer(&Duty{Switches: Switches{Light: true}, Rules: []Rule{hot()}})
	for _, step := range []struct {
		v     float64
		fired int
		light bool
	}{
		{380, 0, true},
		{399.9, 0, true},
		{400, 1, false},
		{405, 0, false},
		{395, 0, false},
		{402, 0, false},
		{390, 1, true},
		{395, 0, true},
		{400, 1, false},
	} {
		if n := len(p.Judge(0, at(step.v))); n != step.fired || p.Switches.Light != step.light {
			t.Errorf("at %g: %d fired and light %t, want %d and %t", step.v, n, p.Switches.Light, step.fired, step.light)
		}
	}
}

func TestRuleBelowMirrorsRuleAbove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := hot()
		r.Hysteresis = rapid.Float64Range(0, 30).Draw(t, "hysteresis")
		m := r
		m.Above, m.Threshold = false, -r.Threshold
		a := NewPlayer(&Duty{Rules: []Rule{r}})
		b := NewPlayer(&Duty{Rules: []Rule{m}})
		for _, v := range rapid.SliceOf(rapid.Float64Range(370, 430)).Draw(t, "values") {
			if x, y := len(a.Judge(0, at(v))), len(b.Judge(0, at(-v))); x != y {
				t.Fatalf("at %g: %d and %d", v, x, y)
			}
		}
	})
}

// Between two acts of a rule the value has travelled at least the hysteresis, whatever it does between.
func TestRuleNeverChatters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := hot()
		r.Above = rapid.Bool().Draw(t, "above")
		r.Hysteresis = rapid.Float64Range(0, 30).Draw(t, "hysteresis")
		p := NewPlayer(&Duty{Rules: []Rule{r}})
		last, any := 0.0, false
		for _, v := range rapid.SliceOf(rapid.Float64Range(350, 450)).Draw(t, "values") {
			for range 3 { // looking again changes nothing
				for _, f := range p.Judge(0, at(v)) {
					if any && math.Abs(f.Value-last) < r.Hysteresis {
						t.Fatalf("acted at %g and again at %g with hysteresis %g", last, f.Value, r.Hysteresis)
					}
					if any && f.Value == last {
						t.Fatalf("acted twice at %g", last)
					}
					last, any = f.Value, true
				}
			}
		}
	})
}

func TestRuleAlreadyBeyondActsAtTheStartOrAtItsAfter(t *testing.T) {
	late := hot()
	late.After = 60
	p := NewPlayer(&Duty{Rules: []Rule{hot(), late}})
	if f := p.Judge(0, at(500)); len(f) != 1 || f[0].Rule != 0 {
		t.Errorf("at the start: %+v", f)
	}
	if s := p.NextStop(0); s != 60 {
		t.Errorf("next stop %g s, want the rule's 60 s", s)
	}
	if f := p.Judge(59.9, at(500)); len(f) != 0 {
		t.Errorf("before its time: %+v", f)
	}
	if f := p.Judge(60, at(500)); len(f) != 1 || f[0].Rule != 1 {
		t.Errorf("at its time: %+v", f)
	}
}

func TestOnceIsOnceAndItsElseToo(t *testing.T) {
	r := hot()
	r.Once = true
	p := NewPlayer(&Duty{Rules: []Rule{r}})
	n := 0
	for range 3 {
		n += len(p.Judge(0, at(410)))
		n += len(p.Judge(0, at(380)))
	}
	if n != 2 {
		t.Errorf("acted %d times, want once and back once", n)
	}
}

func TestNaNNeverActs(t *testing.T) {
	p := NewPlayer(&Duty{Rules: []Rule{hot()}})
	if f := p.Judge(0, at(math.NaN())); len(f) != 0 {
		t.Errorf("%+v", f)
	}
	if f := p.Crossing(0, 1, at(math.NaN()), at(500)); f != 1 {
		t.Errorf("crossing at %g", f)
	}
}

func TestCrossingIsWhereTheStraightLineMeetsTheThreshold(t *testing.T) {
	p := NewPlayer(&Duty{Rules: []Rule{hot()}})
	if f := p.Crossing(0, 10, at(390), at(410)); math.Abs(f-0.5) > 1e-15 {
		t.Errorf("on the way up: %g, want 0.5", f)
	}
	if f := p.Crossing(0, 10, at(380), at(399)); f != 1 {
		t.Errorf("short of it: %g, want 1", f)
	}
	p.Judge(0, at(400))
	if f := p.Crossing(0, 10, at(410), at(380)); math.Abs(f-2.0/3) > 1e-15 {
		t.Errorf("on the way back: %g, want 2/3", f)
	}
	if f := p.Crossing(0, 10, at(395), at(410)); f != 1 {
		t.Errorf("up again before it has come back: %g, want 1", f)
	}
}

// A march that steps to each stop, and cuts its step at each crossing, sees the same switching as exact
// arithmetic: on a saw of slope ±1 the rule acts every 2×10 s.
func TestMarchLandsOnEveryCrossing(t *testing.T) {
	d := &Duty{Switches: Switches{Light: true}, Rules: []Rule{hot()}}
	p := NewPlayer(d)
	v, now := 385.0, 0.0
	var times []float64
	for now < 100 {
		slope := -1.0
		if p.Switches.Light {
			slope = 1
		}
		tau := math.Min(7, 100-now)
		f := p.Crossing(now, now+tau, at(v), at(v+slope*tau))
		now += f * tau
		v += slope * f * tau
		if len(p.Judge(now, at(v))) > 0 {
			times = append(times, now)
		}
	}
	for i, x := range times {
		if want := 15 + 10*float64(i); math.Abs(x-want) > 1e-9 {
			t.Errorf("act %d at %.12g s, want %g s", i, x, want)
		}
	}
	if len(times) != 9 {
		t.Errorf("%d acts in 100 s, want 9", len(times))
	}
}

func drawDuty(t *rapid.T) *Duty {
	time := rapid.OneOf(rapid.Float64Range(0, 100), rapid.Map(rapid.IntRange(0, 20), func(i int) float64 { return 5 * float64(i) }))
	signal := func(name string) Signal {
		s := Signal{Step: rapid.Bool().Draw(t, name+" held")}
		n := rapid.IntRange(0, 6).Draw(t, name+" knots")
		for i := range n {
			next := time.Draw(t, name)
			if i > 0 {
				next = math.Max(next, s.T[i-1])
			}
			s.T = append(s.T, next)
			s.V = append(s.V, float64(rapid.IntRange(-3, 3).Draw(t, name+" value")))
		}
		return s
	}
	d := &Duty{Ambient: signal("ambient"), Wind: signal("wind"), Water: []Water{{Flow: signal("flow")}}}
	if rapid.Bool().Draw(t, "lit") {
		d.Light = &Light{Power: signal("light")}
	}
	for i := range rapid.IntRange(0, 4).Draw(t, "events") {
		d.Events = append(d.Events, Event{At: time.Draw(t, "event"), Do: []Action{{What: SetFlowShare, Value: float64(i)}}})
	}
	return d
}

func TestNextStopStrictlyIncreasesAndEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := NewPlayer(drawDuty(t))
		now := -1.0
		for n := 0; ; n++ {
			next := p.NextStop(now)
			if !(next > now) {
				t.Fatalf("next stop after %g is %g", now, next)
			}
			if math.IsInf(next, 1) {
				break
			}
			if n > 100 {
				t.Fatal("stops never end")
			}
			now = next
		}
	})
}

// Between two stops every signal is a straight line.
func TestSignalsAreStraightBetweenStops(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDuty(t)
		p := NewPlayer(d)
		now := 0.0
		for now < 120 {
			next := math.Min(p.NextStop(now), 130)
			if next-now > 1e-6 {
				for _, s := range d.signals() {
					if s.Empty() {
						continue
					}
					f := rapid.Float64Range(0.01, 0.99).Draw(t, "fraction")
					want := (1-f)*s.At(now) + f*s.Before(next)
					if got := s.At(now + f*(next-now)); math.Abs(got-want) > 1e-6 {
						t.Fatalf("%+v at %g between %g and %g: %g, straight would be %g", *s, now+f*(next-now), now, next, got, want)
					}
				}
			}
			now = next
		}
	})
}

func TestKnotsOnALineAreNoStops(t *testing.T) {
	s := Signal{}
	for i := range 11 {
		s.T, s.V = append(s.T, 60*float64(i)), append(s.V, 0.1*float64(i))
	}
	p := NewPlayer(&Duty{Ambient: s})
	if n := p.NextStop(0); n != 600 {
		t.Errorf("next stop %g s, want 600 s, where the line ends", n)
	}
	held := Signal{T: []float64{0, 10, 20}, V: []float64{1, 1, 2}, Step: true}
	p = NewPlayer(&Duty{Ambient: held})
	if n := p.NextStop(0); n != 20 {
		t.Errorf("next stop %g s, want 20 s, where the value changes", n)
	}
}

func TestEventsLandExactlyAndInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDuty(t)
		p := NewPlayer(d)
		fired := len(p.Fire(0))
		now := 0.0
		for {
			now = p.NextStop(now)
			if math.IsInf(now, 1) {
				break
			}
			before := p.next
			for i := range p.Fire(now) {
				if e := p.events[before+i]; now-e.At > 2*sameStop*math.Max(1, now) {
					t.Fatalf("event of %g s fired at %g s", e.At, now)
				}
				fired++
			}
		}
		if fired != len(d.Events) {
			t.Fatalf("%d of %d events fired", fired, len(d.Events))
		}
	})
}

func TestCloneGoesItsOwnWay(t *testing.T) {
	d := &Duty{
		Water: make([]Water, 1), Heaters: make([]Signal, 1), Switches: Switches{Light: true}, Rules: []Rule{hot()},
		Events: []Event{{At: 1, Do: []Action{{What: SetWater, Value: float64(Flowing)}, {What: SetHeater, Value: 0}, {What: StopRun}}}},
	}
	p := NewPlayer(d)
	before := p.Switches.Clone()
	q := p.Clone()
	if f := q.Fire(1); len(f) != 1 || !f[0].Stop {
		t.Fatalf("fired %+v", f)
	}
	q.Judge(1, at(500))
	if !reflect.DeepEqual(p.Switches, before) || len(p.Judge(0, at(500))) != 1 || len(p.Fire(1)) != 1 {
		t.Error("the clone changed its origin")
	}
	if d.Switches.Water != nil || !d.Switches.Light {
		t.Error("playing changed the duty")
	}
}

// A rule that counts from 8 s on, whose level is crossed at 5 s of a step from 0 to 10 s, acts at 8 s.
func TestCrossingWaitsForTheTimeFromWhichARuleCounts(t *testing.T) {
	p := NewPlayer(&Duty{Rules: []Rule{{Watch: Watch{What: WatchBlockMean}, Above: true, Threshold: 5, After: 8}}})
	at := func(v float64) func(Watch) float64 { return func(Watch) float64 { return v } }
	if f := p.Crossing(0, 10, at(0), at(10)); f < 0.8-1e-12 || f > 0.8+1e-12 {
		t.Errorf("crossing at %g of the step, wanted 0.8", f)
	}
}
