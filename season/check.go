package season

import (
	"context"
	"fmt"
	"math"
	"strings"
)

// Check is the fast model held against the full one on a day that it was not built from, from the same state on.
type Check struct {
	Day  string
	Heat float64 // J, the day's heat: the largest of what was absorbed, generated and delivered, and of what was lost
	Fast Books
	Full Books
	// Off is the largest error of delivered, lost and stored, as a share of the day's heat; on a day on which less
	// moves than warms the receiver by the allowed kelvins, of that.
	Off   float64
	Worst string // which of them
	// Mean is the largest error of the block's mean in K, as means over an hour: a rule that switches some minutes earlier puts
	// two models apart for these minutes by as much as its hysteresis, and nothing hangs on it. Peak is the largest at any row.
	Mean, Peak float64
	Spread     float64 // K, its root mean square
	Blocks     [2]float64
	Melted     [2]float64 // least and most of the full model
	Boiled     bool
	Drawn      bool // water flowed
	Open       bool // the cover was open for a while; Shut: shut
	Shut       bool
	Empty      bool // it began with everything at the ambient
	Farthest   bool // it was chosen as the day that is least like the others
}

// lasting is the rows of an hour.
const lasting = 3600 / rowsEvery

// hold computes a day by the fast model from the full one's state on and compares.
func (m *Model) hold(ctx context.Context, o *observed) (Check, error) {
	c := Check{Day: o.day.Name, Empty: math.IsNaN(o.day.Block), Melted: [2]float64{1, 0}, Blocks: [2]float64{math.Inf(1), 0}}
	out, err := m.run(ctx, &o.duty, o.rows[0].Heat, o.day.Lasts, rowsEvery)
	if err != nil {
		return c, fmt.Errorf("holding the fast model against %s: %w", o.day.Name, err)
	}
	l := &o.result.Ledger
	c.Fast = out.Whole
	c.Full = Books{
		Absorbed: l.Absorbed, Glass: l.Glass, Electric: l.Electric, Generated: l.Generated,
		Delivered: l.Carried, Lost: l.Lost, Stored: l.Stored,
	}
	if s := o.result.Served; s != nil {
		c.Full.Wanted, c.Full.Met, c.Full.Short = s.Wanted, s.Met, s.Asked-s.Held
	}
	c.Heat = math.Max(math.Max(l.Absorbed+l.Glass+l.Electric+l.Generated, l.Carried), l.Lost)
	least := m.Allowed.Mean * m.l.perKelvin(o.rows[0].Heat)
	for _, q := range []struct {
		name       string
		fast, full float64
	}{{"delivered", out.Whole.Delivered, l.Carried}, {"lost", out.Whole.Lost, l.Lost}, {"stored", out.Whole.Stored, l.Stored}} {
		if off := math.Abs(q.fast-q.full) / math.Max(c.Heat, least); off > c.Off {
			c.Off, c.Worst = off, q.name
		}
	}
	fast, full := out.History.Column("block mean").Values, o.column("block mean")
	melted := o.column("melted")
	sum := 0.0
	var off []float64
	for i := range full {
		d := fast[min(i, len(fast)-1)] - full[i]
		c.Peak = math.Max(c.Peak, math.Abs(d))
		off = append(off, d)
		sum += d * d
		c.Blocks[0], c.Blocks[1] = math.Min(c.Blocks[0], full[i]), math.Max(c.Blocks[1], full[i])
		c.Melted[0], c.Melted[1] = math.Min(c.Melted[0], melted[i]), math.Max(c.Melted[1], melted[i])
		r := &o.rows[i]
		c.Open, c.Shut = c.Open || !r.Shut, c.Shut || r.Shut
		for k := range r.Flowing {
			c.Drawn, c.Boiled = c.Drawn || r.Flowing[k], c.Boiled || r.Flowing[k] && r.Boils[k]
		}
	}
	c.Spread = math.Sqrt(sum / float64(len(full)))
	c.Mean = overHour(off)
	return c, nil
}

// perKelvin is the heat in J that warms all nodes with these heat contents by 1 K, what melts them left out.
func (l *laid) perKelvin(heat []float64) (sum float64) {
	for n := range l.curves {
		c := &l.curves[n]
		T := c.temperature(heat[n])
		cold, warm := c.heat(T), c.heat(T+1)
		sum += warm - cold - c.melted(warm, c.piece(warm, 0)) + c.melted(cold, c.piece(cold, 0))
	}
	return sum
}

// overHour returns the largest mean, without its sign, of an hour's rows, or of all where they last less.
func overHour(rows []float64) float64 {
	n, most := min(lasting, len(rows)), 0.0
	for i := n; i <= len(rows); i++ {
		mean := 0.0
		for _, x := range rows[i-n : i] {
			mean += x / float64(n)
		}
		most = math.Max(most, math.Abs(mean))
	}
	return most
}

// Passes tells whether the errors are within what is allowed.
func (c *Check) Passes(a Allowance) bool { return c.Off <= a.Heat && c.Mean <= a.Mean }

// Told says what the day held.
func (c *Check) Told() string {
	var says []string
	if c.Farthest {
		says = append(says, "least like the others")
	}
	if c.Empty {
		says = append(says, "empty at its start")
	}
	if c.Melted[1] > 0 {
		says = append(says, fmt.Sprintf("melted %.0f to %.0f %%", 100*c.Melted[0], 100*c.Melted[1]))
	}
	switch {
	case c.Boiled:
		says = append(says, "water boils")
	case c.Drawn:
		says = append(says, "water stays liquid")
	}
	switch {
	case c.Open && c.Shut:
		says = append(says, "cover open and shut")
	case c.Shut:
		says = append(says, "cover shut")
	}
	return strings.Join(says, ", ")
}

// MetOff is by how much of what was wanted on the day the fast model is off in what was met; NaN where nothing was wanted.
func (c *Check) MetOff() float64 {
	if !(c.Full.Wanted > 0) {
		return math.NaN()
	}
	return (c.Fast.Met - c.Full.Met) / c.Full.Wanted
}

// MetWithin is the largest of these on all days apart, without its sign: within so much of what is wanted stands the share of a
// season's load that is met, as far as these days tell. NaN where nothing was wanted on any.
func (m *Model) MetWithin() float64 {
	most := math.NaN()
	for i := range m.Checks {
		if off := math.Abs(m.Checks[i].MetOff()); off == off && !(most > off) {
			most = off
		}
	}
	return most
}

// Worst is the largest errors of all days apart, of whichever day each.
func (m *Model) Worst() Check {
	var w Check
	for i := range m.Checks {
		w.Off, w.Mean = math.Max(w.Off, m.Checks[i].Off), math.Max(w.Mean, m.Checks[i].Mean)
	}
	return w
}

// Paths names the ways of loss, in the order of Books.ByPath.
func (m *Model) Paths() []string { return m.sur.paths }
