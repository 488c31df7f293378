package heat

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
)

// nine is a block of nine passes in three circuits with films by correlation, heated by 2 kW and insulated, at the given
// temperature in °C.
func nine(counts [3]int, initial, flow, pressure float64) Problem {
	p := cuboid(block.Point{0.2, 0.3, 0.3}, counts, plain(3500, 700, 120))
	p.Receiver.Parts[0].Generation = 2000 / (0.2 * 0.3 * 0.3)
	p.Initial = initial + zero
	for j, z := range []float64{0.075, 0.15, 0.225} {
		for i, x := range []float64{0.05, 0.1, 0.15} {
			p.tube(fmt.Sprint(3*j+i+1), block.Width, block.Point{x, 0, z})
		}
	}
	for j := range 3 {
		p.circuit(flow, 15+zero, pressure, through(&p, 3*j, false), through(&p, 3*j+1, true), through(&p, 3*j+2, false))
	}
	p.Threads = 1
	p.every(600, 3600)
	return p
}

// throttled is nine at 300 °C and 3 bar, each circuit with the same control between wide limits.
func throttled(counts [3]int, c duty.Control) Problem {
	p := nine(counts, 300, 0, 3e5)
	c.Min, c.Max = 1e-5, 0.1
	for i := range p.Duty.Water {
		p.Duty.Water[i].Flow = duty.Signal{}
		c.Circuit = i
		p.Duty.Throttle = append(p.Duty.Throttle, c)
	}
	return p
}

// The states of the water that once made steps short may cost at most three times the stages of a plain flow of
// liquid through the same block, and the heat that they take must be that of a run of ten times the accuracy to
// half a percent of it. Where a trickle boils its own tubes empty the answer hangs on where the water that is driven out
// goes, and no step is short enough to settle it better than to some percent of the little that it takes: there a
// five-hundredth of the heat brought in counts.
func TestNoStateOfTheWaterMakesStepsShort(t *testing.T) {
	if testing.Short() {
		t.Skip("runs of ten times the accuracy")
	}
	counts := [3]int{9, 12, 12}
	cases := []struct {
		name    string
		problem func() Problem
	}{
		{"a trickle that steams", func() Problem { return nine(counts, 300, 1e-5, 10e5) }},
		{"a trickle that comes to steam", func() Problem { return nine(counts, 20, 1e-5, 2e5) }},
		{"a trickle of liquid", func() Problem { return nine(counts, 60, 1e-4, 10e5) }},
		{"water at rest", func() Problem {
			p := nine(counts, 100, 1e-2, 10e5)
			for i := range p.Duty.Switches.Water {
				p.Duty.Switches.Water[i] = duty.Open
			}
			return p
		}},
		{"standing water that boils off", func() Problem {
			p := nine(counts, 300, 1e-2, 10e5)
			for i := range p.Duty.Switches.Water {
				p.Duty.Switches.Water[i] = duty.Open
			}
			return p
		}},
		{"boiling", func() Problem { return nine(counts, 300, 5e-4, 2e5) }},
		{"more boiling", func() Problem { return nine(counts, 400, 2e-3, 10e5) }},
		{"a ramp of the flow", func() Problem {
			p := nine(counts, 150, 0, 10e5)
			for i := range p.Duty.Water {
				p.Duty.Water[i].Flow = duty.Signal{T: []float64{0, 3600}, V: []float64{0.01, 0.1}}
			}
			return p
		}},
		{"a ramp of the inlet", func() Problem {
			p := nine(counts, 150, 0.02, 10e5)
			for i := range p.Duty.Water {
				p.Duty.Water[i].Inlet = duty.Signal{T: []float64{0, 3600}, V: []float64{10 + zero, 40 + zero}}
			}
			return p
		}},
		{"a held outlet", func() Problem {
			p := nine(counts, 250, 0, 10e5)
			for i := range p.Duty.Water {
				p.Duty.Water[i].Flow = duty.Signal{}
				p.Duty.Throttle = append(p.Duty.Throttle, duty.Control{Circuit: i, Value: 80 + zero, Min: 1e-3, Max: 0.1})
			}
			return p
		}},
		{"a held quality", func() Problem { return throttled(counts, duty.Control{Holds: duty.HoldQuality, Value: 0.7}) }},
		{"a held superheat", func() Problem { return throttled(counts, duty.Control{Holds: duty.HoldSuperheat, Value: 20}) }},
		{"held steam", func() Problem { return throttled(counts, duty.Control{Holds: duty.HoldSteam, Value: 2.0 / 3600}) }},
		{"steam that cannot be held", func() Problem { return throttled(counts, duty.Control{Holds: duty.HoldSteam, Value: 30.0 / 3600}) }},
	}
	base := solve(t, nine(counts, 300, 0.05, 10e5))
	closes(t, base)
	t.Logf("plain flow: %d steps, %d refused, %d stages", base.Steps, base.Rejected, base.Stages)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := solve(t, c.problem())
			closes(t, r)
			if !(r.Residual < 1e-9) {
				t.Errorf("the ledger leaves %.3g of the energy exchanged", r.Residual)
			}
			if r.Stages > 3*base.Stages {
				t.Errorf("%d steps, %d refused, %d stages; a plain flow takes %d steps and %d stages", r.Steps, r.Rejected, r.Stages, base.Steps, base.Stages)
			}
			p := c.problem()
			p.Tolerance = DefaultTolerance / 10
			if len(p.Duty.Throttle) > 0 {
				p.Tolerance = DefaultTolerance / 3 // each step looks for its flow
			}
			fine := solve(t, p)
			off := math.Abs(r.Ledger.ToPasses - fine.Ledger.ToPasses)
			for _, w := range append(r.Warnings, fine.Warnings...) {
				if strings.Contains(w, "did not agree") {
					t.Error(w)
				}
			}
			t.Logf("%d steps, %d refused, %d stages; heat %.6g J, finely %.6g J (%.3g %%)", r.Steps, r.Rejected, r.Stages, r.Ledger.ToPasses, fine.Ledger.ToPasses, 100*off/fine.Ledger.ToPasses)
			most := 0.006 * math.Abs(fine.Ledger.ToPasses) // some steps of the default tolerance
			if c.name == "a trickle that comes to steam" {
				most = 0.002 * fine.Ledger.Generated
			}
			if !(off < most) {
				t.Errorf("heat to the passes is %.6g J, in fine steps %.6g J", r.Ledger.ToPasses, fine.Ledger.ToPasses)
			}
		})
	}
}

