package season

import (
	"context"
	"errors"
	"fmt"
	"math"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/history"
)

// longestStep is the longest step in s.
const longestStep = 600

// loadStep is the longest step in s while a load is served.
const loadStep = 300

// shortestStep is the shortest step in s to the moment at which a rule acts.
const shortestStep = 1

// Outcome is what a season comes to. Heat and mass flows of the history are means since the row before.
type Outcome struct {
	History history.History
	Days    []DayBooks
	Whole   Books
	Events  []heat.Mark // what was switched, when and why
	Seen    Reach       // the states that it came through
	Account heat.Account
	Served  *heat.Served // nil: the duty has no load
	Beyond  []Beyond     // the days on which something lies outside the days that the full model computed; of Make
	Steps   int
	Ended   float64 // s
}

// Books are where the energy went, in J.
type Books struct {
	Absorbed, Glass, Electric, Generated float64
	Delivered                            float64   // carried off by the water
	ByCircuit                            []float64 // the same by circuit
	Steam                                float64   // kg
	Lost                                 float64
	ByPath                               []float64
	Stored                               float64 // rise of the heat content
	Residual                             float64
	Wanted, Met                          float64 // of the load; 0 without one
	Short                                float64 // s in which less was delivered than wanted
}

// DayBooks are the books of a day.
type DayBooks struct {
	Day int // from 0
	Books
	First            float64 // K, the block's mean at its beginning
	Warmest, Coldest float64 // K, of the block's mean
	Melted           float64 // 1, the most
	Switched         int     // how often the cover moved, or light began or ended
}

// ErrOutside is the error of a season that leaves what its model knows.
var ErrOutside = errors.New("the fast model refuses to answer")

// add adds the flows of a step.
func (b *Books) add(f *flowing) {
	b.Absorbed += f.absorbed
	b.Glass += f.glass
	b.Electric += f.electric
	b.Generated += f.generated
	if b.ByPath == nil {
		b.ByPath, b.ByCircuit = make([]float64, len(f.lost)), make([]float64, len(f.drawn))
	}
	for i, q := range f.lost {
		b.Lost += q
		b.ByPath[i] += q
	}
	for i, q := range f.drawn {
		b.Delivered += q
		b.ByCircuit[i] += q
		b.Steam += f.steam[i]
	}
}

// close sets what is stored and what is left over.
func (b *Books) close(stored float64) {
	b.Stored = stored
	b.Residual = b.Absorbed + b.Glass + b.Electric + b.Generated - b.Lost - b.Delivered - b.Stored
}

// course is a run of the fast model.
type course struct {
	w       *walker
	m       *Model
	d       *duty.Duty
	player  *duty.Player
	t       float64
	out     *Outcome
	row     flowing // integrals since the last row
	rowAt   float64
	day     DayBooks
	dayAt   float64 // J stored at the day's beginning
	began   float64 // J
	H0, H1  []float64
	at      moment
	oldH    []float64
	rules   bool
	every   float64
	opening duty.Opening
	most    []float64 // W or kg/s, by the load's circuits
	was     []bool    // by circuit: it flowed in the last step
	ahead   float64   // s, the end of the step in hand
	stop    string
	lit     bool // light shone in the last step, and the cover was shut
	shut    bool
	account account
}

