package follow

import (
	"math"
	"testing"

	"emberbank/history"
	"emberbank/trial"
)

// given is one logger with one temperature, handed over row by row, three rows settled behind the newest.
type given struct {
	f   *Follower
	v   []float64
	now float64
}

func (g *given) row(v float64) []Call {
	g.v = append(g.v, v)
	n := len(g.v)
	rows := trial.Fresh{
		Columns: []trial.Column{{Name: "core", Quantity: history.Temperature, Role: trial.Body, Noise: 0.1}}, Interval: 10,
		Now: 10 * float64(n-1), Newest: []float64{v}, Stuck: []bool{false}, Values: [][]float64{nil},
	}
	if n > 3 {
		rows.Time, rows.Values[0] = []float64{10 * float64(n-4)}, []float64{g.v[n-4]}
	}
	g.now = rows.Now
	g.f.Take(rows, g.now)
	g.f.Look(g.now)
	return g.f.Calls()
}

// kinds of the calls that rows bring.
func (g *given) kinds(rows ...float64) (out []CallKind) {
	for _, v := range rows {
		for _, c := range g.row(v) {
			out = append(out, c.Kind)
		}
	}
	return out
}

func expect(t *testing.T, what string, got []CallKind, want ...CallKind) {
	t.Helper()
	same := len(got) == len(want)
	for i := range got {
		same = same && got[i] == want[i]
	}
	if !same {
		t.Errorf("%s: the calls are %v, not %v", what, got, want)
	}
}

func limited(l ...Limit) *given { return &given{f: New(Plan{Limits: l})} }

func TestALimitIsCalledNearPassedAndClearOnceEach(t *testing.T) {
	g := limited(Limit{At: 500, Near: 20})
	expect(t, "from afar", g.kinds(300, 400, 450))
	expect(t, "near, by a second reading", g.kinds(485, 486), Near)
	expect(t, "back a little", g.kinds(478, 482))
	expect(t, "passed, by one reading", g.kinds(501), Passed)
	expect(t, "just below", g.kinds(499))
	expect(t, "clear", g.kinds(490, 460), Clear)
	g = limited(Limit{At: 500, Near: 20})
	expect(t, "one wild reading", g.kinds(300, 900, 300, 301))
	expect(t, "a jump that lasts", g.kinds(900, 900), Passed)
	g = limited(Limit{Of: "core", At: 280, Below: true, Near: 5})
	expect(t, "from above", g.kinds(300, 290, 284, 284, 279), Near, Passed)
}

func TestASensorWithoutReadingsIsLostAndFoundAgain(t *testing.T) {
	gap := math.NaN()
	g := limited()
	expect(t, "a short gap", g.kinds(300, 300, gap, gap, gap, 300))
	expect(t, "five rows", g.kinds(gap, gap, gap, gap, gap, gap, gap), Lost)
	expect(t, "again", g.kinds(300, 300), Back)
	if n := g.f.Now(g.now)[0]; n.Lost || n.Age != 0 {
		t.Errorf("it says %+v", n)
	}
	g = limited()
	expect(t, "never any", g.kinds(gap, gap, gap, gap, gap, gap, gap), Lost)
}

func TestALoggerWithoutRowsIsSilentAndItsReadingsAge(t *testing.T) {
	g := limited()
	g.kinds(300, 301, 302)
	for at := g.now; at < g.now+49; at += 7 {
		g.f.Look(at)
	}
	if c := g.f.Calls(); len(c) > 0 {
		t.Errorf("it is called after 49 s: %+v", c)
	}
	g.f.Look(g.now + 51)
	g.f.Look(g.now + 60)
	if c := g.f.Calls(); len(c) != 1 || c[0].Kind != Silent {
		t.Errorf("the calls are %+v", c)
	}
	if n := g.f.Now(g.now + 60)[0]; n.Age != 60 {
		t.Errorf("the reading is %g s old", n.Age)
	}
	g.f.Take(trial.Fresh{ // what was read before settles: nothing new has come
		Columns: []trial.Column{{Name: "core", Quantity: history.Temperature, Role: trial.Body}}, Interval: 10, Now: g.now,
		Newest: []float64{302}, Stuck: []bool{false}, Time: []float64{0, 10, 20}, Values: [][]float64{{300, 301, 302}},
	}, g.now+70)
	if c := g.f.Calls(); len(c) > 0 || g.f.Now(g.now + 70)[0].Age != 70 {
		t.Errorf("by rows that settle it is called %+v, and the reading is %g s old", c, g.f.Now(g.now + 70)[0].Age)
	}
	expect(t, "again", g.kinds(303), Heard)
}

