package balance

import (
	"fmt"
	"math"

	"emberbank/history"
	"emberbank/trial"
	"emberbank/uncertainty"
)

// Role is what a column means to the balance.
type Role int

// The roles, with the unit of their readings.
const (
	Block      Role = iota // K, a temperature in the block
	Inlet                  // K, of a circuit's water
	Outlet                 // K
	Flow                   // kg/s
	Pressure               // Pa, of a circuit's water
	Ambient                // K
	Source                 // any; Factor makes watts into the receiver of it
	ToWater                // W, heat to the water by itself, such as a run knows it; instead of inlet, outlet and flow
	Insulation             // K, outside the block: tells of drying only
)

// Error is one systematic error of a channel: one number for the whole record, not known but for its size. Channels
// with an error of the same Group share it.
type Error struct {
	What     string
	Group    string
	Constant float64 // standard uncertainty, in the unit of the channel
	Relative float64 // of the distance from Zero
	Zero     float64 // 273.15 for temperatures, else 0
	Larger   bool    // the larger of the two counts, as in tolerance classes; else the root of the sum of squares
	DoF      float64 // 0 or +Inf: infinitely many
	Shape    uncertainty.Shape
}

// At returns the standard uncertainty at a reading.
func (e *Error) At(v float64) float64 {
	r := e.Relative * math.Abs(v-e.Zero)
	if e.Larger {
		return math.Max(e.Constant, r)
	}
	return math.Hypot(e.Constant, r)
}

// Channel says what a column of the history is and how well it is known.
type Channel struct {
	Column string // its name in the history
	Role   Role
	Of     string  // circuit of Inlet, Outlet, Flow, Pressure and ToWater
	Weight float64 // of a Block channel: the share of the block that it stands for; all 0: equal shares
	Factor float64 // of a Source: W into the receiver for one unit; 0: 1; NaN: not known, it tells only when the source is on
	// FactorErrors are relative standard uncertainties of Factor (in Constant), such as of an area or absorptance.
	FactorErrors []Error
	Noise        float64 // standard, independent from row to row of its own logger, in the unit of the column
	// Own is the channel at the rows of its own logger, nil where those are the history's: products and integrals are
	// taken there, since what is drawn between them follows no start and no noise.
	Own    *trial.Rows
	Least  float64 // of a Flow: what it reads as zero may be anything up to this
	Errors []Error
}

// Capacity is the block's heat content.
type Capacity struct {
	Heat func(T float64) float64 // J of the whole block at the even temperature T in K, from any reference
	// Errors are relative standard uncertainties of the heat (in Constant), such as of mass and heat capacity.
	Errors []Error
	// Placement is the standard uncertainty in K of the block's mean as the thermocouples show it. 0: from their
	// spread at that moment, and not known where there is one only.
	Placement float64
}

// Given is a phase set by hand.
type Given struct {
	Kind     Kind
	From, To float64 // s
}

// Input is what Reduce needs. Everything but History and Channels may be missing; what cannot be computed then is
// left out, with a sentence.
type Input struct {
	Name     string
	History  *history.History
	Channels []Channel
	Capacity *Capacity
	// Loss is the conductance of the losses from block to ambient in W/K, from elsewhere; nil: from the record's own
	// cooling, where there is some.
	Loss *uncertainty.Quantity
	// Pressure of the water in Pa where no channel has it; 0: the atmosphere, or more where the outlet would boil.
	Pressure float64
	// Fill are the stretches, from and to in s, in which the tubes hold water that stood in them when it began to flow: a map leaves them
	// out, since the first water takes far more heat than any flow that lasts. A run knows them, a trial does not.
	Fill   [][2]float64
	Phases []Given // by hand, in time's order; nil: found from the data
	// ClockRate is the relative standard uncertainty of the logger's clock; 0: 1e-4 (an assumption: a poor quartz).
	ClockRate float64
	GapLimit  float64 // s, rows farther apart leave a gap; 0: five times the median distance
	Seed      uint64  // of the draws beside first order
	Quick     bool    // no draws beside first order
	Melting   []Melts // metals in the block that a hot record melts: for its cautions
}

// channels returns the indices of those of a role.
func (in *Input) channels(r Role) []int {
	var all []int
	for i := range in.Channels {
		if in.Channels[i].Role == r {
			all = append(all, i)
		}
	}
	return all
}

// values returns a channel's readings.
func (in *Input) values(i int) []float64 { return in.History.Column(in.Channels[i].Column).Values }

// circuits returns the circuits' names in the order of the channels.
func (in *Input) circuits() []string {
	var names []string
	seen := map[string]bool{}
	for i := range in.Channels {
		switch c := &in.Channels[i]; c.Role {
		case Inlet, Outlet, Flow, ToWater:
			if !seen[c.Of] {
				seen[c.Of] = true
				names = append(names, c.Of)
			}
		default:
		}
	}
	return names
}

// find returns the channel of a role and circuit, or -1.
func (in *Input) find(r Role, of string) int {
	for i := range in.Channels {
		if in.Channels[i].Role == r && in.Channels[i].Of == of {
			return i
		}
	}
	return -1
}

