package dish

import (
	"fmt"
	"math"
)

// Outline is the edge of a piece, seen along the dish's axis.
type Outline struct {
	Kind         OutlineKind
	From, To     float64    // rad, of a sector; From < To ≤ From + 2π
	Inner, Outer float64    // m from the axis, of a sector
	Centre       [2]float64 // m, of a disc
	Radius       float64    // m, of a disc
	Corners      [][2]float64
}

// OutlineKind is the form of an outline.
type OutlineKind int

// The forms of outline.
const (
	IsSector  OutlineKind = iota
	IsDisc                // round
	IsPolygon             // convex, its corners in the order of rising angles about its middle
)

// Sector is the outline between two angles (rad) and two distances from the axis (m).
func Sector(from, to, inner, outer float64) Outline {
	return Outline{Kind: IsSector, From: from, To: to, Inner: inner, Outer: outer}
}

// Disc is a round outline.
func Disc(centre [2]float64, radius float64) Outline {
	return Outline{Kind: IsDisc, Centre: centre, Radius: radius}
}

// Rectangle is an outline about a centre, turned from width towards height by an angle in rad.
func Rectangle(centre [2]float64, width, height, turned float64) Outline {
	return turnedPolygon(centre, turned, [][2]float64{{-width / 2, -height / 2}, {width / 2, -height / 2}, {width / 2, height / 2}, {-width / 2, height / 2}})
}

// Hexagon is a regular outline about a centre, by the distance between two of its parallel sides, m. Not turned, two of its
// sides are upright.
func Hexagon(centre [2]float64, across, turned float64) Outline {
	var corners [][2]float64
	for i := range 6 {
		s, c := math.Sincos(math.Pi/6 + float64(i)*math.Pi/3)
		corners = append(corners, [2]float64{across / math.Sqrt(3) * c, across / math.Sqrt(3) * s})
	}
	return turnedPolygon(centre, turned, corners)
}

func turnedPolygon(centre [2]float64, turned float64, corners [][2]float64) Outline {
	s, c := math.Sincos(turned)
	for i, p := range corners {
		corners[i] = [2]float64{centre[0] + c*p[0] - s*p[1], centre[1] + s*p[0] + c*p[1]}
	}
	return Outline{Kind: IsPolygon, Centre: centre, Corners: corners}
}

func (o *Outline) check() error {
	switch o.Kind {
	case IsSector:
		if !(o.To > o.From) || o.To > o.From+2*math.Pi*(1+1e-12) || !(o.Inner >= 0 && o.Outer > o.Inner) {
			return fmt.Errorf("a sector from %g to %g rad, %g to %g m from the axis, has no area", o.From, o.To, o.Inner, o.Outer)
		}
	case IsDisc:
		if !(o.Radius > 0) {
			return fmt.Errorf("a disc of radius %g m has no area", o.Radius)
		}
	case IsPolygon:
		if !(o.Area() > 0) {
			return fmt.Errorf("a polygon of %d corners has no area", len(o.Corners))
		}
	default:
		return fmt.Errorf("an outline of unknown kind %d", o.Kind)
	}
	return nil
}

// Area returns the area within, square to the axis, m².
func (o *Outline) Area() float64 {
	switch o.Kind {
	case IsSector:
		return (o.To - o.From) / 2 * (o.Outer*o.Outer - o.Inner*o.Inner)
	case IsDisc:
		return math.Pi * o.Radius * o.Radius
	}
	sum := 0.0
	for i, a := range o.Corners {
		b := o.Corners[(i+1)%len(o.Corners)]
		sum += a[0]*b[1] - a[1]*b[0]
	}
	return sum / 2
}

// Middle returns a point about which the outline lies, m.
func (o *Outline) Middle() [2]float64 {
	if o.Kind != IsSector {
		return o.Centre
	}
	r := (o.Inner + o.Outer) / 2
	s, c := math.Sincos((o.From + o.To) / 2)
	return [2]float64{r * c, r * s}
}

