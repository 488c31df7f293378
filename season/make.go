package season

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"emberbank/heat"
)

// mostRounds is how often days are added to the building where the season leaves the states of those that it had.
const mostRounds = 3

// Make builds a fast model for a problem's season by itself, has it compute the season, adds days to the building as long as
// the season leaves their states, and holds the model against days apart, which begin as the season has them. The problem's
// Until is the season's end, its Initial the temperature of everything at the start. Where the model refuses, the error wraps
// ErrOutside; the model is still there to be looked at, and its outcome is not to be relied on.
func Make(ctx context.Context, p heat.Problem, plan Plan, every float64, o Options) (*Model, *Outcome, error) {
	p.Duty = p.Duty.Over(p.Until)
	days := int(p.Until / daySeconds)
	if days < 1 {
		return nil, nil, fmt.Errorf("%w: the season lasts %.3g h: less than a day", ErrOutside, p.Until/3600)
	}
	light := lightOf(&p.Duty, days)
	from := plan.From
	if len(from) == 0 {
		from = chooseFrom(light, orElse(plan.FromCount, DefaultFrom), plan.Apart, p.Initial, hotOf(&p))
	}
	if len(from) == 0 {
		return nil, nil, fmt.Errorf("all days of the season stand apart: none is left to build from")
	}
	b, err := begin(ctx, &p, o, len(from)+max(len(plan.Apart), orElse(plan.ApartCount, DefaultApart)))
	if err != nil {
		return nil, nil, err
	}
	defer b.still.Close()
	m, out, err := b.cover(from)
	if err != nil {
		return nil, nil, err
	}
	apart := slices.Clone(plan.Apart)
	if len(apart) == 0 {
		apart = chooseApart(light, orElse(plan.ApartCount, DefaultApart), b.taken(), func(day int) float64 { return out.Days[day].First })
	}
	for i := range apart {
		if d := &apart[i]; d.FromSeason {
			d.Block = out.Days[int(d.From/daySeconds)].First
		}
	}
	if err := b.hold(m, apart); err != nil {
		return nil, nil, err
	}
	like := likeSeason(&p.Duty, out.Days[:days]) // whole days
	if day := farthest(like, b.known(), append(b.taken(), apart...)); day >= 0 {
		b.total++
		if err := b.hold(m, []Day{DayAt(day, out.Days[day].First)}); err != nil {
			return nil, nil, err
		}
		m.Checks[len(m.Checks)-1].Farthest = true
	}
	err = b.o.March(func() (err error) {
		out, err = m.Run(ctx, &p.Duty, p.Initial, p.Until, every)
		return err
	})
	if out != nil {
		out.Beyond = beyond(likeSeason(&p.Duty, out.Days), b.known())
	}
	return m, out, err
}

// known are the traits of the days that the full model computed.
func (b *builder) known() []traits {
	var out []traits
	for _, o := range append(slices.Clone(b.days), b.held...) {
		out = append(out, likeObserved(&b.p.Duty, o)...)
	}
	return out
}

func orElse(n, otherwise int) int {
	if n > 0 {
		return n
	}
	return otherwise
}

// cover builds from days, and from further days where the season leaves what they know.
func (b *builder) cover(from []Day) (*Model, *Outcome, error) {
	for round := 0; ; round++ {
		seen, err := b.observe(from)
		if err != nil {
			return nil, nil, err
		}
		b.days = append(b.days, seen...)
		b.runs += len(from)
		m, err := b.fit()
		if err != nil {
			return nil, nil, err
		}
		out, err := m.run(b.ctx, &b.p.Duty, m.uniform(b.p.Initial), b.p.Until, daySeconds)
		var left *outsideError
		switch {
		case errors.As(err, &left) && round < mostRounds: // a circuit that it does not know was opened
			from = []Day{DayAt(int(left.at/daySeconds), left.block)}
		case err != nil:
			return nil, nil, err
		case round < mostRounds:
			if from = b.further(m, out); len(from) == 0 {
				return m, out, nil
			}
		default:
			return m, out, nil
		}
		b.total += len(from) + 1 // and what surroundings and water take is asked anew
	}
}

// further are days on which the season leaves the states of the days of building, the farthest for each of its ends.
func (b *builder) further(m *Model, out *Outcome) []Day {
	var list []Day
	hottest, coldest, molten := 0, 0, 0
	for i := range out.Days {
		if out.Days[i].Warmest > out.Days[hottest].Warmest {
			hottest = i
		}
		if out.Days[i].Coldest < out.Days[coldest].Coldest {
			coldest = i
		}
		if out.Days[i].Melted > out.Days[molten].Melted {
			molten = i
		}
	}
	margin := 0.5 * m.Allowed.Mean
	if out.Days[hottest].Warmest > m.Reach.Mean[1]+margin {
		list = append(list, DayAt(hottest, out.Days[hottest].First))
	}
	if out.Days[coldest].Coldest < m.Reach.Mean[0]-margin && coldest != hottest {
		list = append(list, DayAt(coldest, out.Days[coldest].First))
	}
	if out.Days[molten].Melted > 0 && m.Reach.Melted[1] == 0 && molten != hottest {
		list = append(list, DayAt(molten, out.Days[molten].First))
	}
	return list
}

// taken are the days that the model was built from.
func (b *builder) taken() []Day {
	var out []Day
	for _, o := range b.days {
		out = append(out, o.day)
	}
	return out
}

// Why returns the reason that an error of ErrOutside gives, without the words that it begins with.
func Why(err error) string { return strings.TrimPrefix(err.Error(), ErrOutside.Error()+": ") }
