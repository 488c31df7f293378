package heat

import (
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/material"
	"emberbank/receiver"
)

// rich is a receiver with everything that a step may have to deal with: melting at one temperature, conductivity over
// temperature, glass, sheets of metal, a circuit, a sensor, a rule, light and a heater.
func rich() Problem {
	p := sheeted()
	m := &p.Receiver.Media[0]
	m.Latent, m.Solidus, m.Liquidus = 5e4, 420, 420
	for a := range 3 {
		m.Conductivity[a] = slanting(300, 100, 600, 70)
		m.ConductivityMelted[a] = material.Constant(60)
	}
	p.Receiver.Surfaces[block.Front] = receiver.Surface{Name: "front"}
	p.Receiver.Media = append(p.Receiver.Media, plain(2200, 750, 1.4))
	p.Receiver.Window = &receiver.Window{
		Opening: p.Receiver.Block, Absorptance: 0.9, Emissivity: 0.8,
		Glass: &receiver.Glass{
			Thickness: 0.004, Gap: 0.02, Medium: 3, Transmittance: 0.9, Absorptance: 0.04, Emissivity: 0.85,
			OutsideFilm: receiver.Film{Kind: receiver.FilmOutside},
		},
	}
	p.tube("a", block.Height, block.Point{0.05, 0.05, 0})
	p.circuit(0.02, 290, 1e6, through(&p, 0, false))
	p.Probes = []Probe{{Name: "core", Kind: Sensor, At: block.Point{0.03, 0.03, 0.02}, Lag: 3, Immersion: 0.9}}
	p.Duty.Light = &duty.Light{Power: duty.Fixed(4000)}
	p.Duty.Switches.Light = true
	p.Duty.Rules = []duty.Rule{{Name: "full", Watch: duty.Watch{What: duty.WatchProbe, Probe: "core"}, Above: true, Threshold: 2000}}
	p.Until, p.Output = 3600, []float64{0, 3600}
	return p
}

func TestAStepAllocatesNothing(t *testing.T) {
	for _, threads := range []int{1, 2} {
		p := rich()
		p.Threads = threads
		m, err := newMarch(&p)
		if err != nil {
			t.Fatal(err)
		}
		defer m.s.team.stop()
		m.apply(m.player.Fire(0))
		if err := m.water(true); err != nil {
			t.Fatal(err)
		}
		step := func() {
			if err := m.step(m.t + 60); err != nil {
				t.Fatal(err)
			}
		}
		for range 50 {
			step()
		}
		if a := testing.AllocsPerRun(100, step); a != 0 {
			t.Errorf("%d threads: %.3g allocations a step", threads, a)
		}
		if m.s.thin == nil || !m.net.sharp || m.rejected == 0 {
			t.Errorf("the steps did not meet all that they should: thin %v, sharp %v, %d rejected", m.s.thin != nil, m.net.sharp, m.rejected)
		}
	}
}
