package figure

import "strings"

// tubeNotes are what is said of the tubes that show, in the order of the notes.
func (d *drawing) tubeNotes() (out []Given) {
	for _, kind := range []GivenKind{GivenOuter, GivenInner, GivenWall, GivenContact} {
		for _, g := range d.view.Given {
			if g.Kind == kind && d.seesPass(g.Pass) {
				out = append(out, g)
				break // one tube stands for the others
			}
		}
	}
	return out
}

// notes writes what the tubes are above the drawing, on a leader to one of them.
func (d *drawing) notes() {
	all := d.tubeNotes()
	if len(all) == 0 {
		return
	}
	rings := d.circles()
	x := d.left + d.width*0.42
	y := d.top - 26
	if len(rings) > 0 {
		best := rings[0]
		for _, r := range rings {
			if r.y < best.y || r.y == best.y && r.x > best.x {
				best = r
			}
		}
		d.c.path("M"+px(best.x+0.7*best.outer)+" "+px(best.y-0.7*best.outer)+"L"+px(x-4)+" "+px(y+4)+"H"+px(x+70), "fill", "none", "stroke", pen, "stroke-width", "0.6")
		d.c.circle(best.x+0.7*best.outer, best.y-0.7*best.outer, 1.3, "fill", pen)
	}
	at := x
	say := func(g *Given, s string) {
		w := widthOf(numbers, s)
		d.c.touchable(g, at+w/2, y, false, s, func() { d.c.text(numbers, at, y, "start", s, "fill", pen) })
		at += w + 2
	}
	if n := len(rings); n > 1 && d.onPage() {
		s := Number(float64(n), 0) + thin + "×"
		d.c.text(numbers, at, y, "start", s, "fill", ink)
		at += widthOf(numbers, s+thin) + 2
	}
	if !d.onPage() { // no part of it can be touched, so that it is one text: letters may grow on paper
		d.printed(all, x, y, len(rings))
		return
	}
	for i := range all {
		switch g := &all[i]; g.Kind {
		case GivenOuter:
			say(g, "Ø"+short(g.Text))
		case GivenInner:
			say(g, "inside Ø"+short(g.Text))
		case GivenWall:
			say(g, thin+"×"+thin+short(g.Text))
		case GivenContact:
			at, y = x, y+15
			say(g, contactOf(g))
		}
	}
}

// printed writes the notes of a drawing that is printed: how many tubes and of what size, and below it their contact.
func (d *drawing) printed(all []Given, x, y float64, tubes int) {
	size, contact := "", ""
	if tubes > 1 {
		size = Number(float64(tubes), 0) + thin + "×" + thin
	}
	for i := range all {
		switch g := &all[i]; g.Kind {
		case GivenOuter:
			size += "Ø" + short(g.Text)
		case GivenInner:
			size += " inside Ø" + short(g.Text)
		case GivenWall:
			size += thin + "×" + thin + short(g.Text)
		case GivenContact:
			contact = contactOf(g)
		}
	}
	d.c.text(numbers, x, y, "start", size, "fill", pen)
	if contact != "" {
		d.c.text(numbers, x, y+15, "start", contact, "fill", pen)
	}
}

// contactOf words a conductance of contact.
func contactOf(g *Given) string {
	return "contact " + strings.ReplaceAll(strings.ReplaceAll(g.Text, "m2 K", "m²"+thin+"K"), "m2·K", "m²·K")
}

// short leaves the unit of the drawing out of a typed length.
func short(text string) string { return strings.TrimSuffix(strings.TrimSpace(text), " mm") }
