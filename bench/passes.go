package bench

import (
	"fmt"
	"math"
	"strconv"

	"emberbank/block"
	"emberbank/receiver"
)

var axisWords = []string{"depth", "width", "height"}

func axisOf(v *value) (block.Axis, bool) {
	for i, w := range axisWords {
		if v.is(w) {
			return block.Axis(i), true
		}
	}
	return 0, false
}

// linePlace reads the two coordinates across a direction; each may be a list.
func (p *plan) linePlace(v *value, a block.Axis) (at [3][]*value, ok bool) {
	ok = true
	for i, w := range axisWords {
		c := v.get(w)
		switch {
		case block.Axis(i) == a && c != nil:
			p.r.wrong(c, "it runs along "+w+", so this coordinate means nothing", "the two coordinates across "+w, "take it out")
		case block.Axis(i) == a:
		case c == nil:
			if !v.partial {
				p.r.report(Problem{
					File: v.file, Line: v.node.Line, Column: v.node.Column, Field: v.path + "." + w,
					Message: fmt.Sprintf("%s.%s is missing: where the axis of what runs along %s lies", v.path, w, a),
					Allowed: lengthAlong().allowed(), Fix: `add "` + w + `: 75 mm"`,
				})
			}
			ok = false
		case c.typ.kind == isList:
			at[i] = c.list
			ok = ok && len(c.list) > 0
		default:
			at[i] = []*value{c}
		}
	}
	return at, ok
}

func (p *plan) heaters() {
	b := p.out.Block
	for _, v := range p.v.get("heaters").items() {
		name := v.get("name")
		if name != nil {
			if p.named["heater "+name.text] != nil {
				p.r.wrong(name, "another heater has this name", "each name once", "choose another name")
			}
			p.named["heater "+name.text] = v
		}
		h := receiver.Heater{Name: name.word(""), Diameter: v.get("diameter").must()}
		axis, okA := axisOf(v.get("along"))
		h.Axis = axis
		if !okA {
			p.out.Heaters = append(p.out.Heaters, h)
			continue
		}
		at, ok := p.linePlace(v, axis)
		for i := range at {
			if len(at[i]) > 0 {
				h.At[i] = at[i][0].num
				if x := h.At[i]; ok && (x <= 0 || x >= b.Max[i]) {
					p.r.wrong(at[i][0], "the heater's axis lies outside the block", "inside the block, up to "+mm(b.Max[i]), "move the heater into the block")
				}
			}
		}
		h.From, h.To = v.get("from").number(0), v.get("to").number(b.Max[axis])
		if h.From >= h.To {
			p.r.wrong(firstOf(v.get("to"), v.get("from"), v), "it ends where it begins or before", "from below to", "exchange from and to")
		}
		for _, end := range []*value{v.get("from"), v.get("to")} {
			if end != nil && (end.num < -1e-9 || end.num > b.Max[axis]+1e-9) {
				p.r.wrong(end, "outside the block", "0 mm to "+mm(b.Max[axis]), "end the heater inside the block")
			}
		}
		p.out.Heaters = append(p.out.Heaters, h)
	}
}

func firstOf(vs ...*value) *value {
	for _, v := range vs {
		if v != nil {
			return v
		}
	}
	return nil
}

// passes lays the tube runs, lattices written out with depth fastest, then width, then height.
func (p *plan) passes() {
	tube := p.v.get("tube")
	for _, v := range p.v.get("passes").items() {
		axis, ok := axisOf(v.get("along"))
		if !ok {
			continue
		}
		at, ok := p.linePlace(v, axis)
		if !ok {
			continue
		}
		pass := p.tube(v, tube, axis)
		at[axis] = []*value{nil}
		many := len(at[0])*len(at[1])*len(at[2]) > 1
		if many && v.has("name") {
			p.r.wrong(v.get("name"), "one name for several passes", "no name for a lattice: its passes are numbered", "take the name out")
		}
		if len(at[0])*len(at[1])*len(at[2])+len(p.out.Passes) > mostPasses {
			p.r.wrong(v, "too many passes", fmt.Sprintf("up to %d", mostPasses), "leave some out")
			return
		}
		for _, h := range at[2] {
			for _, w := range at[1] {
				for _, d := range at[0] {
					pass.Name = strconv.Itoa(len(p.out.Passes) + 1)
					if n := v.get("name"); n != nil && !many {
						pass.Name = n.text
					}
					pass.At = block.Point{d.number(0), w.number(0), h.number(0)}
					p.checkName(v, pass.Name)
					p.out.Passes = append(p.out.Passes, pass)
					p.lattice = append(p.lattice, passOrigin{v: firstOf(d, w, h), own: v, at: [3]*value{d, w, h}, fluid: !math.IsNaN(pass.Fluid)})
				}
			}
		}
	}
	p.checkPasses()
}

