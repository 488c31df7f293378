package answer

import (
	"fmt"
	"math"
	"strings"
)

// Names says how a sentence speaks of an axis and a response: their names, and how to write a value of each with its
// unit. D writes a difference of two responses; nil: as Y.
type Names struct {
	Axis, Response string
	X, Y, D        func(float64) string
}

func (n Names) filled() Names {
	plain := func(v float64) string { return fmt.Sprintf("%.4g", v) }
	if n.Axis == "" {
		n.Axis = "the axis"
	}
	if n.Response == "" {
		n.Response = "the response"
	}
	if n.X == nil {
		n.X = plain
	}
	if n.Y == nil {
		n.Y = plain
	}
	if n.D == nil {
		n.D = n.Y
	}
	return n
}

// Sentences say the verdict, what can be stated, what the trend suggests and what would settle it; f is what was asked.
func (p Plateau) Sentences(f Flattening, names Names) []string {
	f, err := f.filled()
	if err != nil {
		return []string{err.Error()}
	}
	n := names.filled()
	confidence := fmt.Sprintf("%g\u00a0%%", 100*f.Confidence)
	var out []string
	if p.Verdict == Flattened {
		out = append(out, fmt.Sprintf("A plateau is reached within this range: from %s at %s on, %s changes by less than %s up to %s (%s).",
			n.Axis, n.X(p.From), n.Response, n.D(p.Margin), n.X(p.TailTo), confidence))
		out = append(out, fmt.Sprintf("Its value is %s, with a standard uncertainty of %s.", n.Y(p.Value), n.D(p.U)))
		if !math.IsNaN(p.Above) {
			out = append(out, fmt.Sprintf("Below %s it has not begun.", n.X(p.Above)))
		}
		if p.NoTrend != "" {
			out = append(out, fmt.Sprintf("What may come beyond %s is open: %s.", n.X(p.TailTo), p.NoTrend))
		}
		return out
	}
	out = append(out, fmt.Sprintf("No limiting value within this range: %s.", p.Why))
	if p.ChangeU > 0 || p.Change != 0 {
		out = append(out, fmt.Sprintf("From %s to %s, %s changes by %s ± %s (standard uncertainty); a plateau may change by %s.",
			n.X(p.TailFrom), n.X(p.TailTo), n.Response, n.D(p.Change), n.D(p.ChangeU), n.D(p.Margin)))
	}
	if !math.IsNaN(p.Above) {
		out = append(out, fmt.Sprintf("What can be stated: a plateau begins above %s, if there is one (%s).", n.X(p.Above), confidence))
	}
	if s := p.suggestion(n); s != "" {
		out = append(out, s)
	}
	if s := p.remedy(f, n); s != "" {
		out = append(out, s)
	}
	return out
}

// Suggested returns the range over both trends in which the limit may lie; infinite where a trend has no end, false
// where no trend describes the response.
func (p Plateau) Suggested() (low, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, t := range []*Trend{p.Exponential, p.Power} {
		if t != nil {
			low, high, ok = min(low, t.Low), max(high, t.High), true
		}
	}
	return low, high, ok
}

func (p Plateau) suggestion(n Names) string {
	low, high, ok := p.Suggested()
	if !ok {
		return fmt.Sprintf("No limit is suggested: %s.", p.NoTrend)
	}
	reach := n.Y(low) + " to " + n.Y(high)
	switch {
	case math.IsInf(low, 0) && math.IsInf(high, 0):
		reach = "anywhere"
	case math.IsInf(low, 0):
		reach = "at or below " + n.Y(high)
	case math.IsInf(high, 0):
		reach = "at or above " + n.Y(low)
	}
	const so = "That is a suggestion, not a result."
	if t, kind, other := p.Exponential, "declining exponential", "power law"; p.Power == nil || t == nil {
		if t == nil {
			t, kind, other = p.Power, other, kind
		}
		return fmt.Sprintf("The trend suggests a limit of %s (%s); with its uncertainty: %s. %s A %s does not describe the upper part of the response.", n.Y(t.Limit), kind, reach, so, other)
	}
	return fmt.Sprintf("The trend suggests a limit of %s (declining exponential) or %s (power law); over both and their uncertainty: %s. %s",
		n.Y(p.Exponential.Limit), n.Y(p.Power.Limit), reach, so)
}

// Settling returns the ends of the range from which, by the trends, a plateau would show itself: the nearer and the
// farther; infinite: none up to a thousand times the present range. False where no trend describes the response.
func (p Plateau) Settling(f Flattening) (near, far float64, ok bool) {
	f, err := f.filled()
	if err != nil {
		return 0, 0, false
	}
	near = math.Inf(1)
	for _, t := range []*Trend{p.Exponential, p.Power} {
		if t != nil {
			x, _ := t.Reach(p.TailTo, p.Margin, f.Ratio, 0.5)
			near, far, ok = min(near, x), max(far, x), true
		}
	}
	return near, far, ok
}

func (p Plateau) remedy(f Flattening, n Names) string {
	var ways []string
	if near, far, ok := p.Settling(f); ok && near > p.TailTo*1.001 {
		switch {
		case math.IsInf(near, 0):
			ways = append(ways, "no range up to a thousand times this one would, by the trends; a wider margin would")
		case math.IsInf(far, 0):
			ways = append(ways, fmt.Sprintf("a range up to %s at least; by the power law none would do", n.X(near)))
		case near == far:
			ways = append(ways, "a range up to "+n.X(near))
		default:
			ways = append(ways, fmt.Sprintf("a range up to %s, or %s by the slower trend", n.X(near), n.X(far)))
		}
	} else if !ok && p.Verdict == StillChanging {
		ways = append(ways, "a range that reaches further; how far, no trend tells")
	}
	if math.Abs(p.Change) < p.Margin && p.Factor < 1 {
		if p.Factor > 0 {
			ways = append(ways, fmt.Sprintf("an uncertainty from computing of %.2g of the present one", p.Factor))
		} else {
			ways = append(ways, "better known inputs: their uncertainty alone hides a change of the margin")
		}
	}
	if len(ways) == 0 {
		return ""
	}
	return "What would settle it: " + strings.Join(ways, "; or ") + "."
}
