package block

import "math"

// wantedSizes returns the wanted cell size in the core along each direction, and the wanted size around each
// line across it. A stated size is taken as it is. Otherwise the core's geometric mean extent is divided into
// acrossCore cells, no direction of it into fewer than leastCore, and each tube gets enough cells in the gap to
// what stands nearest: another tube or a face of the core.
func wantedSizes(l Layout) (size [3]float64, near []float64) {
	near = make([]float64, len(l.Lines))
	if l.Size > 0 {
		for n := range near {
			near[n] = l.Size
		}
		return [3]float64{l.Size, l.Size, l.Size}, near
	}
	mean := math.Cbrt(l.Core.Volume()) / acrossCore
	for a := range size {
		size[a] = math.Min(mean, (l.Core.Max[a]-l.Core.Min[a])/leastCore)
	}
	for n, t := range l.Lines {
		u, v := across(t.Axis)
		near[n] = math.Min(math.Min(size[u], size[v]), l.gapSize(n))
	}
	return size, near
}

// Cells that the conduction around a tube needs for the accuracy that docs/numerics/grid.md shows.
const (
	acrossSpacing = 7.0 // cells from axis to axis (or to the axis's image in a face)
	acrossGap     = 5.0 // cells in the gap between two bores, or twice the gap to a face
)

// gapSize is the cell size that the surroundings of line n ask for.
func (l Layout) gapSize(n int) float64 {
	t := l.Lines[n]
	u, v := across(t.Axis)
	s := math.Inf(1)
	ask := func(spacing, diameter float64) {
		if gap := spacing - diameter; spacing > nearFace && gap > 0 {
			s = math.Min(s, math.Min(spacing/acrossSpacing, gap/acrossGap))
		}
	}
	for _, a := range []Axis{u, v} {
		for _, face := range []float64{l.Core.Min[a], l.Core.Max[a]} {
			ask(2*math.Abs(t.At[a]-face), t.Diameter)
		}
	}
	for m, o := range l.Lines {
		if m == n || o.Axis != t.Axis || o.To <= t.From || o.From >= t.To {
			continue
		}
		ask(math.Hypot(o.At[u]-t.At[u], o.At[v]-t.At[v]), 0.5*(o.Diameter+t.Diameter))
	}
	return s
}
