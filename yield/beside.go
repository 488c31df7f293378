package yield

import (
	"math"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/water"
)

// Beside is the same duty with the store beside the receiver instead of inside: the same window and insulation around a receiver
// that stores nothing, and a hot tank that it feeds. It is simple, and for comparison only.
//
// The receiver works while light is offered, at the temperature that charging the tank needs; by night it is empty and cold. It
// takes in what the run's window took in of each watt of light, and loses by its window and its sides what the run lost by them
// for each kelvin of the block's mean above the air. The tank is kept at the highest mean that the block of the run came to (so
// that it holds as much in as much of the block's own matter), and loses by its sides all day what the run's sides lost for each
// kelvin. It begins with what the block held at the start above the temperature at which it serves, and holds no more than the
// block held at its most. The load is taken from it as long as it holds any.
//
//	dE/dt = max(0, α L − (Gw + Gs) (Tr − Ta)) − Gs (Tt − Ta) − Q,   0 ≤ E ≤ Emax
type Beside struct {
	Tank     float64 // K, Tt
	Receiver float64 // K, Tr = Tt + Approach
	Capacity float64 // J, Emax
	Window   float64 // W/K, Gw, while light is on it
	Sides    float64 // W/K, Gs

	Begins       float64 // J
	Light        float64 // J, offered
	Absorbed     float64 // J, by the receiver while it worked
	ReceiverLost float64 // J
	Collected    float64 // J, fed to the tank
	Spilled      float64 // J, of that what the full tank could not hold
	TankLost     float64 // J
	Wanted       float64 // J
	Met          float64 // J
	Ends         float64 // J
}

// Approach is by how much the receiver beside its tank is hotter than it, in K: an assumption, for exchanger and pipes.
const Approach = 20

// MetShare is the share of the load that is met; NaN where none is wanted.
func (b *Beside) MetShare() float64 {
	if !(b.Wanted > 0) {
		return math.NaN()
	}
	return b.Met / b.Wanted
}

// besideStep is the step of the comparison, in s.
const besideStep = 60

// beside compares the run with a store beside the receiver.
func (y *Report) beside(p *heat.Problem, r *heat.Result) {
	a, d := r.Account, &p.Duty
	switch {
	case d.Load == nil:
		y.NotBeside = "the duty has no load"
		return
	case d.Light == nil || !(a.Light > 0) || !(y.Absorbed > 0):
		y.NotBeside = "no light came in"
		return
	case !(a.Shining.Over > 0) || !(a.Shining.Over+a.Else.Over > 0):
		y.NotBeside = "the block was no hotter than the air, so that its losses tell nothing"
		return
	}
	b := &Beside{
		Window: math.Max(0, a.Shining.Window/a.Shining.Over),
		Sides:  math.Max(0, (a.Shining.Others+a.Else.Others)/(a.Shining.Over+a.Else.Over)),
		Begins: a.Begins,
	}
	for _, T := range r.History.Column("block mean").Values {
		b.Tank = math.Max(b.Tank, T)
	}
	b.Receiver = b.Tank + Approach
	stored := r.History.Column("stored").Values
	b.Capacity = math.Max(a.Begins, a.Unused)
	for _, e := range stored {
		b.Capacity = math.Max(b.Capacity, a.Unused+e-stored[len(stored)-1])
	}
	perKg, ok := heatPerKg(d)
	if !ok {
		y.NotBeside = "the heat in a kilogram of its steam cannot be told"
		return
	}
	q := *p
	if q.Duty.Ambient.Empty() {
		q.Duty.Ambient = duty.Fixed(y.Air)
	}
	b.play(&q, r.Ended, y.Absorbed/a.Light, a.Offered, perKg)
	y.Beside = b
}

// heatPerKg is what a unit of the load takes in J: 1 where heat is wanted, and of steam what makes a kilogram of the inlet's
// water dry.
func heatPerKg(d *duty.Duty) (float64, bool) {
	if !d.Load.Steam {
		return 1, true
	}
	w := &d.Water[d.Load.Circuits[0]]
	at := w.Pressure.At(0)
	steam, err := water.SaturatedVapour(at)
	if err != nil {
		return 0, false
	}
	in, err := water.AtPT(at, w.Inlet.At(0))
	return steam.H - in.H, err == nil
}

// play goes through the time. Taken is what is absorbed of the light offered, all of which is total in J.
func (b *Beside) play(p *heat.Problem, until, taken, total, perKg float64) {
	d := &p.Duty
	n := int(math.Ceil(until / besideStep))
	if n == 0 {
		return
	}
	tau := until / float64(n)
	mean := func(s *duty.Signal, t float64) float64 { return 0.5 * (s.At(t) + s.Before(t+tau)) }
	sum := 0.0 // of the light's signal
	for i := range n {
		sum += mean(&d.Light.Power, float64(i)*tau) * tau
	}
	perSignal := 0.0
	if sum > 0 {
		perSignal = total / sum
	}
	e := math.Min(b.Begins, b.Capacity)
	for i := range n {
		t := float64(i) * tau
		air := mean(&d.Ambient, t)
		light := perSignal * mean(&d.Light.Power, t) * tau
		b.Light += light
		if got, lost := taken*light, (b.Window+b.Sides)*(b.Receiver-air)*tau; got > lost {
			b.Absorbed += got
			b.ReceiverLost += lost
			b.Collected += got - lost
			e += got - lost
		}
		lost := math.Min(math.Max(0, b.Sides*(b.Tank-air)*tau), e)
		b.TankLost += lost
		e -= lost
		wanted := perKg * mean(&d.Load.Wanted, t) * tau
		met := math.Min(wanted, e)
		b.Wanted += wanted
		b.Met += met
		e -= met
		if e > b.Capacity {
			b.Spilled += e - b.Capacity
			e = b.Capacity
		}
	}
	b.Ends = e
}
