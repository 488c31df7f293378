package dish

import (
	"math"

	"emberbank/sample"
)

// columns are what a ray draws: its place on the mirror, its place in the sun, slope, specularity and tracking errors.
const columns = 10

// End is where rays end.
type End int

// Where rays end. What a mirror takes of a ray that it throws back counts to Absorbed.
const (
	ShadedByBody  End = iota // on the way in
	ShadedByArms             // on the way in
	Absorbed                 // by the mirror
	StoppedByArms            // on the way back
	Away                     // thrown back, but past the window's plane
	Spilled                  // in the window's plane, beside the window
	InWindow
	ends
)

// Name says it in words.
func (e End) Name() string {
	return [...]string{
		"shaded by the receiver", "shaded by its arms", "absorbed by the mirrors", "stopped by the arms on the way back",
		"thrown past the window's plane", "beside the window", "in the window",
	}[e]
}

// Bins are the numbers of bins of what is counted.
const (
	angleBins = 90
	sizeBins  = 1024
)

// caster is a dish made ready for many rays. Nothing of it changes while rays are cast.
type caster struct {
	focal, plane float64
	pieces       []piece
	sun          directions
	tracking     float64
	normals      *normals
	cosines      [angleBins + 1]float64 // of the edges of the bins of angles, falling
	nearly       [1025]uint8            // by 1024 times the cosine: the bin of the next smaller edge
	off          [2]float64
	body         body
	arms         []bar
	window       Window
	half         [2]float64 // m, of the map's extent
	bins         [2]int
	perBin       float64 // bins/m
	perRadius    float64 // bins of the curves/m of distance from the window's centre
	perShare     float64 // bins of the curves for each half window
}

// piece is a Piece made ready for many rays.
type piece struct {
	kind            OutlineKind
	from, turn      float64 // sector
	inner, ring     float64 // sector: its squares, m²
	centre          [2]float64
	radius          float64
	fan             []triangle // polygon
	slope, specular float64
	turned          bool
	omega           vec // rotation by which it is off
	area            float64
	reflectance     float64
	rays            int     // of one unit of a pass
	per             float64 // m², of the beam for each ray of one unit
}

// triangle is a part of a polygon: up to share of the polygon's area.
type triangle struct {
	share, width float64
	a, b, c      [2]float64
}

func newPiece(p *Piece, focal float64) piece {
	o := &p.Outline
	q := piece{
		kind: o.Kind, from: o.From, turn: o.To - o.From, inner: o.Inner * o.Inner, ring: o.Outer*o.Outer - o.Inner*o.Inner,
		centre: o.Centre, radius: o.Radius, slope: p.Slope, specular: p.Specular, area: o.Area(), reflectance: p.Reflectance,
	}
	if o.Kind == IsPolygon {
		sum := 0.0
		for i := 1; i+1 < len(o.Corners); i++ {
			t := Outline{Kind: IsPolygon, Corners: [][2]float64{o.Corners[0], o.Corners[i], o.Corners[i+1]}}
			w := t.Area() / q.area
			sum += w
			q.fan = append(q.fan, triangle{sum, w, o.Corners[0], o.Corners[i], o.Corners[i+1]})
		}
		q.fan[len(q.fan)-1].share = 1
	}
	if p.Pointing != [2]float64{} {
		// The normal at the middle of the piece tips by the two angles along the slope outwards and sideways.
		m := o.Middle()
		n, out, side := frameAt(m[0], m[1], focal)
		tip := vec{
			p.Pointing[0]*out.x + p.Pointing[1]*side.x, p.Pointing[0]*out.y + p.Pointing[1]*side.y,
			p.Pointing[0]*out.z + p.Pointing[1]*side.z,
		}
		q.turned, q.omega = true, n.cross(tip)
	}
	return q
}

// frameAt returns the paraboloid's normal at a place and two directions in the surface: outwards and sideways.
func frameAt(x, y, focal float64) (n, out, side vec) {
	r := math.Hypot(x, y)
	c, s := 1.0, 0.0
	if r > 0 {
		c, s = x/r, y/r
	}
	g := r / (2 * focal)
	k := 1 / math.Sqrt(1+g*g)
	return vec{-g * c * k, -g * s * k, k}, vec{c * k, s * k, g * k}, vec{-s, c, 0}
}

