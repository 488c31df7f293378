package season

import (
	"context"
	"fmt"
	"math"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/receiver"
)

// Runner computes a problem by the full model, as heat.Run does.
type Runner func(ctx context.Context, p heat.Problem) (*heat.Result, error)

// rowsEvery is how often, in s, a day of the full model is looked at.
const rowsEvery = 300

// observed is a day as the full model computed it.
type observed struct {
	day    Day
	duty   duty.Duty
	result *heat.Result
	rows   []heat.Grouped // of the history's rows
	nodes  [][]float64    // K, of the rows, by node
}

// problemOf is a day as a problem of the full model.
func problemOf(p *heat.Problem, l *laid, day *Day) heat.Problem {
	q := *p
	q.Duty = excerpt(&p.Duty, day)
	q.Steady, q.FieldTimes, q.ProfileTimes = false, nil, []float64{}
	q.Until = day.Lasts
	q.Output = nil
	for i := 0; float64(i)*rowsEvery < q.Until-1e-6; i++ {
		q.Output = append(q.Output, float64(i)*rowsEvery)
	}
	q.Output = append(q.Output, q.Until)
	air := heat.WeatherAt(&q.Duty, 0).Air
	q.Initial = air
	q.Receiver.Parts = append([]receiver.Part(nil), p.Receiver.Parts...)
	for i := range q.Receiver.Parts {
		pt := &q.Receiver.Parts[i]
		pt.Initial = math.NaN()
		if math.IsNaN(day.Block) {
			continue
		}
		if pt.Initial = air + l.share[i]*(day.Block-air); pt.Role == receiver.RoleBlock {
			pt.Initial = day.Block
		}
	}
	return q
}

// day has the full model compute a day and gathers its rows.
func (b *builder) day(day Day) (*observed, error) {
	l := b.l
	q := problemOf(b.p, l, &day)
	o := &observed{day: day, duty: q.Duty}
	q.Progress = nil
	q.Seen = func(s heat.Sight) { o.rows = append(o.rows, s.Groups(l.group, l.nodes)) }
	var err error
	if o.result, err = b.compute(q, l.name(), &o.rows); err != nil {
		return nil, fmt.Errorf("computing %s by the full model: %w", day.Name, err)
	}
	if o.result.Stopped != "" {
		return nil, fmt.Errorf("%s of the full model ends before its time (%s): a season needs a duty that goes on", day.Name, o.result.Stopped)
	}
	for i := range o.rows {
		if g := b.glass; g != nil {
			o.rows[i].Heat[g.node] = g.Capacity * (o.rows[i].Pane - 293.15)
		}
		T := make([]float64, l.nodes)
		for n, h := range o.rows[i].Heat {
			T[n] = l.curves[n].temperature(h)
		}
		o.nodes = append(o.nodes, T)
	}
	return o, nil
}

// raise takes over what the full model warns of on a day, at its time in the season.
func (m *Model) raise(o *observed) {
next:
	for _, c := range o.result.Cautions {
		c.At += o.day.From
		for i := range m.Cautions {
			if k := &m.Cautions[i]; k.Kind == c.Kind && k.Place == c.Place {
				if c.Value > k.Value {
					*k = c
				}
				continue next
			}
		}
		m.Cautions = append(m.Cautions, c)
	}
}

// Hottest is the highest of the block's mean, in K, on the days that were computed in full.
func (m *Model) Hottest() float64 {
	T := m.Reach.Mean[1]
	for i := range m.Checks {
		T = math.Max(T, m.Checks[i].Blocks[1])
	}
	return T
}

// column returns a column of the full model's history; nil where it has none.
func (o *observed) column(name string) []float64 {
	if c := o.result.History.Column(name); c != nil {
		return c.Values
	}
	return nil
}
