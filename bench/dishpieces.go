package bench

import (
	"fmt"
	"math"

	"emberbank/dish"
)

// mirror is what a mirror has of its own, over what the dish has.
func mirror(v *value, of dish.Piece) dish.Piece {
	of.Reflectance = v.get("reflectance").number(of.Reflectance)
	of.Slope, of.Specular = v.get("slope error").number(of.Slope), v.get("specularity error").number(of.Specular)
	if p := v.get("pointing"); p != nil {
		of.Pointing = [2]float64{p.get("outwards").number(0), p.get("sideways").number(0)}
	}
	return of
}

func (l *lightPlan) petals(d *value) {
	like := mirror(d, dish.Piece{Present: true})
	petals, facets := d.get("petals"), d.get("facets")
	if l.kind = "petal"; petals == nil {
		l.kind = "facet"
	}
	switch {
	case petals != nil && facets != nil:
		l.r.wrong(facets, "both petals and facets are given", "one of the two", "take one out")
	case petals.has("count"):
		l.equal(petals, like)
	case petals != nil:
		for i, v := range petals.items() {
			p := mirror(v, like)
			p.Name, p.Present = fmt.Sprint(i+1), !v.get("missing").yes(false)
			p.Outline = dish.Sector(v.get("from").must(), v.get("to").must(), v.get("inner").number(0), v.get("outer").number(l.out.Diameter/2))
			if turn := p.Outline.To - p.Outline.From; turn <= 0 || turn > 2*math.Pi*(1+1e-9) {
				l.r.wrong(v.get("to"), "the petal does not end behind its beginning", "above from, by up to 360 deg", "mend one of the two angles")
			}
			l.add(p, v)
		}
	case facets != nil:
		for i, v := range facets.items() {
			p := mirror(v, like)
			p.Name, p.Present = fmt.Sprint(i+1), !v.get("missing").yes(false)
			p.Outline = l.facet(v)
			l.add(p, v)
		}
	case d != nil && !d.partial:
		l.r.wrong(d, "it has neither petals nor facets", "petals or facets", `add "petals: {count: 12}"`)
	}
	l.out.Hole = d.get("hole").number(l.free())
}

func (l *lightPlan) add(p dish.Piece, v *value) {
	l.out.Pieces, l.pieces = append(l.out.Pieces, p), append(l.pieces, v)
}

// free is the diameter that all petals leave free about the axis.
func (l *lightPlan) free() float64 {
	inner := math.Inf(1)
	for i := range l.out.Pieces {
		if o := &l.out.Pieces[i].Outline; o.Kind == dish.IsSector {
			inner = math.Min(inner, o.Inner)
		} else {
			inner = 0
		}
	}
	if math.IsInf(inner, 1) {
		return 0
	}
	return 2 * inner
}

// equal lays petals of one size.
func (l *lightPlan) equal(v *value, like dish.Piece) {
	n := int(v.get("count").number(1))
	each, gap := 2*math.Pi/float64(n), v.get("gap").number(0)
	if gap >= each {
		l.r.wrong(v.get("gap"), "so wide a gap leaves no petal", fmt.Sprintf("less than %.4g deg, which is what %d petals have", each*180/math.Pi, n), "take a narrower gap")
		return
	}
	all := make([]dish.Piece, n)
	for i := range all {
		from := v.get("from").number(0) + each*float64(i)
		all[i] = like
		all[i].Name = fmt.Sprint(i + 1)
		all[i].Outline = dish.Sector(from+gap/2, from+each-gap/2, v.get("inner").number(0), v.get("outer").number(l.out.Diameter/2))
	}
	number := func(at *value) (i int, ok bool) {
		if int(at.num) > n {
			l.r.wrong(at, fmt.Sprintf("there are %d petals", n), fmt.Sprintf("1 to %d", n), "write a petal's number, or raise the count")
		}
		return int(at.num) - 1, int(at.num) <= n
	}
	for _, at := range v.get("missing").items() {
		if i, ok := number(at); ok {
			all[i].Present = false
		}
	}
	for _, o := range v.get("other").items() {
		for _, at := range o.get("petals").items() {
			if i, ok := number(at); ok {
				all[i] = mirror(o, all[i])
			}
		}
	}
	for i := range all {
		l.add(all[i], v)
	}
}

// facet reads the outline of a facet.
func (l *lightPlan) facet(v *value) dish.Outline {
	centre := [2]float64{v.get("centre", "width").must(), v.get("centre", "height").must()}
	turned := v.get("turned").number(0)
	round, rect, hex := v.has("diameter"), v.has("width") || v.has("height"), v.has("across")
	switch {
	case round && !rect && !hex:
		return dish.Disc(centre, v.get("diameter").num/2)
	case hex && !rect && !round:
		return dish.Hexagon(centre, v.get("across").num, turned)
	case v.has("width") && v.has("height") && !round && !hex:
		return dish.Rectangle(centre, v.get("width").num, v.get("height").num, turned)
	}
	if !v.partial {
		l.r.wrong(v, "its outline is not clear", "diameter, or width and height, or across", `give one of these, for example "diameter: 200 mm"`)
	}
	return dish.Disc(centre, math.NaN())
}
