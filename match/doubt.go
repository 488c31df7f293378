package match

import (
	"context"
	"fmt"
	"math"

	"emberbank/history"
)

// A model that is off by more than this does not describe the trials, and its parameters are not to be used: so many K,
// or so many times the noise of a single reading, over a stretch of rows. Our own limits.
const (
	unfitK     = 5.0
	unfitNoise = 50.0
)

// doubt gathers what must be known before any parameter is used: that the model does not describe the trials, that the
// readings put a switch of the duty elsewhere, that something happened of which the duty knows nothing.
func (out *Result) doubt(ctx context.Context, m *model, sol Solution) error {
	if s := m.unfit(sol); s != "" {
		out.Unfit, out.Doubts = true, append(out.Doubts, s)
	}
	moved, err := m.moved(ctx, sol)
	if err != nil {
		return err
	}
	out.Moved = moved
	for i := range moved {
		out.Doubts = append(out.Doubts, moved[i].Sentence)
	}
	out.Doubts = append(out.Doubts, m.unexplained(sol)...)
	out.Runs, _ = m.memory.Runs()
	return nil
}

// unfit says where the slow course of a column's differences, their median over nine rows, lies further off than a model may
// that is to have its parameters believed; "" where none does.
func (m *model) unfit(sol Solution) string {
	worst, says := 1.0, ""
	for _, c := range m.columns(sol) {
		limit := unfitNoise * c.Noise
		if c.Quantity == history.Temperature {
			limit = min(limit, unfitK)
		}
		for k := range c.r {
			d := middle(c.r[max(0, k-4):min(len(c.r), k+5)])
			if share := math.Abs(d) / limit; share > worst {
				worst = share
				unit := siUnit(c.Quantity.Unit())
				says = fmt.Sprintf("the model does not describe these trials: over a stretch about %s of trial %s, %s departs from it by %s (%.0f times its noise). "+
					"Use none of the parameters below before that is mended: look at what was switched when, at the sensor's place, and at what the model leaves out",
					clock(c.time[k]), c.trial.Name, c.Column, toDigits(math.Abs(d), math.Abs(d), unit), math.Abs(d)/c.Noise)
			}
		}
	}
	return says
}
