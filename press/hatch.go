package press

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"emberbank/paper"
)

// mostSteps bounds what a hatching may come to on one surface.
const mostSteps = 300_000

// filled fills a shape with a hatching or a gradient.
func (d *drawing) filled(t *trace, l *look) {
	e := d.ids[l.fill.id]
	if e == nil {
		d.fault("fill=url(#%s) leads to nothing", l.fill.id)
		return
	}
	d.save()
	defer d.restore()
	d.surface.clip([]*trace{t}, l.evenOdd)
	switch e.Name {
	case "linearGradient":
		g, err := d.gradient(e)
		if err != nil {
			d.fault("%v", err)
			return
		}
		d.shade(g)
	case "pattern":
		d.hatch(t, e)
	default:
		d.fault("a fill of <%s> is not drawn here", e.Name)
	}
}

// hatch repeats a pattern over what a shape covers: lines are drawn through, all else tile by tile. The shape is already the clip.
func (d *drawing) hatch(t *trace, e *paper.Element) {
	w, h := d.number(e, "width"), d.number(e, "height")
	if !(w > 0 && h > 0) || e.Get("patternUnits") != "userSpaceOnUse" {
		d.fault("the pattern %q has no size in the picture's own units", e.Get("id"))
		return
	}
	turned := matrix{1, 0, 0, 1, 0, 0}
	if s := e.Get("patternTransform"); s != "" {
		var err error
		if turned, err = transform(s); err != nil {
			d.fault("%v", err)
			return
		}
	}
	back, ok := turned.inverse()
	x0, y0, x1, y1, any := t.bounds()
	if !ok || !any {
		return
	}
	left, top, right, bottom := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, corner := range [][2]float64{{x0, y0}, {x1, y0}, {x0, y1}, {x1, y1}} {
		x, y := back.apply(corner[0], corner[1])
		left, top, right, bottom = math.Min(left, x), math.Min(top, y), math.Max(right, x), math.Max(bottom, y)
	}
	ox, oy := d.number(e, "x"), d.number(e, "y")
	g := tiles{ox, oy, w, h, math.Floor((left - ox) / w), math.Floor((top - oy) / h), math.Ceil((right - ox) / w), math.Ceil((bottom - oy) / h)}
	d.turn(turned)
	for _, in := range e.Inside {
		l := d.lookOf(in, look{fillVeil: 1, strokeVeil: 1, width: 1, stroke: paint{none: true}})
		one := d.shape(in)
		if one == nil || d.wrong != nil {
			continue
		}
		if l.fill.id != "" || l.stroke.id != "" {
			d.fault("a pattern within a pattern is not drawn here")
			return
		}
		all, err := g.repeat(one, in.Name == "rect")
		if err != nil {
			d.fault("the pattern %q: %v", e.Get("id"), err)
			return
		}
		d.paint(all, &l)
	}
}

// tiles are where a pattern repeats.
type tiles struct{ x, y, w, h, i0, j0, i1, j1 float64 }

// repeat is one tile's shape on all tiles.
func (g *tiles) repeat(one *trace, rect bool) (*trace, error) {
	all := &trace{}
	x0, y0, x1, y1, _ := one.bounds()
	columns, rows := g.i1-g.i0, g.j1-g.j0
	straight := len(one.steps) == 2 && one.steps[1].op == 'l'
	const near = 1e-6
	whole := x0 <= near && y0 <= near && x1 >= g.w-near && y1 >= g.h-near
	switch {
	case straight && math.Abs(x1-x0) < near && y1-y0 >= g.h-near: // upright lines through all rows
		rows = 1
	case straight && math.Abs(y1-y0) < near && x1-x0 >= g.w-near:
		columns = 1
	}
	if columns*rows*float64(len(one.steps)) > mostSteps {
		return nil, fmt.Errorf("it would be repeated %.0f times on one surface", columns*rows)
	}
	switch {
	case rect && whole: // a ground
		all.rect(g.x+g.i0*g.w, g.y+g.j0*g.h, columns*g.w, rows*g.h)
	case rows == 1 && straight && math.Abs(x1-x0) < near:
		for i := g.i0; i < g.i1; i++ {
			all.move(g.x+i*g.w+x0, g.y+g.j0*g.h)
			all.line(g.x+i*g.w+x0, g.y+g.j1*g.h)
		}
	case columns == 1 && straight && math.Abs(y1-y0) < near:
		for j := g.j0; j < g.j1; j++ {
			all.move(g.x+g.i0*g.w, g.y+j*g.h+y0)
			all.line(g.x+g.i1*g.w, g.y+j*g.h+y0)
		}
	default:
		for j := g.j0; j < g.j1; j++ {
			for i := g.i0; i < g.i1; i++ {
				all.steps = append(all.steps, one.moved(g.x+i*g.w, g.y+j*g.h)...)
			}
		}
	}
	return all, nil
}

