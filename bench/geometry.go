package bench

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/material"
	"emberbank/receiver"
)

// plan is a receiver while it is being built.
type plan struct {
	r    *reader
	v    *value
	lib  *library
	out  receiver.Receiver
	ext  block.Box // extent of block, insulation and jacket placed so far
	made map[string]int
	// First layer's thickness on each side, for the default offset of bends; 0: no insulation there.
	first   [6]float64
	spread  []Uncertain
	strange bool              // some part has a medium that is not known, so what is solid is not known either
	named   map[string]*value // passes, circuits, heaters by name, for duplicates and references
	lattice []passOrigin      // where each pass was written
	laid    []laidCircuit     // what each circuit was laid from
}

type passOrigin struct {
	v     *value
	own   *value    // the entry that states it, alone or in a lattice
	at    [3]*value // its coordinates, nil along its axis
	fluid bool
}

// buildReceiver turns a read receiver into plain values. It goes on after mistakes; the result is of use only
// where none was reported.
func (r *reader) buildReceiver(v *value) *plan {
	p := &plan{r: r, v: v, lib: newLibrary(r.library), made: map[string]int{}, named: map[string]*value{}}
	r.add(p.lib, v)
	p.out.Name = v.get("name").word("receiver")
	p.block()
	p.surfaces()
	p.insulation()
	p.jacket()
	p.window()
	p.boxes()
	p.surroundingAir()
	p.heaters()
	p.passes()
	p.checkHeaters()
	p.checkWindow()
	p.circuits()
	p.checkOwn()
	if !v.partial {
		p.contacts()
	}
	return p
}

// medium returns the index of a medium by name, built once.
func (p *plan) medium(v *value) int {
	if v == nil {
		return -1
	}
	if i, seen := p.made[v.text]; seen {
		return i
	}
	before := len(p.r.problems)
	m, ok := p.r.medium(p.lib, v)
	if !ok {
		p.strange = true
		if len(p.r.problems) == before && !v.partial { // its description was complained of when it was read
			p.made[v.text] = -1
		}
		return -1
	}
	p.spread = append(p.spread, p.r.spread(&m, p.v.file)...)
	p.out.Media = append(p.out.Media, m)
	p.made[v.text] = len(p.out.Media) - 1
	return p.made[v.text]
}

func (p *plan) part(name string, role receiver.Role, box block.Box, medium int, v *value) {
	p.out.Parts = append(p.out.Parts, receiver.Part{
		Name: name, Role: role, Box: box, Medium: medium,
		Surface: -1, Initial: v.get("initial").must(), Generation: v.get("generation").number(0),
	})
}

func (p *plan) block() {
	b := p.v.get("block")
	p.out.Block = block.Box{Max: block.Point{b.get("depth").must(), b.get("width").must(), b.get("height").must()}}
	p.ext = p.out.Block
	p.part("block", receiver.RoleBlock, p.out.Block, p.medium(b.get("medium")), b)
}

// grow returns the slab of thickness t that covers the whole side of a box, and the box grown by it.
func grow(b block.Box, s block.Side, t float64) (slab, grown block.Box) {
	slab, grown = b, b
	a := s.Axis()
	if s.Sign() < 0 {
		slab.Min[a], slab.Max[a] = round(b.Min[a]-t), b.Min[a]
		grown.Min[a] = slab.Min[a]
	} else {
		slab.Min[a], slab.Max[a] = b.Max[a], round(b.Max[a]+t)
		grown.Max[a] = slab.Max[a]
	}
	return slab, grown
}

// round takes a sum of lengths to whole nanometres, so that 300 mm and 30 mm make the very number that "330 mm"
// reads as, and faces that should meet do.
func round(x float64) float64 { return math.Round(x*1e9) / 1e9 }

// shellOrder is the order in which the sides of one shell are placed.
var shellOrder = [6]block.Side{block.Back, block.Left, block.Right, block.Bottom, block.Top, block.Front}

// layersOf returns a side's list: its own, or around's, or all's.
func layersOf(v *value, s block.Side) *value {
	if l := v.get(s.String()); l != nil {
		return l
	}
	if s != block.Front && s != block.Back {
		if l := v.get("around"); l != nil {
			return l
		}
	}
	if s != block.Front {
		return v.get("all")
	}
	return nil
}

// insulation wraps the layers shell by shell, so that corners are filled.
func (p *plan) insulation() {
	ins := p.v.get("insulation")
	for n := 0; ; n++ {
		any := false
		for _, s := range shellOrder {
			layers := layersOf(ins, s).items()
			if n >= len(layers) {
				continue
			}
			any = true
			l := layers[n]
			t := l.get("thickness").must()
			if n == 0 && t > 0 {
				p.first[s] = t
			}
			if math.IsNaN(t) {
				continue
			}
			var slab block.Box
			slab, p.ext = grow(p.ext, s, t)
			p.part(fmt.Sprintf("%s layer %d", s, n+1), receiver.RoleInsulation, slab, p.medium(l.get("material")), l)
		}
		if !any {
			return
		}
	}
}