func TestATargetIsReachedFromEitherSide(t *testing.T) {
	for _, sign := range []float64{1, -1} {
		g := &given{f: New(Plan{Targets: []Target{{"core", 400}}})}
		var calls []CallKind
		for k := range 60 {
			calls = append(calls, g.kinds(400+sign*(2*float64(k)-80))...)
			if k == 30 {
				w := g.f.Now(g.now)[0].Targets[0]
				if w.By != "straight course" || math.Abs(w.Time-100) > 1 { // 20 K at 2 K a row
					t.Errorf("the time left is %+v", w)
				}
			}
		}
		expect(t, "on the way", calls, Reached)
	}
}

func TestMemoryDoesNotGrowWithTheTrial(t *testing.T) {
	g := limited(Limit{At: 5000})
	g.f.Use(&Model{})
	for k := range 20000 {
		g.row(300 + 10*math.Sin(float64(k)/50))
	}
	k := g.f.channels[0]
	if len(k.pool.points) > mostPooled || len(k.trend.t) > mostPoints+2 {
		t.Errorf("%d means and %d points are kept", len(k.pool.points), len(k.trend.t))
	}
	x := input{role: trial.LampPower}
	for k := range 200000 {
		x.top = 1000
		x.add(float64(k), 500+500*math.Sin(float64(k)*1.7), 0.1)
	}
	if len(x.t) > mostKnots+2 {
		t.Errorf("%d knots are kept", len(x.t))
	}
}

func TestInputsAreStraightLinesThatMissNoReadingByMore(t *testing.T) {
	for _, hold := range []bool{false, true} {
		x := input{role: trial.LampPower, hold: hold}
		y := func(s float64) float64 {
			switch {
			case hold && s < 3000:
				return 700
			case hold:
				return 0
			}
			return 700*math.Sin(s/2000) + 50*math.Sin(s/170)
		}
		for s := 0.0; s < 9000; s += 10 {
			x.add(s, y(s), 3)
		}
		c := x.signal(600)
		for s := 600.0; s < 9000; s += 10 {
			if d := math.Abs(c.At(s-600) - y(s)); d > 6.01 { // two half-widths: a line's end may be off by one and its slope by another
				t.Fatalf("hold %v: at %g s the course is off by %g", hold, s, d)
			}
		}
		if len(c.T) > 200 {
			t.Errorf("hold %v: %d knots", hold, len(c.T))
		}
	}
}

// TestAnInputOfFewLevelsKeepsItsSteps has sources that are on or off, or a flow that a coarse meter gives in few steps: their
// readings seem to be rounded to the step, and so to scatter by it. Each course is followed within a twentieth of its step.
func TestAnInputOfFewLevelsKeepsItsSteps(t *testing.T) {
	on := func(s float64) float64 { // on until 3300 s, and once more for a while
		if s < 3300 || s >= 4500 && s < 4800 {
			return 3500
		}
		return 0
	}
	room := func(s float64) float64 { // a door was opened
		if s < 3300 {
			return 293.15
		}
		return 283.15
	}
	for _, c := range []struct {
		role trial.Role
		of   func(s float64) float64
		step float64
	}{{trial.LampPower, on, 3500}, {trial.HeaterPower, on, 3500}, {trial.Flow, func(s float64) float64 { return on(s) / 1e5 }, 0.035}, {trial.Ambient, room, 10}, {trial.Irradiance, on, 3500}} {
		for _, hold := range []bool{false, true} {
			f := New(Plan{})
			f.Use(&Model{})
			k := &channel{Column: trial.Column{Name: "x", Role: c.role, Noise: c.step / math.Sqrt(12), Resolution: c.step}, hold: hold}
			for s := 0.0; s < 6000; s += 10 {
				f.drive(k, s, c.of(s))
			}
			course := f.inputs[0].signal(0)
			if hold {
				course.Step = false // jumps are two knots
			}
			for s := 0.0; s < 6000; s += 10 {
				if d := math.Abs(course.At(s) - c.of(s)); d > 0.1*c.step {
					t.Errorf("%v, hold %v: at %g s the course is off by %.0f %% of the step", c.role, hold, s, 100*d/c.step)
					break
				}
			}
		}
	}
}

// TestChannelsOfTwoLoggersAreTwoChannels: a name says a place, and two loggers may both measure there.
func TestChannelsOfTwoLoggersAreTwoChannels(t *testing.T) {
	f := New(Plan{})
	f.Use(&Model{})
	for source, v := range []float64{290, 300} {
		f.Take(trial.Fresh{
			Source: source, Columns: []trial.Column{{Name: "ambient", Quantity: history.Temperature, Role: trial.Ambient}}, Interval: 10,
			Now: 10, Newest: []float64{v}, Stuck: []bool{false}, Time: []float64{0, 10}, Values: [][]float64{{v, v}},
		}, 10)
	}
	n := f.Now(10)
	if len(n) != 2 || n[0].Value != 290 || n[1].Value != 300 || n[0].Source != 0 || n[1].Source != 1 {
		t.Errorf("it says %+v", n)
	}
	if len(f.inputs) != 2 || f.inputs[0].v[0] != 290 || f.inputs[1].v[0] != 300 {
		t.Errorf("%d inputs drive the run", len(f.inputs))
	}
}
