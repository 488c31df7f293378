package season

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/material"
)

// tin melts at one temperature here, the glass-like medium over a range.
func twoMedia() []part {
	tin := &material.Medium{
		Density: 7000, HeatCapacity: material.Constant(230), HeatCapacityMelted: material.Constant(250), Latent: 60e3, Solidus: 505, Liquidus: 505,
	}
	wax := &material.Medium{
		Density: 900, HeatCapacity: material.Constant(2000), HeatCapacityMelted: material.Constant(2200), Latent: 150e3, Solidus: 330, Liquidus: 340,
	}
	return []part{{3, material.NewEnthalpy(tin), tin}, {0.5, material.NewEnthalpy(wax), wax}}
}

// A node's curve is that of its media: heat content and melted heat of each, at one temperature.
func TestCurveOfANodeIsThatOfItsMedia(t *testing.T) {
	parts := twoMedia()
	c := layCurve(parts)
	rapid.Check(t, func(t *rapid.T) {
		T := rapid.Float64Range(200, 1200).Draw(t, "T")
		if math.Abs(T-505) < 1e-3 {
			return
		}
		want, melted := 0.0, 0.0
		for _, p := range parts {
			h := p.e.Of(T)
			want += p.mass * h
			melted += p.mass * p.medium.Latent * p.e.Melted(h)
		}
		h := c.heat(T)
		if math.Abs(h-want) > 1e-6*math.Abs(want)+1 {
			t.Fatalf("%g J at %g K, its media hold %g J", h, T, want)
		}
		if back := c.temperature(h); math.Abs(back-T) > 1e-6 {
			t.Fatalf("%g K comes back as %g K", T, back)
		}
		if m := c.melted(h, c.piece(h, 0)); math.Abs(m-melted) > 1e-6*melted+1 {
			t.Fatalf("%g J are melted, of its media %g J", m, melted)
		}
	})
	low := c.heat(505)
	for _, f := range []float64{0.01, 0.5, 0.99} { // while tin melts, the temperature stands
		if T := c.temperature(low + f*3*60e3); math.Abs(T-505) > 1e-5 {
			t.Errorf("%g K when %g of the tin is melted", T, f)
		}
	}
}

func TestTablesAreExactForWhatIsStraightAlongEachAxis(t *testing.T) {
	f := func(x, a, b float64) float64 { return 3 + x*(1+0.5*a)*(2-b) + a*b }
	tab := newTable(axis{0, 1, 5, 6}, axis{-1, 0, 2}, axis{4}, axis{1, 3})
	tab.each(func(at, curve []float64) {
		for i, x := range tab.over {
			curve[i] = f(x, at[0], at[2])
		}
	})
	out := make([]float64, len(tab.over))
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(-1, 2).Draw(t, "a"), rapid.Float64Range(1, 3).Draw(t, "b")
		x := rapid.Float64Range(-1, 8).Draw(t, "x")
		tab.mix(out, a, 4, b)
		got, slope := read(tab.over, out, x)
		if want := f(x, a, b); math.Abs(got-want) > 1e-9*(1+math.Abs(want)) || math.Abs(slope-(1+0.5*a)*(2-b)) > 1e-9 {
			t.Fatalf("%g and slope %g at %g, %g, %g; wanted %g", got, slope, x, a, b, want)
		}
	})
}

// two is a model of two nodes without melting, joined by a conductance, with one outlet: a linear problem.
func two() *Model {
	plain := &material.Medium{Density: 1000, HeatCapacity: material.Constant(1000), HeatCapacityMelted: material.Constant(1000)}
	m := &Model{l: &laid{nodes: 2, layers: 1, volume: []float64{1}}}
	for _, mass := range []float64{2, 1} {
		m.l.curves = append(m.l.curves, layCurve([]part{{mass, material.NewEnthalpy(plain), plain}}))
	}
	m.links = []link{{a: 0, b: 1, g0: 3, ref: 300}}
	outer := newTable(outerOver, axis{290}, axis{0}, axis{0}, axis{0}, axis{0})
	outer.each(func(_, curve []float64) {
		for i, x := range outerOver {
			curve[i] = 1.5 * x
		}
	})
	m.sur = &surroundings{paths: []string{"side"}, outer: []*table{outer}}
	m.sur.window.path = -1
	m.outlets, m.paths = []outlet{{path: 0, node: 1, share: 1, ratio: 1}}, []float64{1}
	m.generated = []float64{40, 0}
	return m
}