// startMarch lays a problem and takes its first steps.
func startMarch(t testing.TB, p Problem) *march {
	t.Helper()
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	m.apply(m.player.Fire(0))
	if err := m.water(true); err != nil {
		t.Fatal(err)
	}
	m.restart()
	for range 5 {
		if err := m.step(600); err != nil {
			t.Fatal(err)
		}
	}
	return m
}

func TestWaterAllocatesNothing(t *testing.T) {
	counts := [3]int{6, 8, 8}
	warm := nine(counts, 250, 0, 10e5)
	pumped := nine([3]int{6, 8, 8}, 60, 0, 10e5)
	pumped.Duty.Pumps = []duty.Pump{{Flow: duty.Fixed(0.1), Circuits: []int{0, 1, 2}}}
	for i := range 3 {
		warm.Duty.Water[i].Flow, pumped.Duty.Water[i].Flow = duty.Signal{}, duty.Signal{}
		warm.Duty.Throttle = append(warm.Duty.Throttle, duty.Control{Circuit: i, Value: 80 + zero, Min: 1e-3, Max: 0.1})
	}
	state := func(s duty.WaterState) Problem {
		p := nine([3]int{6, 8, 8}, 80, 0.05, 10e5)
		for i := range p.Duty.Switches.Water {
			p.Duty.Switches.Water[i] = s
		}
		return p
	}
	for name, p := range map[string]Problem{
		"flowing": state(duty.Flowing), "drained": state(duty.Drained), "closed": state(duty.Closed), "open": state(duty.Open),
		"boiling": nine([3]int{6, 8, 8}, 300, 5e-4, 2e5), "held": warm, "pumped": pumped,
		"held quality": throttled(counts, duty.Control{Holds: duty.HoldQuality, Value: 0.7}),
		"held steam":   throttled(counts, duty.Control{Holds: duty.HoldSteam, Value: 2.0 / 3600}),
		"steam missed": throttled(counts, duty.Control{Holds: duty.HoldSteam, Value: 30.0 / 3600}),
	} {
		m := startMarch(t, p)
		s := m.s
		got := testing.AllocsPerRun(20, func() {
			for _, w := range m.streams {
				w.steer.past = math.NaN() // a control looks for its flow anew
			}
			if err := m.flows(0, 20); err != nil {
				t.Fatal(err)
			}
			s.tau = 20
			for _, at := range []float64{0, 0.5, 1} {
				s.at = at
				s.tubes.measure(s.t0, s.pad)
				s.flow()
			}
			for _, w := range m.streams {
				w.pending = w.close(m.tubes, 20, func(slice int) float64 { return s.aa[s.r.slices+slice] })
			}
			m.waterSwings(20)
		})
		m.s.team.stop()
		if got != 0 {
			t.Errorf("%s: a step of the water allocates %g times", name, got)
		}
	}
}

