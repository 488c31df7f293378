package bench

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/receiver"
)

// Dimension is a length of the receiver that a file states, and where it lies.
type Dimension struct {
	File string
	Path string // in the file, as messages name it
	Text string // as typed
	What string // in words, such as "depth of the block"
	Kind DimensionKind
	Axis block.Axis  // along which it is measured; means nothing for what is said of a tube
	From float64     // m along Axis
	To   float64     // m along Axis
	At   block.Point // m, of what is said of a tube: a point of the pass
	Pass string      // of what is said of a tube, or of its place
}

// DimensionKind tells what a length belongs to.
type DimensionKind int

// What a length belongs to.
const (
	DimensionBody    DimensionKind = iota // block or layers: they follow one another
	DimensionWindow                       // the opening
	DimensionPlace                        // of a pass, from the block's corner
	DimensionOuter                        // a tube's outer diameter
	DimensionInner                        // a tube's inner diameter
	DimensionWall                         // a tube's wall
	DimensionContact                      // conductance between block and tube
)

// at says where a length is written; false: nowhere, or not as a quantity.
func (d *Dimension) at(v *value) bool {
	if v == nil || v.node == nil || !v.isQuantity() {
		return false
	}
	d.File, d.Path, d.Text = v.file, v.path, v.node.Value
	return true
}

// dimensions lists the lengths that the receiver's file states, each path once for every place at which it shows.
func (p *plan) dimensions() []Dimension {
	var all []Dimension
	add := func(v *value, d Dimension) {
		if d.at(v) {
			all = append(all, d)
		}
	}
	b := p.out.Block
	for a, key := range axisWords {
		add(p.v.get("block", key), Dimension{What: key + " of the block", Axis: block.Axis(a), From: b.Min[a], To: b.Max[a]})
	}
	p.layerDimensions(add)
	if w := p.out.Window; w != nil {
		for _, a := range []block.Axis{block.Width, block.Height} {
			add(p.v.get("window", axisWords[a]), Dimension{Kind: DimensionWindow, What: axisWords[a] + " of the window", Axis: a, From: w.Opening.Min[a], To: w.Opening.Max[a]})
		}
	}
	p.passDimensions(add)
	return all
}

// layerDimensions adds the thickness of each layer on each side, in the order in which insulation wraps them.
func (p *plan) layerDimensions(add func(*value, Dimension)) {
	ins := p.v.get("insulation")
	ext := p.out.Block
	for n, any := 0, true; any; n++ {
		any = false
		for _, s := range shellOrder {
			layers := layersOf(ins, s).items()
			if n >= len(layers) {
				continue
			}
			any = true
			t := layers[n].get("thickness")
			if !(t.must() > 0) {
				continue
			}
			var slab block.Box
			slab, ext = grow(ext, s, t.num)
			a := s.Axis()
			add(t, Dimension{What: fmt.Sprintf("thickness of %s, layer %d %s", layers[n].get("material").word("insulation"), n+1, outwardsWord(s)), Axis: a, From: slab.Min[a], To: slab.Max[a]})
		}
	}
}

// outwardsWord says where a side's layers lie.
func outwardsWord(s block.Side) string {
	return map[block.Side]string{
		block.Front: "in front", block.Back: "behind", block.Left: "at the left", block.Right: "at the right", block.Bottom: "below", block.Top: "above",
	}[s]
}

// passDimensions adds where passes lie and what their tubes are, each path once.
func (p *plan) passDimensions(add func(*value, Dimension)) {
	tube := p.v.get("tube")
	told := map[string]bool{}
	once := func(v *value, d Dimension) {
		if v != nil && !told[v.path] {
			told[v.path] = true
			add(v, d)
		}
	}
	for i := range p.out.Passes {
		pass, from := &p.out.Passes[i], &p.lattice[i]
		for a := range axisWords {
			if at := from.at[a]; at != nil {
				once(at, Dimension{Kind: DimensionPlace, What: fmt.Sprintf("%s of pass %s", axisWords[a], pass.Name), Axis: block.Axis(a), To: pass.At[a], At: middleOf(pass), Pass: pass.Name})
			}
		}
		for _, k := range []struct {
			key, what string
			kind      DimensionKind
		}{
			{"outer", "outer diameter of the tube", DimensionOuter},
			{"inner", "inner diameter of the tube", DimensionInner},
			{"wall", "wall of the tube", DimensionWall},
			{"contact", "contact between block and tube", DimensionContact},
		} {
			once(firstOf(from.own.get(k.key), tube.get(k.key)), Dimension{Kind: k.kind, What: k.what, At: middleOf(pass), Pass: pass.Name})
		}
	}
}

// middleOf is the middle of a pass.
func middleOf(p *receiver.Pass) block.Point {
	at := p.At
	at[p.Axis] = math.Abs(p.From+p.To) / 2
	return at
}
