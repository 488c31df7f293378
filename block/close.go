package block

import (
	"fmt"
	"math"
)

// mostOfSpacing is the largest diameter, as a part of the spacing, up to which the conduction around a tube was
// checked; see docs/numerics/grid.md.
const mostOfSpacing = 0.8

// CloseTubes returns a warning for each tube that is wider than 0.8 of its spacing: the distance to the next
// parallel tube, or to its own image in the nearest face of the block.
func CloseTubes(core Box, lines []Line) (warnings []string) {
	for n, t := range lines {
		u, v := across(t.Axis)
		if t.At[u] < core.Min[u] || t.At[u] > core.Max[u] || t.At[v] < core.Min[v] || t.At[v] > core.Max[v] {
			continue
		}
		most, beside := 0.0, ""
		look := func(spacing, diameter float64, what string) {
			if q := diameter / spacing; q > most {
				most, beside = q, what
			}
		}
		for _, a := range []Axis{u, v} {
			look(2*math.Min(t.At[a]-core.Min[a], core.Max[a]-t.At[a]), t.Diameter, "the block's face")
		}
		for m, o := range lines {
			if m != n && o.Axis == t.Axis && o.To > t.From && o.From < t.To {
				look(math.Hypot(o.At[u]-t.At[u], o.At[v]-t.At[v]), 0.5*(t.Diameter+o.Diameter), "another tube")
			}
		}
		if most > mostOfSpacing*(1+1e-9) {
			warnings = append(warnings, fmt.Sprintf(
				"the tube along %s at %s %.6g mm, %s %.6g mm fills %.0f %% of its spacing to %s: above 80 %% the heat flow between them is less exact than 3 %%",
				t.Axis, u, 1e3*t.At[u], v, 1e3*t.At[v], 100*most, beside))
		}
	}
	return warnings
}
