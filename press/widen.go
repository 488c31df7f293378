package press

import (
	"math"
	"strconv"
	"strings"
)

// stretch is a line of straight pieces; a shut one leads back to its beginning.
type stretch struct {
	points []point
	shut   bool
}

// flat is a shape as straight pieces, so fine that no bend shows where scale dots are a unit.
func (t *trace) flat(scale float64) (all []stretch) {
	var open stretch
	end := func(shut bool) {
		if len(open.points) > 1 {
			open.shut = shut
			all = append(all, open)
		}
		open = stretch{}
	}
	for i := range t.steps {
		s := &t.steps[i]
		switch s.op {
		case 'm':
			end(false)
			open.points = append(open.points, point{s.at[0], s.at[1]})
		case 'l':
			open.points = append(open.points, point{s.at[0], s.at[1]})
		case 'c':
			if n := len(open.points); n > 0 {
				open.points = bent(open.points, open.points[n-1], s.at, scale)
			}
		case 'h':
			if n := len(open.points); n > 0 {
				begin := open.points[0]
				end(true)
				open.points = append(open.points, begin)
			}
		}
	}
	end(false)
	return all
}

// bent adds a curve from a point on.
func bent(all []point, from point, at [6]float64, scale float64) []point {
	long := math.Hypot(at[0]-from.x, at[1]-from.y) + math.Hypot(at[2]-at[0], at[3]-at[1]) + math.Hypot(at[4]-at[2], at[5]-at[3])
	n := int(math.Min(80, 2+math.Sqrt(2*long*scale)))
	for k := 1; k <= n; k++ {
		u := float64(k) / float64(n)
		v := 1 - u
		a, b, c, d := v*v*v, 3*v*v*u, 3*v*u*u, u*u*u
		all = append(all, point{a*from.x + b*at[0] + c*at[2] + d*at[4], a*from.y + b*at[1] + c*at[3] + d*at[5]})
	}
	return all
}

// dashed cuts stretches into strokes and gaps in turn; pattern is as the file has it.
func dashed(all []stretch, pattern string) []stretch {
	var lengths []float64
	sum := 0.0
	for _, s := range strings.Fields(pattern) {
		v, _ := strconv.ParseFloat(s, 64) // it was read already
		lengths = append(lengths, v)
		sum += v
	}
	if sum <= 0 {
		return all
	}
	var out []stretch
	for _, s := range all {
		points := s.points
		if s.shut {
			points = append(points[:len(points):len(points)], points[0])
		}
		k, left, on := 0, lengths[0], true
		open := []point{points[0]}
		for i := 1; i < len(points); i++ {
			a, b := points[i-1], points[i]
			long := math.Hypot(b.x-a.x, b.y-a.y)
			done := 0.0
			for long-done > left {
				done += left
				at := point{a.x + (b.x-a.x)*done/long, a.y + (b.y-a.y)*done/long}
				if on && len(open) > 0 {
					out = append(out, stretch{points: append(open, at)})
				}
				k, on = (k+1)%len(lengths), !on
				if left, open = lengths[k], []point{at}; len(out) > mostSteps {
					return all
				}
			}
			left -= long - done
			if on {
				open = append(open, b)
			}
		}
		if on && len(open) > 1 {
			out = append(out, stretch{points: open})
		}
	}
	return out
}

// miterLimit is how far a corner may stand out, in widths.
const miterLimit = 4

// widen is a line of a width as polygons that together cover it.
func widen(s *stretch, l *look, scale float64) (all [][]point) {
	half := l.width / 2
	points := s.points[:0:0]
	for i, p := range s.points {
		if i == 0 || p != s.points[i-1] {
			points = append(points, p)
		}
	}
	n := len(points)
	if s.shut && n > 1 && points[0] == points[n-1] {
		points, n = points[:n-1], n-1
	}
	if n < 2 {
		return nil
	}
	pieces := n - 1
	if s.shut && n > 2 {
		pieces = n
	}
	for i := range pieces {
		a, b := points[i], points[(i+1)%n]
		dx, dy := direction(a, b)
		if l.cap == "square" && pieces == n-1 {
			if i == 0 {
				a = point{a.x - half*dx, a.y - half*dy}
			}
			if i == pieces-1 {
				b = point{b.x + half*dx, b.y + half*dy}
			}
		}
		ox, oy := -half*dy, half*dx
		all = append(all, []point{{a.x + ox, a.y + oy}, {b.x + ox, b.y + oy}, {b.x - ox, b.y - oy}, {a.x - ox, a.y - oy}})
		if i+1 < pieces {
			all = append(all, corner(a, b, points[(i+2)%n], l, half, scale)...)
		}
	}
	if l.cap == "round" && pieces == n-1 {
		all = append(all, disc(points[0], half, scale), disc(points[n-1], half, scale))
	}
	if pieces == n { // the corner at which it is shut
		all = append(all, corner(points[n-1], points[0], points[1], l, half, scale)...)
	}
	return all
}

func direction(a, b point) (dx, dy float64) {
	long := math.Hypot(b.x-a.x, b.y-a.y)
	return (b.x - a.x) / long, (b.y - a.y) / long
}

// corner fills what is missing on the outer side where a line turns at b.
func corner(a, b, c point, l *look, half, scale float64) [][]point {
	if l.join == "round" {
		return [][]point{disc(b, half, scale)}
	}
	ux, uy := direction(a, b)
	vx, vy := direction(b, c)
	turn := ux*vy - uy*vx
	side := -math.Copysign(half, turn)
	p, q := point{b.x - side*uy, b.y + side*ux}, point{b.x - side*vy, b.y + side*vx}
	cos := ux*vx + uy*vy
	if l.join != "bevel" && cos > -1+2/(miterLimit*miterLimit) { // 1/sin(angle/2) of the corner, squared, is 2/(1+cos)
		k := 1 / (1 + cos)
		return [][]point{{b, p, {b.x + k*(p.x+q.x-2*b.x), b.y + k*(p.y+q.y-2*b.y)}, q}}
	}
	return [][]point{{b, p, q}}
}

// disc is a round of straight pieces.
func disc(at point, radius, scale float64) []point {
	n := int(math.Max(8, math.Min(40, 6*math.Sqrt(radius*scale))))
	all := make([]point, n)
	for i := range all {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		all[i] = point{at.x + radius*c, at.y + radius*s}
	}
	return all
}