const mostPasses = 1000

func (p *plan) checkName(v *value, name string) {
	for _, have := range p.out.Passes {
		if have.Name == name {
			p.r.wrong(firstOf(v.get("name"), v), fmt.Sprintf("another pass is called %q", name), "each name once", "choose another name")
			return
		}
	}
}

// tube gathers a pass's own keys and those of tube.
func (p *plan) tube(v, tube *value, axis block.Axis) receiver.Pass {
	pick := func(key string) *value { return firstOf(v.get(key), tube.get(key)) }
	s := receiver.Pass{
		Axis: axis, From: 0, To: p.out.Block.Max[axis], WallMedium: -1, Fluid: pick("fluid").must(),
		Spreading: !pick("spreading").is("none"), Roughness: pick("roughness").number(1.5e-6),
	}
	// A pass that states its own diameter is a tube, even where the others are line sinks.
	if line := pick("line"); line != nil && !(v.has("outer") && !v.has("line")) {
		s.Line = line.num
		s.Contact.None, s.FilmNone, s.Spreading = true, true, false
		if math.IsNaN(s.Fluid) && !v.partial && !tube.partialOrNil() {
			p.r.wrong(line, "a line sink needs the temperature of its fluid", "", `add "fluid: 60 degC"`)
		}
		for _, key := range []string{"contact", "film", "wall", "inner"} {
			if own := v.get(key); own != nil {
				p.r.wrong(own, "a bare line sink has nothing but line and fluid", "line and fluid", "take it out, or take line out")
			}
		}
		return s
	}
	s.Strength = p.r.strength(pick("strength"))
	outer, inner, wall := pick("outer"), pick("inner"), pick("wall")
	// A pass's own wall goes before the common inner diameter, and the other way round.
	if v.has("wall") && !v.has("inner") {
		inner = nil
	} else if v.has("inner") && !v.has("wall") {
		wall = nil
	}
	s.Outer = outer.must()
	if outer == nil && !v.partial && !tube.partialOrNil() {
		p.r.report(Problem{
			File: v.file, Line: v.node.Line, Column: v.node.Column, Field: v.path + ".outer",
			Message: v.path + " has no outer diameter", Allowed: "1 mm to 500 mm", Fix: `add "outer: 12 mm" under tube: or here`,
		})
	}
	switch {
	case inner != nil && wall != nil:
		p.r.wrong(wall, "both inner and wall are given", "one of the two", "take one out")
		s.Inner = inner.num
	case inner != nil:
		s.Inner = inner.num
		if inner.num >= s.Outer {
			p.r.wrong(inner, "not less than the outer diameter", "below "+mm(s.Outer), "exchange outer and inner, or mend one")
		}
	case wall != nil:
		s.Inner = s.Outer - 2*wall.num
		if s.Inner <= 0 {
			p.r.wrong(wall, "thicker than the tube's radius", "below "+mm(s.Outer/2), "give the wall's thickness, not the diameter")
		}
	default:
		s.Inner = s.Outer
		if outer != nil && !v.partial && !tube.partialOrNil() {
			p.r.report(Problem{
				File: v.file, Line: v.node.Line, Column: v.node.Column, Field: v.path + ".inner",
				Message: v.path + " has neither inner nor wall", Allowed: "inner: below " + mm(s.Outer), Fix: `add "inner: 10 mm" or "wall: 1 mm" under tube: or here`,
			})
		}
	}
	switch m := pick("material"); {
	case m.is("none"):
	case m != nil:
		s.WallMedium = p.medium(m)
	default:
		at := firstOf(tube, v)
		s.WallMedium = p.medium(&value{node: at.node, file: at.file, path: at.path + ".material", typ: text("", ""), text: "stainless-304"})
	}
	switch c := pick("contact"); {
	case c == nil || c.is("none"):
		s.Contact.None = true
	default:
		s.Contact.Value = p.r.curve(c)
	}
	switch f := pick("film"); {
	case f.is("none"):
		s.FilmNone = true
	case f.isQuantity():
		s.FilmFixed = f.num
	}
	return s
}