// check says what to mend before anything is computed.
func (in *Input) check() error {
	h := in.History
	if h == nil || len(h.Time) < 2 {
		return fmt.Errorf("the record %q has fewer than two rows: nothing can be balanced", in.Name)
	}
	for i, t := range h.Time {
		if math.IsNaN(t) || math.IsInf(t, 0) || i > 0 && !(t > h.Time[i-1]) {
			return fmt.Errorf("the time of row %d of %q does not rise: sort the rows and drop doubles", i+1, in.Name)
		}
	}
	seen := map[string]bool{}
	for i := range in.Channels {
		c := &in.Channels[i]
		col := h.Column(c.Column)
		switch {
		case col == nil:
			return fmt.Errorf("the record %q has no column %q", in.Name, c.Column)
		case len(col.Values) != len(h.Time):
			return fmt.Errorf("the column %q has %d values over %d times", c.Column, len(col.Values), len(h.Time))
		case c.Noise < 0 || math.IsNaN(c.Noise) || c.Weight < 0 || c.Least < 0:
			return fmt.Errorf("noise, weight and least reading of %q must be at least 0", c.Column)
		}
		switch c.Role {
		case Inlet, Outlet, Flow, Pressure, ToWater:
			if key := fmt.Sprint(int(c.Role), " ", c.Of); seen[key] {
				return fmt.Errorf("the circuit %q has two channels of one kind, the second is %q", c.Of, c.Column)
			} else {
				seen[key] = true
			}
		default:
		}
	}
	for i, p := range in.Phases {
		if !(p.To > p.From) || i > 0 && p.From < in.Phases[i-1].To {
			return fmt.Errorf("phase %d of %q must end after it begins and begin after the one before", i+1, in.Name)
		}
	}
	if in.Capacity != nil && in.Capacity.Heat == nil {
		return fmt.Errorf("the heat capacity of %q has no function", in.Name)
	}
	return nil
}

// weights returns the shares of the block channels, adding up to one.
func (in *Input) weights() (channels []int, w []float64) {
	channels = in.channels(Block)
	sum := 0.0
	for _, i := range channels {
		sum += in.Channels[i].Weight
	}
	for _, i := range channels {
		if sum == 0 {
			w = append(w, 1/float64(len(channels)))
		} else {
			w = append(w, in.Channels[i].Weight/sum)
		}
	}
	return channels, w
}

// blockMean returns the weighted mean of the block's temperatures by row. Where some are missing it is that of the others,
// moved by as much as theirs departs from the mean of all at the rows beside that have all, in a straight line between
// the two: else a thermometer that falls out for a while would look like a jump of the block.
func (in *Input) blockMean() []float64 {
	channels, w := in.weights()
	if len(channels) == 0 {
		return nil
	}
	values := make([][]float64, len(channels))
	for k, i := range channels {
		values[k] = in.values(i)
	}
	t := in.History.Time
	// mean at a row, of the channels that have a value at another; whether all do.
	mean := func(row, as int) (v float64, all bool) {
		sum, of := 0.0, 0.0
		all = true
		for k := range channels {
			if w[k] == 0 {
				continue
			}
			if math.IsNaN(values[k][as]) {
				all = false
				continue
			}
			sum += w[k] * values[k][row]
			of += w[k]
		}
		if of == 0 {
			return math.NaN(), false
		}
		return sum / of, all
	}
	out, whole := make([]float64, len(t)), make([]bool, len(t))
	for r := range out {
		out[r], whole[r] = mean(r, r)
	}
	next, before := 0, -1
	for r := range out {
		if whole[r] {
			before = r
			continue
		}
		if math.IsNaN(out[r]) {
			continue
		}
		for next = max(next, r); next < len(t) && !whole[next]; {
			next++
		}
		departs := func(at int) float64 {
			others, _ := mean(at, r)
			return out[at] - others
		}
		switch {
		case before >= 0 && next < len(t):
			f := (t[r] - t[before]) / (t[next] - t[before])
			out[r] += (1-f)*departs(before) + f*departs(next)
		case before >= 0:
			out[r] += departs(before)
		case next < len(t):
			out[r] += departs(next)
		}
	}
	return out
}

// sourcePower returns the watts into the receiver by row, or readings where those are not known; nil without a source.
func (in *Input) sourcePower() []float64 {
	channels := in.channels(Source)
	if len(channels) == 0 {
		return nil
	}
	out := make([]float64, len(in.History.Time))
	for _, i := range channels {
		f := in.Channels[i].factor()
		if math.IsNaN(f) {
			f = 1
		}
		for r, v := range in.values(i) {
			out[r] += f * v
		}
	}
	return out
}

// metered tells whether the watts of every source are known.
func (in *Input) metered() bool {
	channels := in.channels(Source)
	for _, i := range channels {
		if math.IsNaN(in.Channels[i].Factor) {
			return false
		}
	}
	return len(channels) > 0
}

func (c *Channel) factor() float64 {
	if c.Factor == 0 {
		return 1
	}
	return c.Factor
}

// flowTotal returns what tells whether water flows: kg/s of all circuits, or the watts where only those are known.
func (in *Input) flowTotal() []float64 {
	channels := in.channels(Flow)
	if len(channels) == 0 {
		channels = in.channels(ToWater)
	}
	if len(channels) == 0 {
		return nil
	}
	out := make([]float64, len(in.History.Time))
	for _, i := range channels {
		for r, v := range in.values(i) {
			out[r] += v
		}
	}
	return out
}
