package heat

import (
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/receiver"
)

// layered is a small receiver with everything that the books after a step look at: a melting block in insulation, a
// circuit with water, a pane, probes of every kind, surfaces to touch.
func layered(t *testing.T) *march {
	t.Helper()
	med := plain(2000, 1000, 100)
	med.Latent, med.Solidus, med.Liquidus, med.HeatCapacityMelted = 60e3, 500, 510, med.HeatCapacity
	med.ConductivityMelted = med.Conductivity
	med.Metal, med.ServiceLimit = "tin", 450
	p := cuboid(block.Point{0.2, 0.2, 0.2}, [3]int{8, 8, 8}, med)
	p.Initial = 505 // in the midst of melting
	p.tube("1", block.Width, block.Point{0.1, 0, 0.1})
	p.circuit(0.01, 20+zero, 10e5, through(&p, 0, false))
	p.cool(block.Back, 10, 20+zero, 0.8)
	p.Receiver.Surfaces[block.Back].Touchable = true
	p.TouchLimit = 330
	p.Probes = []Probe{
		{Name: "a", At: block.Point{0.05, 0.05, 0.05}},
		{Name: "b", Kind: Sensor, At: block.Point{0.19, 0.1, 0.1}, Lag: 20, Immersion: 0.9},
		{Name: "c", Kind: Front, At: block.Point{0, 0.1, 0.1}, To: block.Point{0.2, 0.1, 0.1}},
	}
	p.Threads = 2
	p.every(10, 60)
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(m.s.team.stop)
	if err := m.water(true); err != nil {
		t.Fatal(err)
	}
	m.restart()
	if err := m.step(5); err != nil {
		t.Fatal(err)
	}
	return m
}

func TestBooksAfterAStepAskForNoMemory(t *testing.T) {
	m := layered(t)
	at := duty.Watch{What: duty.WatchProbe, Probe: "b"}
	for name, f := range map[string]func(){
		"balance":    m.rec.balance,
		"limits":     m.rec.watchLimits,
		"sensors":    func() { m.rec.sensors(1) },
		"keeping":    func() { m.last.keep(m); m.last.putBack(m) },
		"block mean": func() { m.watch(duty.Watch{What: duty.WatchBlockMean}) },
		"hottest":    func() { m.watch(duty.Watch{What: duty.WatchBlockMax}) },
		"melted":     func() { m.watch(duty.Watch{What: duty.WatchMelted}) },
		"probe":      func() { m.watch(at) },
		"outlet":     func() { m.watch(duty.Watch{What: duty.WatchOutlet}) },
	} {
		f() // memory that is kept is asked for the first time
		if n := testing.AllocsPerRun(10, f); n != 0 {
			t.Errorf("%s: %g allocations", name, n)
		}
	}
}

// What rows and rules read from the tally is what the cells say one by one.
func TestSumsOverCellsAreThoseOfEveryCell(t *testing.T) {
	m := layered(t)
	b, y := m.b, m.s.y0
	mean, high, melted, all := 0.0, 0.0, 0.0, 0.0
	for _, c := range b.inBlock {
		e := b.enthalpy[b.medium[c]]
		mean += b.volume[c] * e.Temperature(y[c]) / b.blockVol
		high = math.Max(high, e.Temperature(y[c]))
		melted += b.mass[c] * e.Melted(y[c])
		all += b.mass[c]
	}
	heat := 0.0
	for c := range b.n {
		heat += b.mass[c] * y[c]
	}
	closeTo(t, "mean, K", m.watch(duty.Watch{What: duty.WatchBlockMean}), mean, 1e-9)
	closeTo(t, "hottest, K", m.watch(duty.Watch{What: duty.WatchBlockMax}), high, 1e-9)
	closeTo(t, "melted", m.watch(duty.Watch{What: duty.WatchMelted}), melted/all, 1e-12)
	if err := m.present(); err != nil {
		t.Fatal(err)
	}
	closeTo(t, "mean of a row, K", m.rec.present.mean, mean, 1e-9)
	closeTo(t, "melted of a row", m.rec.present.melted, melted/all, 1e-12)
	closeTo(t, "heat of a row over heat", m.rec.present.content.roles[receiver.RoleBlock]/heat, 1, 1e-13)
	closeTo(t, "heat after a step over heat", m.rec.tally.step()/heat, 1, 1e-13)
}

// A row shows the same heat flows as an evaluation of the whole body does.
func TestARowShowsTheHeatFlowsOfAnEvaluation(t *testing.T) {
	m := layered(t)
	if err := m.present(); err != nil {
		t.Fatal(err)
	}
	s := m.s
	s.now = true
	s.skin.expand(s, 0, s.light, m.mayShine(), nil)
	s.evaluate(s.spare, s.rr, true)
	s.now = false
	some := false
	for i, v := range m.rec.present.rates {
		closeTo(t, "rate, W", v, s.rr[i], 1e-6*(1+math.Abs(s.rr[i])))
		some = some || math.Abs(v) > 1
	}
	if !some {
		t.Error("no heat flows")
	}
}