func (p *plan) jacket() {
	j := p.v.get("jacket")
	if j == nil {
		return
	}
	on := map[string]bool{"back": true, "left": true, "right": true, "bottom": true, "top": true}
	if sides := j.get("sides"); sides != nil {
		on = map[string]bool{}
		for _, s := range sides.items() {
			if on[s.text] {
				p.r.wrong(s, "named twice", "each side once", "take one out")
			}
			on[s.text] = true
		}
	}
	t, m := j.get("thickness").must(), p.medium(j.get("material"))
	if math.IsNaN(t) {
		return
	}
	for _, s := range shellOrder {
		if !on[s.String()] {
			continue
		}
		var slab block.Box
		slab, p.ext = grow(p.ext, s, t)
		p.part("jacket "+s.String(), receiver.RoleJacket, slab, m, j)
	}
}

// window cuts the opening through what stands before the block, and describes it.
func (p *plan) window() {
	w := p.v.get("window")
	if w == nil {
		return
	}
	b := p.out.Block
	width, height := w.get("width").number(b.Max[1]), w.get("height").number(b.Max[2])
	cw := w.get("centre", "width").number(b.Max[1] / 2)
	ch := w.get("centre", "height").number(b.Max[2] / 2)
	open := block.Box{Min: block.Point{0, round(cw - width/2), round(ch - height/2)}, Max: block.Point{0, round(cw + width/2), round(ch + height/2)}}
	for a, key := range map[int]string{1: "width", 2: "height"} {
		over := max(-open.Min[a], open.Max[a]-b.Max[a])
		if over > 1e-9 {
			at := w.get(key)
			if at == nil {
				at = w.get("centre", key)
			}
			if at == nil {
				at = w
			}
			p.r.wrong(at, fmt.Sprintf("the window stands %s over the block's face", mm(over)),
				"within the block's "+key+" of "+mm(b.Max[a]), "make the window smaller or move its centre")
			continue
		}
		open.Min[a], open.Max[a] = max(open.Min[a], 0), min(open.Max[a], b.Max[a])
	}
	win := &receiver.Window{
		Opening:    open,
		Emissivity: w.get("emissivity").number(0.9),
		Film:       outsideFilm(w.get("film"), receiver.FilmOutside), Ambient: w.get("ambient").pointer(),
		Surrounds: w.get("surroundings").pointer(), ServiceLimit: w.get("service limit").number(0),
		FluxLimit: w.get("flux limit").number(0),
	}
	win.Absorptance, win.Absorptances = p.byAngle(w.get("absorptance"), 0.95)
	if win.Surrounds == nil && win.Ambient != nil {
		win.Surrounds = win.Ambient
	}
	if g := w.get("glass"); g != nil {
		p.glass(win, w, g)
	}
	p.cover(win, w.get("cover"))
	p.out.Window = win
	if p.ext.Min[0] < 0 { // layers or jacket before the block
		p.out.Surfaces = append(p.out.Surfaces, receiver.Surface{Name: "reveal", Kind: receiver.Adiabatic})
		open.Min[0], open.Max[0] = p.ext.Min[0], 0
		p.out.Parts = append(p.out.Parts, receiver.Part{
			Name: "window opening", Role: receiver.RoleBox, Box: open,
			Medium: -1, Surface: len(p.out.Surfaces) - 1, Initial: math.NaN(),
		})
	}
}

// coverFilm is the film on the outer side of a shut cover that is given by its layers: natural convection and
// radiation together on a warm wall, common practice.
const coverFilm = 10 // W/(m² K)

// coverAt is the temperature at which the conductivity of a cover's layers is taken.
const coverAt = 200 + 273.15

func (p *plan) cover(win *receiver.Window, v *value) {
	if c := v.get("conductance"); c != nil {
		win.Cover = c.num
	}
	layers := v.get("layers")
	if layers == nil {
		return
	}
	resistance := 1.0 / coverFilm
	for _, l := range layers.items() {
		if m, ok := p.r.medium(p.lib, l.get("material")); ok {
			resistance += l.get("thickness").must() / m.Conductivity[block.Depth].At(coverAt)
		}
	}
	win.Cover = 1 / resistance
}

// span reads one of a box's three spans.
func (p *plan) span(v *value) (from, to float64) {
	if v == nil || len(v.list) != 2 {
		return math.NaN(), math.NaN()
	}
	from, to = v.list[0].num, v.list[1].num
	if from >= to {
		p.r.wrong(v, "it does not go from low to high", "from below to", "exchange the two, or give the box a thickness")
	} else if to-from < leastSize-1e-12 {
		p.r.wrong(v, "thinner than can be resolved", "at least "+mm(leastSize), "leave the box out, or make it thicker")
	}
	return from, to
}

