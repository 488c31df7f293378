package figure

import "math"

// box is a rectangle on the paper, px.
type box struct{ x0, y0, x1, y1 float64 }

func (a box) meets(b box) bool { return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 }

// places are where a name may stand by a point of its line: above or below, in the middle, or with an end there
// where the line is steep.
var places = []struct{ lead, drop float64 }{{-0.5, -16}, {-0.5, 4}, {-1, -16}, {0, -16}, {-1, 4}, {0, 4}}

// nameOnLines writes the names of curves beside their lines, for those that run into another one at their right
// end but are clear of the others somewhere. It tells which curves are named.
func nameOnLines(c *canvas, times []float64, f frame, curves []curve) []bool {
	named := make([]bool, len(curves))
	if len(times) < 2 {
		return named
	}
	height := func(k int, x float64) float64 { // px of curve k at x, NaN where it has no value
		t := f.x.lo + (x-f.left)/(f.right-f.left)*(f.x.hi-f.x.lo)
		return f.py(between(times, curves[k].values, t))
	}
	var taken []box
	for k := range curves {
		crowded := false
		for o := range curves {
			if o != k && math.Abs(height(o, f.right)-height(k, f.right)) < rowHeight {
				crowded = true
			}
		}
		if !crowded {
			continue
		}
		w := widthOf(names, curves[k].name)
		var best box
		most := 10.0 // px of clearance that a name on its line needs at least
		for step := 1; step < 48; step++ {
			x := f.left + (f.right-f.left)*float64(step)/48
			for _, place := range places {
				at := height(k, x)
				b := box{x + place.lead*w, at + place.drop, x + (place.lead+1)*w, at + place.drop + 12}
				if math.IsNaN(at) || b.x0 < f.left+4 || b.x1 > f.right-4 || b.y0 < f.top+1 || b.y1 > f.bottom-1 {
					continue
				}
				free, clear := true, math.Inf(1)
				for _, t := range taken {
					free = free && !t.meets(b)
				}
				for i := 0; i <= 40 && free; i++ { // close enough to find a spike
					at := b.x0 + w*float64(i)/40
					own := height(k, at)
					for o := 0; o < len(curves) && free; o++ {
						y := own
						if o != k {
							y = height(o, at)
						}
						if math.IsNaN(y) {
							continue
						}
						free = y < b.y0 || y > b.y1
						if o != k {
							clear = math.Min(clear, math.Min(math.Abs(y-(b.y0+b.y1)/2), math.Abs(y-own)))
						}
					}
				}
				if free && math.Min(clear, 40) > most { // beyond 40 px clearer is no better: the first such place
					most, best = math.Min(clear, 40), b
				}
			}
		}
		if most > 10 {
			named[k] = true
			taken = append(taken, best)
			c.text(names, (best.x0+best.x1)/2, best.y1-2, "middle", curves[k].name, "fill", curves[k].named(), "stroke", sheet, "stroke-width", "3", "paint-order", "stroke", "stroke-linejoin", "round")
		}
	}
	return named
}

// between reads a series at a time, along straight lines.
func between(times, values []float64, t float64) float64 {
	n := len(times)
	if t <= times[0] {
		return values[0]
	}
	if t >= times[n-1] {
		return values[n-1]
	}
	lo, hi := 0, n-1
	for hi-lo > 1 {
		if m := (lo + hi) / 2; times[m] <= t {
			lo = m
		} else {
			hi = m
		}
	}
	if times[hi] == times[lo] {
		return values[hi]
	}
	return values[lo] + (values[hi]-values[lo])*(t-times[lo])/(times[hi]-times[lo])
}