// A slice that comes to boil takes heat without a jump where its water does, and the flow that leaves with more entered
// with more.
func TestWaysThroughASliceNeverCross(t *testing.T) {
	p := nine([3]int{6, 8, 8}, 300, 5e-4, 2e5)
	m := startMarch(t, p)
	defer m.s.team.stop()
	w := m.streams[0]
	z := zones{ready: true, cp: 4300, liquid: 0.1, vapour: 0.02}
	z.dry(w.iso, 0.6, 0.85)
	for k := range z.chain {
		z.chain[k] = 1 / (0.2 - 0.18*clamp(float64(k-wetSteps)/drySteps, 0, 1))
	}
	for _, T := range []float64{320, 390, w.iso.Saturation, 400, 600, 1200} {
		for _, f := range []float64{1e-12, 1e-6, 1e-4, 1e-2} {
			z.most = mostGrowth(f / 1e-4)
			before := w.iso.entry(&z, T, f, w.iso.Low)
			for h := w.iso.Low; h < w.iso.High; h += 500 {
				way := w.iso.entry(&z, T, f, h)
				if way.in < before.in-1e-6*math.Abs(before.in) {
					t.Fatalf("at %g K around and %g kg/s, leaving with %g J/kg entered with %g, with less it entered with %g", T, f, h, way.in, before.in)
				}
				if !(way.density > 0 && way.density <= 1001) {
					t.Fatalf("mean density %g kg/m³", way.density)
				}
				before = way
			}
		}
	}
}

func BenchmarkWaterStage(b *testing.B) {
	m := startMarch(b, nine([3]int{16, 30, 18}, 80, 0.05, 10e5))
	defer m.s.team.stop()
	if err := m.prepare(20); err != nil {
		b.Fatal(err)
	}
	s := m.s
	s.tau = 20
	var fields [8][]float64 // the solid's temperatures change a little from stage to stage
	for k := range fields {
		fields[k] = append([]float64(nil), s.t0...)
		for c := range fields[k] {
			fields[k][c] += 0.02 * math.Sin(float64(k)) * float64(c%7)
		}
	}
	b.ReportAllocs()
	b.ResetTimer()
	for i := range b.N {
		s.at = float64(i%8) / 7
		s.tubes.measure(fields[i%8], s.pad)
		s.flow()
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(m.tubes.slices)), "ns/slice")
}

func BenchmarkWaterLinks(b *testing.B) {
	m := startMarch(b, nine([3]int{16, 30, 18}, 80, 0.05, 10e5))
	defer m.s.team.stop()
	b.ReportAllocs()
	b.ResetTimer()
	for range b.N {
		if err := m.flows(0, 20); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(m.tubes.slices)), "ns/slice")
}