// Reach is the largest distance from the axis, m.
func (o *Outline) Reach() float64 {
	switch o.Kind {
	case IsSector:
		return o.Outer
	case IsDisc:
		return math.Hypot(o.Centre[0], o.Centre[1]) + o.Radius
	}
	far := 0.0
	for _, c := range o.Corners {
		far = math.Max(far, math.Hypot(c[0], c[1]))
	}
	return far
}

// Nearest is the smallest distance from the axis, m; 0 where the axis lies within.
func (o *Outline) Nearest() float64 {
	switch o.Kind {
	case IsSector:
		return o.Inner
	case IsDisc:
		return math.Max(0, math.Hypot(o.Centre[0], o.Centre[1])-o.Radius)
	}
	near, within := math.Inf(1), true
	for i, a := range o.Corners {
		b := o.Corners[(i+1)%len(o.Corners)]
		dx, dy := b[0]-a[0], b[1]-a[1]
		within = within && a[0]*b[1]-a[1]*b[0] > 0 // the axis lies to the left of this side
		t := math.Max(0, math.Min(1, -(a[0]*dx+a[1]*dy)/(dx*dx+dy*dy)))
		near = math.Min(near, math.Hypot(a[0]+t*dx, a[1]+t*dy))
	}
	if within {
		return 0
	}
	return near
}

// touch is how far an outline may reach into another, or into the hole: rounding of what was typed, m.
const touch = 1e-7

// overlaps tells whether two outlines have area in common. A sector beside another kind is bounded by sampling its edge.
func (o *Outline) overlaps(q *Outline) bool {
	switch {
	case o.Kind == IsSector && q.Kind == IsSector:
		if math.Min(o.Outer, q.Outer)-math.Max(o.Inner, q.Inner) <= touch {
			return false
		}
		// Angles between the beginnings, within one turn, either way.
		ahead := math.Mod(math.Mod(q.From-o.From, 2*math.Pi)+2*math.Pi, 2*math.Pi)
		r := math.Min(o.Outer, q.Outer)
		return (o.To-o.From-ahead)*r > touch || (q.To-q.From-(2*math.Pi-ahead))*r > touch
	case o.Kind == IsDisc && q.Kind == IsDisc:
		return math.Hypot(o.Centre[0]-q.Centre[0], o.Centre[1]-q.Centre[1]) < o.Radius+q.Radius-touch
	}
	return !apart(o.edge(), q.edge())
}

// edge returns the corners of a polygon, or a polygon drawn into a round outline; that of a sector is drawn closely.
func (o *Outline) edge() [][2]float64 {
	if o.Kind == IsPolygon {
		return o.Corners
	}
	const n = 72
	var out [][2]float64
	at := func(centre [2]float64, r, angle float64) {
		s, c := math.Sincos(angle)
		out = append(out, [2]float64{centre[0] + r*c, centre[1] + r*s})
	}
	if o.Kind == IsDisc {
		for i := range n {
			at(o.Centre, o.Radius, 2*math.Pi*float64(i)/n)
		}
		return out
	}
	for i := range n + 1 {
		at([2]float64{}, o.Outer, o.From+(o.To-o.From)*float64(i)/n)
	}
	for i := range n + 1 {
		at([2]float64{}, o.Inner, o.To-(o.To-o.From)*float64(i)/n)
	}
	return out
}

// apart tells whether a straight line along a side of one parts two convex polygons.
func apart(a, b [][2]float64) bool {
	for _, pair := range [2][2][][2]float64{{a, b}, {b, a}} {
		for i, p := range pair[0] {
			q := pair[0][(i+1)%len(pair[0])]
			nx, ny := q[1]-p[1], p[0]-q[0] // outwards, where corners go round with rising angles
			length := math.Hypot(nx, ny)
			if length == 0 {
				continue
			}
			parts := true
			for _, c := range pair[1] {
				if (nx*(c[0]-p[0])+ny*(c[1]-p[1]))/length < -touch {
					parts = false
					break
				}
			}
			if parts {
				return true
			}
		}
	}
	return false
}
