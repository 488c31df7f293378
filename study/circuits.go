package study

import (
	"context"
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/heat"
)

// Circuits is what each number of a load's open circuits can give, and for how long.
type Circuits struct {
	Steam bool
	Even  []heat.Ability // from a block that is as hot everywhere, the hottest first
	Full  float64        // K, of the block from which heat is held
	Asked float64        // W or kg/s, that is held
	Held  []float64      // s, by 1, 2, … circuits
}

// longestHold bounds how long a hold is followed, in s, and evenSteps is at how many temperatures an even block is looked at.
const (
	longestHold = 3 * 86400
	evenSteps   = 6
)

// OfCircuits finds what each number of a load's open circuits can give: the range of an even block by EvenCircuits; and for how
// long from its hottest, with the light off and the cover shut, the greatest that the load wants is given to 98 %, by one run for
// each number. Serves and hottest are in K. It returns nil where the duty has no load or wants nothing.
func OfCircuits(ctx context.Context, p heat.Problem, serves, hottest float64) (*Circuits, error) {
	l := p.Duty.Load
	if l == nil || !(hottest > serves) {
		return nil, nil
	}
	c := &Circuits{Steam: l.Steam, Full: hottest}
	c.Asked = slices.Max(l.Wanted.V)
	if !(c.Asked > 0) {
		return nil, nil
	}
	var err error
	if c.Even, err = EvenCircuits(p, serves, hottest); err != nil {
		return nil, err
	}
	for n := 1; n <= len(l.Circuits); n++ {
		t, err := holds(ctx, p, n, c.Asked, hottest)
		if err != nil {
			return nil, fmt.Errorf("holding with %d circuits open: %w", n, err)
		}
		c.Held = append(c.Held, t)
	}
	return c, nil
}

// EvenCircuits finds what each number of a load's open circuits can give a block that is as hot everywhere, by heat.Abilities, from
// its hottest towards the temperature at which it serves, both in K. It marches nothing. Without a load there are none.
func EvenCircuits(p heat.Problem, serves, hottest float64) ([]heat.Ability, error) {
	if p.Duty.Load == nil || !(hottest > serves) {
		return nil, nil
	}
	var at []float64
	for k := range evenSteps {
		at = append(at, hottest-(hottest-serves)*float64(k)/evenSteps)
	}
	even, err := heat.Abilities(p, at)
	if err != nil {
		return nil, fmt.Errorf("looking at what circuits can give: %w", err)
	}
	return even, nil
}

// holds returns for how long, in s, the first n circuits of the load give so much from a block at T in K.
func holds(ctx context.Context, p heat.Problem, n int, asked, T float64) (float64, error) {
	load := *p.Duty.Load
	load.Circuits, load.Wanted = load.Circuits[:n], duty.Fixed(asked)
	d := p.Duty
	d.Load, d.Light, d.Events, d.Rules = &load, nil, nil, nil
	d.Switches = d.Switches.Clone()
	d.Switches.Light, d.Switches.CoverShut = false, p.Receiver.Window != nil
	for i := range d.Switches.Heaters {
		d.Switches.Heaters[i] = false
	}
	for _, i := range p.Duty.Load.Circuits[n:] {
		d.Switches.Water[i] = load.Shut
	}
	p.Duty, p.Initial, p.FieldTimes, p.ProfileTimes, p.Progress, p.Seen = d, T, nil, []float64{}, nil, nil
	parts := slices.Clone(p.Receiver.Parts)
	for i := range parts {
		parts[i].Initial = math.NaN()
	}
	p.Receiver.Parts = parts
	total := 0.0
	for p.Until = 3600; ; p.Until *= 3 { // a march ends by the clock only: longer until it falls short
		p.Output = []float64{0, p.Until}
		r, err := heat.Run(ctx, p)
		if err != nil {
			return 0, err
		}
		if total = r.Served.Held; total < 0.9*p.Until || p.Until >= longestHold {
			return total, nil
		}
	}
}