// The step is of second order, and the books close to rounding whatever the step.
func TestStepIsOfSecondOrderAndItsBooksClose(t *testing.T) {
	m := two()
	const end = 3000.0
	run := func(steps int) float64 {
		w := m.newWalker(m.uniform(350))
		w.prepare(&moment{weather: heat.Weather{Air: 290, Sky: 290, Ground: 290}})
		H0, H1 := make([]float64, 2), make([]float64, 2)
		began, moved := w.stored(), 0.0
		for range steps {
			if !w.step(end/float64(steps), H0, H1) {
				t.Fatal("no state was found")
			}
			moved += w.sums.generated - w.sums.lost[0]
		}
		if off := w.stored() - began - moved; math.Abs(off) > 1e-9*math.Abs(moved)+1e-6 {
			t.Errorf("%d steps: %g J left over", steps, off)
		}
		return w.T[0]
	}
	exact := run(4096)
	for _, n := range []int{16, 32, 64} {
		a, b := math.Abs(run(n)-exact), math.Abs(run(2*n)-exact)
		if order := math.Log2(a / b); order < 1.8 || order > 2.3 {
			t.Errorf("from %d to %d steps the error falls from %g to %g K: order %.2f", n, 2*n, a, b, order)
		}
	}
	// A step that is far too long for the fast mode damps it.
	w := m.newWalker([]float64{m.l.curves[0].heat(400), m.l.curves[1].heat(300)})
	w.prepare(&moment{weather: heat.Weather{Air: 290, Sky: 290, Ground: 290}})
	H0, H1 := make([]float64, 2), make([]float64, 2)
	for range 8 {
		w.step(1e6, H0, H1)
	}
	if standing := 290 + 40/1.5; math.Abs(w.T[1]-standing) > 1e-2 || math.Abs(w.T[0]-standing-40.0/3) > 1e-2 {
		t.Errorf("it ends at %g and %g K", w.T[0], w.T[1])
	}
}

// A day cut out of a season's duty says the same at the same moments.
func TestExcerptSaysWhatTheSeasonSays(t *testing.T) {
	whole := smallProblem(t, makesSteam).Duty
	whole = whole.Over(10 * daySeconds)
	rapid.Check(t, func(t *rapid.T) {
		day := DayAt(rapid.IntRange(0, 9).Draw(t, "day"), math.NaN())
		d := excerpt(&whole, &day)
		at := rapid.Float64Range(0, daySeconds-1).Draw(t, "at")
		for name, pair := range map[string][2]*duty.Signal{
			"ambient": {&whole.Ambient, &d.Ambient}, "wind": {&whole.Wind, &d.Wind}, "light": {&whole.Light.Power, &d.Light.Power}, "load": {&whole.Load.Wanted, &d.Load.Wanted},
		} {
			if a, b := pair[0].At(day.From+at), pair[1].At(at); math.Abs(a-b) > 1e-9*(1+math.Abs(a)) {
				t.Fatalf("%s: %g at %g s of %s, the season has %g", name, b, at, day.Name, a)
			}
		}
	})
	if d := whole; len(d.Ambient.T) < 20 {
		t.Error("the season's duty was cut too")
	}
}

