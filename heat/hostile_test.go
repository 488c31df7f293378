package heat

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"emberbank/duty"

	"pgregory.net/rapid"
)

// hostile is a drawn rig made harsh: cells of odd counts and halves, insulation that melts at one temperature too, parts that
// begin hundreds of kelvin apart, light that is switched.
func hostile(seed int) Problem {
	r := rand.New(rand.NewPCG(uint64(seed), 77))
	p := rapid.Custom(func(q *rapid.T) Problem {
		return drawRig(q, options{melting: true, water: rapid.Bool().Draw(q, "wet"), light: true, sources: true, glass: true})
	}).Example(seed)
	for a := range 3 {
		halvings := r.IntN(3)
		if a > 0 {
			halvings = r.IntN(2)
		}
		lines := p.Grid.Lines[a]
		for range halvings {
			var finer []float64
			for i := range lines {
				if i > 0 {
					finer = append(finer, 0.5*(lines[i-1]+lines[i]))
				}
				finer = append(finer, lines[i])
			}
			lines = finer
		}
		if r.IntN(2) == 0 && len(lines) > 2 {
			i := 1 + r.IntN(len(lines)-1)
			x := lines[i-1] + 0.4*(lines[i]-lines[i-1])
			lines = append(append(append([]float64(nil), lines[:i]...), x), lines[i:]...)
		}
		p.Grid.Lines[a] = lines
	}
	if len(p.Receiver.Parts) > 1 && r.IntN(2) == 0 {
		m := &p.Receiver.Media[1]
		m.Latent, m.Solidus = 1e4+1e5*r.Float64(), 320+150*r.Float64()
		m.Liquidus, m.HeatCapacityMelted = m.Solidus, m.HeatCapacity
	}
	for i := range p.Receiver.Parts {
		if i > 0 && r.IntN(2) == 0 {
			p.Receiver.Parts[i].Initial = 280 + 700*r.Float64()
		}
	}
	if p.Duty.Light != nil {
		p.Duty.Events = append(p.Duty.Events, duty.Event{At: 250, Name: "dark", Do: []duty.Action{{What: duty.SetLight, Value: 0}}},
			duty.Event{At: 400, Name: "light", Do: []duty.Action{{What: duty.SetLight, Value: 1}}})
	}
	p.every(7, 700)
	p.FieldTimes = nil
	return p
}

// Rig 127 once shrank its steps without end: the film on one face had two states, and flipped whatever the step.
func TestHarshRigsComeToTheirEnd(t *testing.T) {
	for _, seed := range []int{3, 27, 43, 60, 107, 110, 125, 127, 128} {
		p := hostile(seed)
		ctx, stop := context.WithTimeout(context.Background(), time.Minute)
		r, err := Run(ctx, p)
		stop()
		if err != nil {
			t.Errorf("rig %d: %v", seed, err)
			continue
		}
		if r.Residual > 1e-9 || r.Ended < 700*(1-1e-12) && r.Stopped == "" {
			t.Errorf("rig %d: ends after %g s, %s, with %.2g of the ledger left over", seed, r.Ended, r.Stopped, r.Residual)
		}
	}
}
