package plan

import (
	"fmt"
	"math"
)

// span words a time.
func span(t float64) string {
	switch {
	case math.IsInf(t, 1):
		return "for ever"
	case t < 119.5:
		return fmt.Sprintf("%.0f s", t)
	case t < 2*3600-30:
		return fmt.Sprintf("%.0f min", t/60)
	case t < 48*3600:
		h := math.Floor((t + 30) / 3600)
		m := math.Floor((t + 30 - 3600*h) / 60)
		if m == 0 {
			return fmt.Sprintf("%.0f h", h)
		}
		return fmt.Sprintf("%.0f h %.0f min", h, m)
	}
	return fmt.Sprintf("%.1f d", t/86400)
}

// Span words a time as the plan's sentences do.
func Span(t float64) string { return span(t) }

// percent words a share with two digits that count.
func percent(v float64) string {
	switch {
	case v >= 0.095:
		return fmt.Sprintf("%.0f %%", 100*v)
	case v >= 0.0095:
		return fmt.Sprintf("%.1f %%", 100*v)
	}
	return fmt.Sprintf("%.1g %%", 100*v)
}

// Percent words a share as the plan's sentences do.
func Percent(v float64) string { return percent(v) }

// say words what a candidate would bring.
func (d *design) say(c *Candidate) string {
	if c.Why != "" {
		return c.Name + " cannot be told: " + c.Why
	}
	best, worst := 0, 0
	for j := range c.Gain {
		if c.Gain[j] < c.Gain[best] {
			best = j
		}
		if c.Gain[j] > c.Gain[worst] {
			worst = j
		}
	}
	s := c.Name
	switch {
	case c.Gain[best] > 0.99 && c.Joint > 0.99 && c.Gain[worst] < 1.02:
		return s + " would change next to nothing"
	case c.Gain[best] < 0.99:
		s += fmt.Sprintf(" would bring the uncertainty of %s to %s of that planned", d.p.Parameters[best].Name, percent(c.Gain[best]))
		if c.Gain[worst] > 1.02 {
			s += fmt.Sprintf(", but that of %s to %s", d.p.Parameters[worst].Name, percent(c.Gain[worst]))
		}
		return s
	}
	return s + fmt.Sprintf(" would bring the uncertainty of %s to %s of that planned", d.p.Parameters[worst].Name, percent(c.Gain[worst]))
}