// run carries the model from the heat contents H through a duty until a time, with a row every so many seconds.
func (m *Model) run(ctx context.Context, d *duty.Duty, H []float64, until, every float64) (*Outcome, error) {
	whole := d.Over(until)
	d = &whole
	c := &course{
		w: m.newWalker(H), m: m, d: d, player: duty.NewPlayer(d), opening: duty.NothingOpen(), out: &Outcome{}, every: every,
		H0: make([]float64, len(H)), H1: make([]float64, len(H)), oldH: make([]float64, len(H)), rules: len(d.Rules) > 0,
	}
	c.row = m.newFlowing()
	c.began = c.w.stored()
	c.dayAt = c.began
	c.day = c.newDay(0)
	c.layColumns(int(until/every) + 2)
	c.at.flows, c.at.inlet, c.at.press = make([]float64, len(m.circuits)), make([]float64, len(m.circuits)), make([]float64, len(m.circuits))
	c.was = make([]bool, len(m.circuits))
	for i := range c.was { // what flows at the start has been flowing for long
		c.was[i] = i < len(c.player.Switches.Water) && c.player.Switches.Water[i] == duty.Flowing
	}
	c.at.heaters = make([]float64, len(d.Heaters))
	c.shut = c.player.Switches.CoverShut
	c.mark(c.player.Fire(0))
	c.judge()
	c.keep()
	c.openAccount()
	for n := 0; c.t < until && c.stop == ""; n++ {
		if n%4096 == 0 {
			if err := ctx.Err(); err != nil {
				return nil, fmt.Errorf("marching the fast model to %.6g s, reached %.6g s: %w", until, c.t, err)
			}
		}
		if err := c.one(until); err != nil {
			return nil, err
		}
	}
	c.endDay()
	c.out.Ended = c.t
	c.closeAccount()
	c.out.Whole.close(c.w.stored() - c.began)
	return c.out, nil
}

// one makes one step.
func (c *course) one(until float64) error {
	next := math.Min(c.t+longestStep, until)
	if l := c.d.Load; l != nil && (l.Wanted.At(c.t) > 0 || c.opening.Open > 0) {
		next = math.Min(next, c.t+loadStep)
	}
	next = math.Min(next, c.player.NextStop(c.t))
	row := c.rowAt + c.every
	next = math.Min(next, row)
	midnight := (float64(c.day.Day) + 1) * daySeconds
	next = math.Min(next, midnight)
	tau := next - c.t
	copy(c.oldH, c.w.H)
	c.attend()
	if err := c.prepare(tau); err != nil {
		return err
	}
	if err := c.take(tau); err != nil {
		return err
	}
	if c.rules {
		c.ahead = c.t + tau
		if f := c.player.Crossing(c.t, c.t+tau, c.before, c.after); f < 1 && f*tau < tau-shortestStep {
			tau = math.Max(f*tau, shortestStep)
			next = c.t + tau
			c.back()
			if err := c.prepare(tau); err != nil {
				return err
			}
			if err := c.take(tau); err != nil {
				return err
			}
		}
	}
	c.t = next
	for i := range c.was {
		c.was[i] = c.w.taps[i].open
	}
	c.out.Steps++
	c.book(tau)
	if c.t >= midnight-1e-6 && c.t < until {
		c.endDay()
		c.day = c.newDay(c.day.Day + 1)
	}
	c.mark(c.player.Fire(c.t))
	c.judge()
	if c.t >= row-1e-6 || c.t >= until || c.stop != "" {
		c.keep()
	}
	return nil
}

// judge lets rules act, and those that what others have switched makes act, at once: the full model takes a step of a fraction of a
// second in between, this one minutes.
func (c *course) judge() {
	for range len(c.d.Rules) + 1 {
		fired := c.player.Judge(c.t, c.value)
		if len(fired) == 0 {
			return
		}
		c.mark(fired)
	}
}

// back puts the state back to the step's start.
func (c *course) back() {
	copy(c.w.H, c.oldH)
	c.w.read()
}

// take makes the step, in halves where Newton's method needs it; the sums of all of it stand in w.half.
func (c *course) take(tau float64) error {
	c.w.half.clear()
	done, part := 0.0, tau
	for done < tau*(1-1e-12) {
		part = math.Min(part, tau-done)
		if !c.w.step(part, c.H0, c.H1) {
			if part /= 2; part < 1e-3 {
				return fmt.Errorf("the fast model finds no state after %.6g s", c.t)
			}
			continue
		}
		c.w.half.add(&c.w.sums, 1)
		done += part
	}
	return nil
}