// place draws a point within the outline, evenly over its area, with its distance from the axis and the cosine and sine of
// its angle.
func (p *piece) place(u, v float64) (x, y, r, c, s float64) {
	switch p.kind {
	case IsSector:
		r = math.Sqrt(p.inner + u*p.ring)
		s, c = math.Sincos(p.from + v*p.turn)
		return r * c, r * s, r, c, s
	case IsDisc:
		q := p.radius * math.Sqrt(u)
		s, c = math.Sincos(2 * math.Pi * v)
		x, y = p.centre[0]+q*c, p.centre[1]+q*s
	default:
		i := 0
		for u >= p.fan[i].share && i+1 < len(p.fan) {
			i++
		}
		t := &p.fan[i]
		a := math.Sqrt(1 - (t.share-u)/t.width) // from the first corner to the side before it
		x = t.a[0] + a*(t.b[0]-t.a[0]+v*(t.c[0]-t.b[0]))
		y = t.a[1] + a*(t.b[1]-t.a[1]+v*(t.c[1]-t.b[1]))
	}
	if r = math.Sqrt(x*x + y*y); r > 0 {
		return x, y, r, x / r, y / r
	}
	return x, y, 0, 1, 0
}

// tally is what is counted of one scrambling. Powers are in m² of beam, for one unit of a pass times the units cast.
type tally struct {
	flux     []float64
	angles   [angleBins]float64 // in the plane
	windowAt [angleBins]float64 // in the window
	end      [ends]float64
	rays     [ends]int64
	round    [sizeBins]float64
	scaled   [sizeBins]float64
	onMap    float64
	centre   [2]float64 // m·m²: sums over the map
}

// normals draws normal numbers by pairs. It holds -2 ln u at equal steps of u: between them straight lines are right to 1e-5 from
// u = 1/64 on, and cost a fifth of a logarithm.
type normals [normalSteps + 1]float64

const normalSteps = 4096

func newNormals() *normals {
	var n normals
	for i := 1; i < len(n); i++ {
		n[i] = -2 * math.Log(float64(i)/normalSteps)
	}
	return &n
}

// pair draws two independent normal numbers times sigma.
func (n *normals) pair(sigma, u, v float64) (a, b float64) {
	var square float64
	if u < 1.0/64 {
		square = -2 * math.Log(u)
	} else {
		q := u * normalSteps
		i := int(q)
		square = n[i] + (q-float64(i))*(n[i+1]-n[i])
	}
	r := sigma * math.Sqrt(square)
	s, c := math.Sincos(2 * math.Pi * v)
	return r * c, r * s
}

// cast sends the next n rays of a stream to one piece.
func (c *caster) cast(t *tally, p *piece, from *sample.Stream, n int) {
	var u [columns]float64
	for range n {
		from.Next(u[:])
		c.one(t, p, &u)
	}
}

// one follows a ray to its end.
func (c *caster) one(t *tally, p *piece, u *[columns]float64) {
	x, y, r, cos, sin := p.place(u[2], u[3])
	at := vec{x, y, r * r / (4 * c.focal)}
	s := c.fromSun(u)
	// Rays are even over the mirror seen along the axis; what meets it from aside is more or less by its slope.
	g := r / (2 * c.focal)
	w := p.per * math.Max(0, 1-g*(cos*s.x+sin*s.y)/s.z)
	if c.body.there && c.body.stops(at, s) {
		t.ended(ShadedByBody, w)
		return
	}
	for i := range c.arms {
		if c.arms[i].stops(at, s, math.Inf(1)) {
			t.ended(ShadedByArms, w)
			return
		}
	}
	back := p.reflect(c.normals, s, g, cos, sin, u)
	t.end[Absorbed] += w * (1 - p.reflectance)
	w *= p.reflectance
	if back.z <= 0 {
		t.ended(Away, w)
		return
	}
	far := (c.plane - at.z) / back.z
	for i := range c.arms {
		if c.arms[i].stops(at, back, far) {
			t.ended(StoppedByArms, w)
			return
		}
	}
	c.land(t, at.x+far*back.x, at.y+far*back.y, back.z, w)
}