// moved is the shape elsewhere.
func (t *trace) moved(dx, dy float64) []step {
	all := slices.Clone(t.steps)
	for i := range all {
		for k := 0; k < 6; k += 2 {
			all[i].at[k] += dx
			all[i].at[k+1] += dy
		}
	}
	return all
}

// gradient runs straight between two points, through colours at their offsets.
type gradient struct {
	x1, y1, x2, y2 float64
	offsets        []float64 // rising, 0 to 1
	colours        []colour
}

// gradient reads one.
func (d *drawing) gradient(e *paper.Element) (*gradient, error) {
	if e.Get("gradientUnits") != "userSpaceOnUse" {
		return nil, fmt.Errorf("the gradient %q is not in the picture's own units", e.Get("id"))
	}
	var offsets []float64
	var colours []colour
	for _, stop := range e.Inside {
		o := stop.Get("offset")
		v, err := strconv.ParseFloat(strings.TrimSuffix(o, "%"), 64)
		if strings.HasSuffix(o, "%") {
			v /= 100
		}
		if err != nil && o != "" || math.IsNaN(v) {
			return nil, fmt.Errorf("a stop has offset=%q, which is no share", o)
		}
		c, err := colourOf(stop.Get("stop-color"))
		if err != nil {
			return nil, fmt.Errorf("a stop has stop-color=%q: %w", stop.Get("stop-color"), err)
		}
		v = math.Max(0, math.Min(1, v))
		if n := len(offsets); n > 0 {
			v = math.Max(v, offsets[n-1])
		}
		offsets, colours = append(offsets, v), append(colours, c)
	}
	if len(colours) == 0 {
		return nil, fmt.Errorf("the gradient %q has no colours", e.Get("id"))
	}
	return &gradient{d.number(e, "x1"), d.number(e, "y1"), d.number(e, "x2"), d.number(e, "y2"), offsets, colours}, nil
}

// shades are the gradients of a file.
type shades struct{ all []string }

// of is the name of a gradient in the file.
//
// Source: ISO 32000-1:2008, 8.7.4.5.3 (axial shadings), 7.10 (functions).
func (s *shades) of(g *gradient) string {
	entry := fmt.Sprintf("<< /ShadingType 2 /ColorSpace /DeviceRGB /Coords [%s] /Extend [true true] /Function %s >>",
		nums(g.x1, g.y1, g.x2, g.y2), between(g.offsets, g.colours))
	i := slices.Index(s.all, entry)
	if i < 0 {
		i = len(s.all)
		s.all = append(s.all, entry)
	}
	return fmt.Sprintf("S%d", i+1)
}

// between is the function from 0 to 1 that runs through colours at their offsets.
func between(offsets []float64, colours []colour) string {
	leg := func(a, b colour) string {
		return fmt.Sprintf("<< /FunctionType 2 /Domain [0 1] /C0 [%s] /C1 [%s] /N 1 >>", nums(a[:]...), nums(b[:]...))
	}
	if n := len(offsets); offsets[n-1] < 1 {
		offsets, colours = append(offsets, 1), append(colours, colours[n-1])
	}
	if offsets[0] > 0 {
		offsets, colours = append([]float64{0}, offsets...), append([]colour{colours[0]}, colours...)
	}
	var legs, bounds, encode []string
	for i := 1; i < len(offsets); i++ {
		if offsets[i] <= offsets[i-1]+1e-6 {
			continue
		}
		if len(legs) > 0 {
			bounds = append(bounds, num6(offsets[i-1]))
		}
		legs = append(legs, leg(colours[i-1], colours[i]))
		encode = append(encode, "0 1")
	}
	if len(legs) == 0 {
		return leg(colours[0], colours[len(colours)-1])
	}
	if len(legs) == 1 {
		return legs[0]
	}
	return fmt.Sprintf("<< /FunctionType 3 /Domain [0 1] /Functions [%s] /Bounds [%s] /Encode [%s] >>", strings.Join(legs, " "), strings.Join(bounds, " "), strings.Join(encode, " "))
}

func num6(v float64) string { return strconv.FormatFloat(v, 'f', 6, 64) }