// prepare finds what the step of tau is computed with: everything as in its middle, since nothing jumps within it.
func (c *course) prepare(tau float64) error {
	c.at.of(c.d, &c.player.Switches, c.t+0.5*tau)
	sw := &c.player.Switches
	c.deal(tau)
	for i := range c.at.flows {
		q := &c.m.circuits[i]
		switch sw.Water[i] {
		case duty.Drained:
			continue
		case duty.Closed, duty.Open:
			return c.outside("water stands in circuit %s, which it does not know; drain it instead", q.name)
		}
		if !q.known {
			return c.outside("water flows in circuit %s, which was empty on all days that it was built from; build it from a day on which it flows", q.name)
		}
		if f := c.at.flows[i]; q.tap.set == byFlow && (f < q.tap.least*(1-1e-6) || f > q.tap.largest*(1+1e-6)) {
			return c.outside("%.4g kg/s flow in circuit %s; it knows %.4g to %.4g kg/s", f, q.name, q.tap.least, q.tap.largest)
		}
	}
	c.w.prepare(&c.at)
	for i := range c.w.taps {
		t := &c.w.taps[i]
		if t.opening = 0; t.open && !c.was[i] {
			q := &c.m.circuits[i]
			t.opening = t.fills(q, behind(q.shares, c.m.l.layers, c.w.T)) / tau
		}
	}
	return nil
}

// outsideError tells where a season leaves what the model knows.
type outsideError struct {
	at, block float64 // s; K, of the block's mean at the beginning of that day
	why       string
}

func (e *outsideError) Error() string {
	return fmt.Sprintf("%v: after %s %s", ErrOutside, clock(e.at), e.why)
}

func (e *outsideError) Unwrap() error { return ErrOutside }

// outside says where the season leaves what the model knows.
func (c *course) outside(format string, args ...any) error {
	return &outsideError{at: c.t, block: c.day.First, why: fmt.Sprintf(format, args...)}
}

// book adds the step to the books.
func (c *course) book(tau float64) {
	c.row.add(&c.w.half, 1)
	c.day.Books.add(&c.w.half)
	c.out.Whole.add(&c.w.half)
	c.served(tau)
	T := c.w.mean()
	c.bookAccount(tau, T)
	c.day.Warmest, c.day.Coldest = math.Max(c.day.Warmest, T), math.Min(c.day.Coldest, T)
	c.day.Melted = math.Max(c.day.Melted, c.w.melted())
	if lit := c.at.light > 0; lit != c.lit || c.at.shut != c.shut {
		c.day.Switched++
		c.lit, c.shut = lit, c.at.shut
	}
	c.out.Seen.widen(c, T)
}

func (c *course) newDay(n int) DayBooks {
	T := c.w.mean()
	return DayBooks{Day: n, First: T, Warmest: T, Coldest: T, Melted: c.w.melted()}
}

func (c *course) endDay() {
	now := c.w.stored()
	c.day.close(now - c.dayAt)
	c.dayAt = now
	c.out.Days = append(c.out.Days, c.day)
}

// mark notes what was switched.
func (c *course) mark(fired []duty.Fired) {
	for _, f := range fired {
		c.out.Events = append(c.out.Events, heat.Mark{At: c.t, What: f.Name})
		if f.Stop {
			c.stop = f.Name
		}
	}
}

// value is what a rule looks at; before the same at the step's start.
func (c *course) value(q duty.Watch) float64 {
	switch q.What {
	case duty.WatchBlockMean:
		return c.w.mean()
	case duty.WatchMelted:
		return c.w.melted()
	case duty.WatchSteam:
		if !c.w.taps[q.Index].open {
			return math.NaN()
		}
		return c.w.now.steam[q.Index]
	case duty.WatchLight:
		if c.d.Light == nil || !c.player.Switches.Light {
			return 0
		}
		return c.d.Light.Power.At(c.t)
	}
	return math.NaN()
}

// after is value for the candidate of the step.
func (c *course) after(q duty.Watch) float64 {
	if q.What == duty.WatchLight && c.d.Light != nil && c.player.Switches.Light {
		return c.d.Light.Power.Before(c.ahead)
	}
	return c.value(q)
}

func (c *course) before(q duty.Watch) float64 {
	switch q.What {
	case duty.WatchBlockMean, duty.WatchMelted:
		now := append([]float64(nil), c.w.H...)
		c.back()
		v := c.value(q)
		copy(c.w.H, now)
		c.w.read()
		return v
	}
	return c.value(q)
}

// clock shows a time since the start.
func clock(t float64) string {
	day := math.Floor(t / daySeconds)
	minutes := int(math.Round((t - day*daySeconds) / 60))
	return fmt.Sprintf("%.0f d %02d:%02d", day, minutes/60, minutes%60)
}