func (t *tally) ended(e End, w float64) {
	t.end[e] += w
	t.rays[e]++
}

// fromSun draws the direction to where the ray comes from.
func (c *caster) fromSun(u *[columns]float64) vec {
	sx, sy := c.sun.draw(u[0], u[1])
	if c.tracking > 0 {
		a, b := c.normals.pair(c.tracking, u[8], u[9])
		sx, sy = sx+a, sy+b
	}
	sx, sy = sx-c.off[0], sy-c.off[1] // where the axis points beside the sun, the sun stands on the other side of it
	return vec{sx, sy, math.Sqrt(1 - sx*sx - sy*sy)}
}

// reflect returns the direction, of length 1, in which light from s leaves a place of the mirror.
func (p *piece) reflect(normals *normals, s vec, g, cos, sin float64, u *[columns]float64) vec {
	k := 1 / math.Sqrt(1+g*g)
	n := vec{-g * cos * k, -g * sin * k, k}
	if p.slope > 0 {
		a, b := normals.pair(p.slope, u[4], u[5])
		n = vec{n.x + a*cos*k - b*sin, n.y + a*sin*k + b*cos, n.z + a*g*k}
	}
	if p.turned {
		o := p.omega.cross(n)
		n = vec{n.x + o.x, n.y + o.y, n.z + o.z}
	}
	f := 2 * s.dot(n) / n.dot(n)
	r := vec{f*n.x - s.x, f*n.y - s.y, f*n.z - s.z}
	if p.specular > 0 {
		a, b := normals.pair(p.specular, u[6], u[7])
		// Two directions across the ray, the first near to sideways.
		q := cos*r.y - sin*r.x
		e := vec{-sin - q*r.x, cos - q*r.y, -q * r.z}
		o := r.cross(e)
		r = vec{r.x + a*e.x + b*o.x, r.y + a*e.y + b*o.y, r.z + a*e.z + b*o.z}
	}
	l := 1 / math.Sqrt(r.dot(r))
	return vec{r.x * l, r.y * l, r.z * l}
}

// land counts a ray that meets the plane at a place, with the cosine of its angle of incidence.
func (c *caster) land(t *tally, x, y, cosine, w float64) {
	if math.Abs(x) < c.half[0] && math.Abs(y) < c.half[1] {
		i, k := int((x+c.half[0])*c.perBin), int((y+c.half[1])*c.perBin)
		t.flux[min(i, c.bins[0]-1)+min(k, c.bins[1]-1)*c.bins[0]] += w
		t.onMap += w
		t.centre[0] += w * x
		t.centre[1] += w * y
	}
	angle := c.angleBin(cosine)
	t.angles[angle] += w
	x, y = x-c.window.Centre[0], y-c.window.Centre[1]
	radius := math.Sqrt(x*x + y*y)
	share := math.Max(math.Abs(x)*2/c.window.Width, math.Abs(y)*2/c.window.Height)
	if i := radius * c.perRadius; i < sizeBins {
		t.round[int(i)] += w
	}
	if i := share * c.perShare; i < sizeBins {
		t.scaled[int(i)] += w
	}
	inside := share < 1
	if c.window.Round {
		inside = radius < c.window.Width/2
	}
	if inside {
		t.windowAt[angle] += w
		t.ended(InWindow, w)
		return
	}
	t.ended(Spilled, w)
}

// angleBin is the bin of an angle of incidence by its cosine.
func (c *caster) angleBin(cosine float64) int {
	i := int(c.nearly[int(math.Min(1, cosine)*1024)])
	for i > 0 && cosine > c.cosines[i] { // nearer to the axis than this bin begins
		i--
	}
	return i
}

func (c *caster) layAngles() {
	for i := range c.cosines {
		c.cosines[i] = math.Cos(float64(i) * math.Pi / 2 / angleBins)
	}
	for k := range c.nearly {
		i := int(math.Acos(float64(k)/1024) * (angleBins * 2 / math.Pi))
		c.nearly[k] = uint8(min(angleBins-1, i+1))
	}
}
