package dish

import "math"

// vec is a direction or a place: width, height, along the axis.
type vec struct{ x, y, z float64 }

func (a vec) dot(b vec) float64 { return a.x*b.x + a.y*b.y + a.z*b.z }

func (a vec) minus(b vec) vec { return vec{a.x - b.x, a.y - b.y, a.z - b.z} }

func (a vec) cross(b vec) vec {
	return vec{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x}
}

// body is a Body made ready for many rays.
type body struct {
	there, round bool
	w, h         float64 // m, halves
	low, high    float64 // m, along the axis
}

func (b *Body) ready(plane float64) body {
	return body{b.Width > 0 && b.Height > 0, b.Round, b.Width / 2, b.Height / 2, plane, plane + b.Depth}
}

// stops tells whether the body stands between a point before it and the sun in direction s.
func (b *body) stops(p, s vec) bool {
	if p.z >= b.high && b.high > b.low {
		return false
	}
	if t := (b.high - p.z) / s.z; math.Abs(p.x)-b.w > t*math.Abs(s.x) || math.Abs(p.y)-b.h > t*math.Abs(s.y) {
		return false // far beside it, as most are
	}
	// The way through the body's depth, seen along the axis: from one point to another.
	t0, t1 := math.Max(0, (b.low-p.z)/s.z), math.Max(0, (b.high-p.z)/s.z)
	x0, y0 := p.x+t0*s.x, p.y+t0*s.y
	dx, dy := (t1-t0)*s.x, (t1-t0)*s.y
	if b.round {
		// Nearest to the axis, within the way.
		f := 0.0
		if q := dx*dx + dy*dy; q > 0 {
			f = math.Max(0, math.Min(1, -(x0*dx+y0*dy)/q))
		}
		x, y := x0+f*dx, y0+f*dy
		return x*x+y*y < b.w*b.w
	}
	from, to := 0.0, 1.0
	for _, a := range [2][3]float64{{x0, dx, b.w}, {y0, dy, b.h}} {
		if a[1] == 0 {
			if math.Abs(a[0]) >= a[2] {
				return false
			}
			continue
		}
		u, v := (-a[2]-a[0])/a[1], (a[2]-a[0])/a[1]
		if u > v {
			u, v = v, u
		}
		from, to = math.Max(from, u), math.Min(to, v)
	}
	return from < to
}

// bar is an Arm made ready for many rays.
type bar struct {
	from, along    vec // along: of length 1
	length, square float64
}

func (a *Arm) ready() bar {
	from, to := vec{a.From[0], a.From[1], a.From[2]}, vec{a.To[0], a.To[1], a.To[2]}
	d := to.minus(from)
	l := math.Sqrt(d.dot(d))
	return bar{from, vec{d.x / l, d.y / l, d.z / l}, l, a.Width * a.Width / 4}
}

// stops tells whether the bar stands in the way of a ray from p in direction s, of length 1, on the first t metres.
func (b *bar) stops(p, s vec, t float64) bool {
	w := p.minus(b.from)
	across := s.dot(b.along)
	apart := 1 - across*across
	if apart < 1e-12 {
		return false // along the bar: it shows its end alone
	}
	ws, wb := w.dot(s), w.dot(b.along)
	onRay, onBar := (across*wb-ws)/apart, (wb-across*ws)/apart
	if onRay <= 0 || onRay >= t || onBar < 0 || onBar > b.length {
		return false
	}
	d := vec{w.x + onRay*s.x - onBar*b.along.x, w.y + onRay*s.y - onBar*b.along.y, w.z + onRay*s.z - onBar*b.along.z}
	return d.dot(d) < b.square
}