// leastSize is the thinnest layer that is resolved, in m.
const leastSize = 1e-4

func (p *plan) boxOf(v *value) (b block.Box, ok bool) {
	ok = true
	for a, key := range []string{"depth", "width", "height"} {
		b.Min[a], b.Max[a] = p.span(v.get(key))
		ok = ok && b.Min[a] < b.Max[a]
	}
	return b, ok
}

// boxes places fixtures and then boxes, a later one replacing an earlier one.
func (p *plan) boxes() {
	names := map[string]bool{}
	place := func(v *value, role receiver.Role, fallback string) {
		name := v.get("name").word(fallback)
		if names[name] && v.has("name") {
			p.r.wrong(v.get("name"), "another box has this name", "each name once", "choose another name")
		}
		names[name] = true
		b, ok := p.boxOf(v)
		if a := v.get("open air"); a != nil {
			if !a.on {
				p.r.wrong(a, "a box holds open air or a material", "yes, or leave it out and give material", `write "open air: yes"`)
				return
			}
			s := p.surface(v.get("surface"), "towards "+name, false)
			p.out.Surfaces = append(p.out.Surfaces, s)
			if ok {
				p.out.Parts = append(p.out.Parts, receiver.Part{
					Name: name, Role: role, Box: b, Medium: -1,
					Surface: len(p.out.Surfaces) - 1, Initial: math.NaN(),
				})
			}
			return
		}
		m := p.medium(v.get("material"))
		if ok {
			p.part(name, role, b, m, v)
		}
	}
	for i, v := range p.v.get("fixtures").items() {
		place(v, receiver.RoleFixture, fmt.Sprintf("fixture %d", i+1))
	}
	for i, v := range p.v.get("boxes").items() {
		place(v, receiver.RoleBox, fmt.Sprintf("box %d", i+1))
	}
}

// surroundingAir fills with open air what lies beside boxes that stick out of the body: each side's air takes
// that side's surface.
func (p *plan) surroundingAir() {
	reach := p.ext
	for _, part := range p.out.Parts {
		if part.Medium < 0 && part.Surface >= 0 {
			continue // open air beyond the body is there already
		}
		for a := range reach.Min {
			reach.Min[a] = min(reach.Min[a], part.Box.Min[a])
			reach.Max[a] = max(reach.Max[a], part.Box.Max[a])
		}
	}
	var air []receiver.Part
	ext := p.ext
	for _, s := range shellOrder {
		a := s.Axis()
		t := ext.Min[a] - reach.Min[a]
		if s.Sign() > 0 {
			t = reach.Max[a] - ext.Max[a]
		}
		if !(t > 1e-9) {
			continue
		}
		var slab block.Box
		slab, ext = grow(ext, s, t)
		air = append(air, receiver.Part{
			Name: "air beside " + s.String(), Role: receiver.RoleBox, Box: slab, Medium: -1,
			Surface: int(s), Initial: math.NaN(),
		})
	}
	for _, part := range p.out.Parts {
		if part.Medium < 0 && part.Surface >= 0 { // open air counts as far as the body reaches
			empty := false
			for a := range reach.Min {
				part.Box.Min[a], part.Box.Max[a] = max(part.Box.Min[a], reach.Min[a]), min(part.Box.Max[a], reach.Max[a])
				empty = empty || !(part.Box.Max[a]-part.Box.Min[a] > 1e-9)
			}
			if empty {
				continue
			}
		}
		air = append(air, part)
	}
	p.out.Parts = air
}

// contacts warns where metals that attack each other touch: what melts in the block against tubes and boxes in it.
func (p *plan) contacts() {
	bm := p.blockMedium()
	if bm == nil || bm.Metal == "" || bm.Latent == 0 || !p.lib.hasComposite(bm.Name) {
		return // a plain metal is not meant to melt; the run's own cautions tell if it does
	}
	told, looked := map[string]bool{}, map[int]bool{}
	for i := range p.out.Passes {
		w := p.out.Passes[i].WallMedium
		if w < 0 || looked[w] {
			continue
		}
		looked[w] = true
		name := p.out.Media[w].Name
		for _, pair := range material.Contacts(bm.Metal, name) {
			if told[pair.What] {
				continue
			}
			told[pair.What] = true
			p.r.doubt(p.v.get("block", "medium"), fmt.Sprintf("%s melts in the block and can reach tubes of %s: %s (%s)",
				bm.Metal, name, pair.What, pair.Source), "keep them apart, or choose another pair")
		}
	}
}

func (p *plan) blockMedium() *material.Medium {
	for i := range p.out.Parts {
		if q := &p.out.Parts[i]; q.Role == receiver.RoleBlock && q.Medium >= 0 {
			return &p.out.Media[q.Medium]
		}
	}
	return nil
}

// mm writes a length in millimetres for a message.
func mm(x float64) string { return fmt.Sprintf("%.4g mm", 1000*x) }