// partialOrNil tells whether something below was mistaken; a missing value has no mistakes.
func (v *value) partialOrNil() bool { return v != nil && v.partial }

// checkPasses looks for passes that leave or touch the block's edge, or one another.
func (p *plan) checkPasses() {
	b := p.out.Block
	for i := range p.out.Passes {
		s := &p.out.Passes[i]
		from := p.lattice[i]
		radius := s.Outer / 2
		out := false
		for a := range s.At {
			if block.Axis(a) == s.Axis {
				continue
			}
			x := s.At[a]
			if !math.IsNaN(b.Max[a]) && (x-radius <= 1e-9 || x+radius >= b.Max[a]-1e-9) {
				p.r.wrong(from.at[a], fmt.Sprintf("pass %s leaves the block or touches its edge in %s", s.Name, block.Axis(a)),
					fmt.Sprintf("above %s and below %s for its axis", mm(radius), mm(b.Max[a]-radius)), "move the pass inwards, or mend the block's size")
				out = true
				break
			}
		}
		if out {
			continue
		}
		for j := range i {
			if d, least := axisDistance(s, &p.out.Passes[j]), radius+p.out.Passes[j].Outer/2; d < least-1e-9 || d < 1e-9 {
				allowed := "at least " + mm(least) + " between axes"
				if math.IsNaN(least) { // a tube's size is mistaken, which is told by itself
					allowed = "each pass at a place of its own"
				}
				p.r.wrong(p.apart(i, j), fmt.Sprintf("pass %s overlaps pass %s: their axes are %s apart", s.Name, p.out.Passes[j].Name, mm(d)), allowed, "move one of the two")
				break
			}
		}
	}
}

// apart is the coordinate of pass i that sets it apart from pass j: in a lattice, the list that is too close.
func (p *plan) apart(i, j int) *value {
	for a := range p.lattice[i].at {
		if v := p.lattice[i].at[a]; v != nil && v != p.lattice[j].at[a] {
			return v
		}
	}
	return p.lattice[i].v
}

// checkHeaters looks for passes that meet a heater.
func (p *plan) checkHeaters() {
	for k := range p.out.Heaters {
		h := &p.out.Heaters[k]
		line := receiver.Pass{Axis: h.Axis, At: h.At}
		for i := range p.out.Passes {
			s := &p.out.Passes[i]
			if x := h.At[s.Axis]; s.Axis != h.Axis && (s.At[h.Axis]+s.Outer/2 < h.From || s.At[h.Axis]-s.Outer/2 > h.To || x < s.From || x > s.To) {
				continue // the heater ends before it reaches the tube
			}
			if d, least := axisDistance(s, &line), s.Outer/2+h.Diameter/2; d < least-1e-9 {
				p.r.problemAt(p.lattice[i].v, fmt.Sprintf("pass %s meets the heater %s: their axes are %s apart", s.Name, h.Name, mm(d)),
					"at least "+mm(least)+" between axes", "move one of the two")
			}
		}
	}
}

// checkWindow warns of tubes that come out through the window.
func (p *plan) checkWindow() {
	w := p.out.Window
	if w == nil {
		return
	}
	for i := range p.out.Passes {
		s := &p.out.Passes[i]
		in := s.Axis == block.Depth && !p.lattice[i].fluid
		for a := 1; a < 3; a++ {
			in = in && s.At[a]+s.Outer/2 > w.Opening.Min[a] && s.At[a]-s.Outer/2 < w.Opening.Max[a]
		}
		if in {
			p.r.doubt(p.lattice[i].v, fmt.Sprintf("pass %s comes out through the window: nothing there shades the light or the glass in the computation", s.Name),
				"let it run along width or height, or beside the window")
		}
	}
}

// axisDistance is the shortest distance, in m, of two passes' axes inside the block.
func axisDistance(s, t *receiver.Pass) float64 {
	sum := 0.0
	for a := range s.At {
		if ax := block.Axis(a); ax == s.Axis || ax == t.Axis {
			continue // along either axis the two come as close as they can: both run through the whole block
		}
		d := s.At[a] - t.At[a]
		sum += d * d
	}
	return math.Sqrt(sum)
}