func TestDaysApartAreOtherDaysThanThoseOfBuilding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		light := rapid.SliceOfN(rapid.Float64Range(0, 10), 1, 60).Draw(t, "light")
		from := chooseFrom(light, rapid.IntRange(1, 8).Draw(t, "from"), nil, 280, 560)
		apart := chooseApart(light, rapid.IntRange(1, 8).Draw(t, "apart"), from, func(int) float64 { return 400 })
		all := append(slices.Clone(from), apart...)
		for i := range all {
			for j := range i {
				if all[i].From == all[j].From && (i >= len(from)) {
					t.Fatalf("%s is built from and held against", all[i].Name)
				}
			}
		}
		if len(apart) > 0 && !slices.ContainsFunc(apart, func(d Day) bool { return math.IsNaN(d.Block) }) {
			t.Fatal("no day apart begins empty")
		}
		named := []Day{DayAt(rapid.IntRange(0, len(light)-1).Draw(t, "named"), 400)}
		named[0].Lasts *= float64(rapid.IntRange(1, 3).Draw(t, "lasts"))
		if d := shared(named, chooseFrom(light, 8, named, 280, 560)); d != nil {
			t.Fatalf("%s is named to stand apart and is built from", d.Name)
		}
	})
}

func TestNothingIsHeldToADayThatItWasBuiltFrom(t *testing.T) {
	b := &builder{days: []*observed{{day: DayAt(4, 400)}}}
	if err := b.hold(&Model{}, []Day{DayAt(2, 400), DayAt(4, math.NaN())}); err == nil || !strings.Contains(err.Error(), "day 5 is to stand apart") {
		t.Errorf("it says %v", err)
	}
}

func TestOneAllowanceLeavesTheOtherAsItIs(t *testing.T) {
	for _, q := range [][2]Allowance{{{}, {0.05, 5}}, {{Heat: 0.03}, {0.03, 5}}, {{Mean: 2}, {0.05, 2}}, {{0.1, 9}, {0.1, 9}}} {
		if got := (Options{Allowed: q[0]}).filled().Allowed; got != q[1] {
			t.Errorf("of %v becomes %v", q[0], got)
		}
	}
}

// The largest mean over an hour of rows, and where they last less, that of all.
func TestMeanOverAnHourIsThatOfAllWhereThereIsLess(t *testing.T) {
	spike := make([]float64, 3*lasting)
	spike[0], spike[lasting+3] = -18, 24
	for _, q := range []struct {
		rows []float64
		want float64
	}{{nil, 0}, {[]float64{-4, -8}, 6}, {spike, 2}} {
		if got := overHour(q.rows); math.Abs(got-q.want) > 1e-12 {
			t.Errorf("%g of %v, wanted %g", got, q.rows, q.want)
		}
	}
}

// A load is shared out evenly, and what one circuit cannot give the others make up for.
func TestWhatOneCircuitCannotGiveTheOthersMakeUpFor(t *testing.T) {
	c := &course{d: &duty.Duty{Load: &duty.Load{Wanted: duty.Fixed(9), Circuits: []int{2, 0, 1}}}, opening: duty.Opening{Open: 3}, most: []float64{10, 1, 10}}
	c.at.flows = make([]float64, 3)
	c.deal(600)
	if got := c.at.flows; math.Abs(got[2]-4) > 1e-12 || got[0] < 1 || math.Abs(got[1]-4) > 1e-12 {
		t.Errorf("asked are %v", got)
	}
}

// TestWhatOneKelvinTakes is a sum of masses times heat capacities: 2 kg and 1 kg of 1000 J/(kg K).
func TestWhatOneKelvinTakes(t *testing.T) {
	m := two()
	if got := m.l.perKelvin([]float64{m.l.curves[0].heat(400), m.l.curves[1].heat(300)}); math.Abs(got-3000) > 1e-6 {
		t.Errorf("%g J/K, not 3000", got)
	}
	// Half of the tin melted: 3 kg of 250 J/(kg K) and 0.5 kg of 2200 J/(kg K), no heat of melting.
	c := layCurve(twoMedia())
	l := &laid{curves: []curve{c}}
	if got := l.perKelvin([]float64{c.heat(505) + 0.5*3*60e3}); math.Abs(got-1850) > 1 {
		t.Errorf("%g J/K while tin melts, not 1850", got)
	}
}
