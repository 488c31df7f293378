package heat

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/material"
	"emberbank/receiver"
)

// body is the receiver as cells: what each is made of, how heavy it is, and which of its faces are free.
type body struct {
	rec        *receiver.Receiver
	shelf      shelf
	g          *block.Grid
	nx, ny, nz int
	n          int       // all cells of the grid
	active     int       // cells of solid
	part       []int16   // by cell; -1 where there is no solid
	medium     []int16   // by cell; -1 where there is no solid
	mass       []float64 // kg
	minv       []float32 // 1/kg; mass is its inverse to the last bit, so that books kept with either agree
	volume     []float64 // m³ of solid
	enthalpy   []*material.Enthalpy
	readings   []reading
	runs       []span // stretches of cells of one medium, by plane
	planeRuns  []int  // runs of plane k: runs[planeRuns[k]:planeRuns[k+1]]
	faces      []face // sorted by cell
	planeFaces []int
	patches    []patch
	inBlock    []int32 // cells of the block
	blockVol   float64
	warnings   []string
	isBore     []bool
	bored      map[int]int16 // by removed cell: the medium that it was drilled through
}

// span is a stretch of cells from..to of one medium within one row or several.
type span struct {
	from, to int32
	medium   int16
}

// face is a free face of a cell.
type face struct {
	cell  int32
	patch int32
	side  block.Side
	area  float64 // m²
	half  float64 // m, from the cell's centre to the face
	share float64 // of the light on the window
}

// patch is the faces of one surface that look the same way.
type patch struct {
	path          int // index into the ledger's paths
	side          block.Side
	surface       *receiver.Surface // nil: the window
	area          float64
	height, width float64 // m, extent of the patch
	lo, hi        block.Point
}

const windowPath = 0 // paths: the window first, then the surfaces in their order

func newBody(p *Problem) (*body, []*block.Bore, error) {
	rec := &p.Receiver
	b := &body{rec: rec}
	if err := b.lay(p); err != nil {
		return nil, nil, err
	}
	b.nx, b.ny, b.nz, b.n = b.g.N(0), b.g.N(1), b.g.N(2), b.g.Cells()
	boxes := make([]block.Box, len(rec.Parts))
	for i := range rec.Parts {
		boxes[i] = rec.Parts[i].Box
	}
	filled := block.Fill(b.g, boxes)
	bores, err := b.cutBores(filled)
	if err != nil {
		return nil, nil, err
	}
	if err := b.fill(filled, bores); err != nil {
		return nil, nil, err
	}
	b.findFaces(filled)
	return b, bores, nil
}

// outer returns the box around every part.
func outer(rec *receiver.Receiver) block.Box {
	body := rec.Block
	for _, part := range rec.Parts {
		for a := range 3 {
			body.Min[a] = min(body.Min[a], part.Box.Min[a])
			body.Max[a] = max(body.Max[a], part.Box.Max[a])
		}
	}
	return body
}

func (b *body) lay(p *Problem) (err error) {
	rec := b.rec
	all := outer(rec)
	plan := p.Grid
	refine := plan.Refine
	if refine <= 0 {
		refine = 1
	}
	switch {
	case plan.Counts != [3]int{}:
		counts := plan.Counts
		for a := range counts {
			counts[a] = max(1, int(math.Round(float64(counts[a])*refine)))
		}
		b.g, err = block.Uniform(all, counts)
		return err
	case len(plan.Lines[0]) > 0:
		g := &block.Grid{}
		for a := range 3 {
			g.Lines[a] = split(plan.Lines[a], refine)
		}
		b.g = g
		return nil
	}
	l := block.Layout{Body: all, Core: rec.Block, Size: plan.Size, PerLayer: plan.PerLayer, Refine: refine}
	for _, part := range rec.Parts {
		l.Boxes = append(l.Boxes, part.Box)
		if part.Medium >= 0 && (part.Role == receiver.RoleFixture || part.Role == receiver.RoleBox) {
			l.Bridges = append(l.Bridges, part.Box)
		}
	}
	if w := rec.Window; w != nil {
		o := w.Opening
		o.Min[0], o.Max[0] = rec.Block.Min[0], rec.Block.Max[0]
		l.Boxes = append(l.Boxes, o)
	}
	for i := range rec.Passes {
		t := &rec.Passes[i]
		l.Lines = append(l.Lines, block.Line{Axis: t.Axis, At: t.At, From: t.From, To: t.To, Diameter: t.Outer})
	}
	for i := range rec.Heaters {
		h := &rec.Heaters[i]
		l.Lines = append(l.Lines, block.Line{Axis: h.Axis, At: h.At, From: h.From, To: h.To, Diameter: h.Diameter})
	}
	g, warnings, err := block.Lay(l)
	b.g = g
	b.warnings = append(b.warnings, warnings...)
	return err
}

// split divides given edges by a refinement factor, keeping every given edge.
func split(lines []float64, refine float64) []float64 {
	if refine == 1 {
		return lines
	}
	out := []float64{lines[0]}
	carry := 0.0
	for i := 1; i < len(lines); i++ {
		want := refine + carry
		m := max(1, int(math.Round(want)))
		carry = want - float64(m)
		for j := 1; j <= m; j++ {
			out = append(out, lines[i-1]+(lines[i]-lines[i-1])*float64(j)/float64(m))
		}
	}
	return out
}

// fill sets medium, mass and volume of each cell.
func (b *body) fill(filled []int16, bores []*block.Bore) error {
	rec := b.rec
	solids := make([]block.Bore, 0, len(bores))
	for _, bore := range bores {
		solids = append(solids, *bore)
	}
	volume, removed := block.SolidVolumes(b.g, solids)
	b.volume = volume
	b.part = append([]int16(nil), filled...)
	b.isBore = make([]bool, b.n)
	b.bored = make(map[int]int16, len(removed))
	for _, c := range removed {
		if b.part[c] >= 0 {
			b.bored[c] = int16(rec.Parts[b.part[c]].Medium)
		}
		b.part[c] = -1
		b.isBore[c] = true
		b.volume[c] = 0
	}
	b.medium = make([]int16, b.n)
	b.mass = b.shelf.doubles(b.n)
	b.minv = b.shelf.singles(b.n)
	for i := range rec.Media {
		e := material.NewEnthalpy(&rec.Media[i])
		b.enthalpy = append(b.enthalpy, e)
		b.readings = append(b.readings, newReading(e))
	}
	inBlock := 0
	for _, p := range b.part {
		if p >= 0 && rec.Parts[p].Role == receiver.RoleBlock {
			inBlock++
		}
	}
	b.inBlock = make([]int32, 0, inBlock)
	for c := range b.n {
		b.medium[c] = -1
		if b.part[c] < 0 {
			continue
		}
		part := &rec.Parts[b.part[c]]
		if part.Medium < 0 {
			b.part[c] = -1
			continue
		}
		b.medium[c] = int16(part.Medium)
		b.mass[c] = rec.Media[part.Medium].Density * b.volume[c]
		if !(b.mass[c] > 0) {
			return fmt.Errorf("a cell of part %q has no mass: the tubes leave nothing of it; use a finer grid", part.Name)
		}
		b.minv[c] = float32(1 / b.mass[c])
		b.mass[c] = 1 / float64(b.minv[c])
		b.active++
		if part.Role == receiver.RoleBlock {
			b.inBlock = append(b.inBlock, int32(c))
			b.blockVol += b.volume[c]
		}
	}
	if b.active == 0 {
		return fmt.Errorf("the receiver has no solid: every part is open air")
	}
	b.planeRuns = make([]int, b.nz+1)
	plane := b.nx * b.ny
	for k := range b.nz {
		b.planeRuns[k] = len(b.runs)
		for c := k * plane; c < (k+1)*plane; {
			m := b.medium[c]
			from := c
			for c < (k+1)*plane && b.medium[c] == m {
				c++
			}
			if m >= 0 {
				b.runs = append(b.runs, span{int32(from), int32(c), m})
			}
		}
	}
	b.planeRuns[b.nz] = len(b.runs)
	return nil
}

// step returns the offset to the neighbour beyond a side, and whether there is one in the grid.
func (b *body) neighbour(c int, i, j, k int, s block.Side) (int, bool) {
	switch s {
	case block.Front:
		return c - 1, i > 0
	case block.Back:
		return c + 1, i < b.nx-1
	case block.Left:
		return c - b.nx, j > 0
	case block.Right:
		return c + b.nx, j < b.ny-1
	case block.Bottom:
		return c - b.nx*b.ny, k > 0
	}
	return c + b.nx*b.ny, k < b.nz-1
}

// amidst tells whether a cell has solid on every side.
func (b *body) amidst(c, i, j, k int) bool {
	row, plane := b.nx, b.nx*b.ny
	return i > 0 && i < b.nx-1 && j > 0 && j < b.ny-1 && k > 0 && k < b.nz-1 &&
		b.medium[c-1] >= 0 && b.medium[c+1] >= 0 && b.medium[c-row] >= 0 && b.medium[c+row] >= 0 &&
		b.medium[c-plane] >= 0 && b.medium[c+plane] >= 0
}

// findFaces lists the free faces and groups them into patches.
func (b *body) findFaces(filled []int16) {
	rec := b.rec
	bySide := map[string]int{}
	for i := range rec.Surfaces {
		bySide[rec.Surfaces[i].Name] = i
	}
	known := map[[2]int]int{} // surface (or -1 for the window) and side → patch
	patchOf := func(surface int, s block.Side) int {
		key := [2]int{surface, int(s)}
		if p, ok := known[key]; ok {
			return p
		}
		p := patch{path: surface + 1, side: s, lo: block.Point{inf, inf, inf}, hi: block.Point{-inf, -inf, -inf}}
		if surface >= 0 {
			p.surface = &rec.Surfaces[surface]
		}
		known[key] = len(b.patches)
		b.patches = append(b.patches, p)
		return known[key]
	}
	b.planeFaces = make([]int, b.nz+1)
	b.faces = make([]face, 0, 2*(b.nx*b.ny+b.ny*b.nz+b.nz*b.nx)) // those of a body without hollows
	for k := range b.nz {
		b.planeFaces[k] = len(b.faces)
		for j := range b.ny {
			for i := range b.nx {
				c := i + b.nx*(j+b.ny*k)
				if b.medium[c] < 0 {
					continue
				}
				if b.amidst(c, i, j, k) {
					continue
				}
				at := [3]int{i, j, k}
				for s := block.Front; s <= block.Top; s++ {
					nb, inside := b.neighbour(c, i, j, k, s)
					if inside && (b.medium[nb] >= 0 || b.isBore[nb]) {
						continue
					}
					surface, ok := bySide[s.String()]
					if inside && filled[nb] >= 0 {
						surface, ok = rec.Parts[filled[nb]].Surface, true
					}
					a := s.Axis()
					u, v := (a+1)%3, (a+2)%3
					area := b.g.Size(u, at[u]) * b.g.Size(v, at[v])
					half := 0.5 * b.g.Size(a, at[a])
					add := func(surface int, area float64) {
						f := face{cell: int32(c), side: s, area: area, half: half}
						f.patch = int32(patchOf(surface, s))
						pt := &b.patches[f.patch]
						pt.area += area
						for d := range 3 {
							pt.lo[d] = min(pt.lo[d], b.g.Lines[d][at[d]])
							pt.hi[d] = max(pt.hi[d], b.g.Lines[d][at[d]+1])
						}
						b.faces = append(b.faces, f)
					}
					if s == block.Front && rec.Window != nil && b.atWindowPlane(c, i) {
						open := b.opening(j, k)
						if open > 1e-9*area {
							add(-1, open)
							area -= open
						}
						if area < 1e-9*open {
							continue
						}
					}
					if !ok || rec.Surfaces[surface].Kind == receiver.Adiabatic {
						continue
					}
					add(surface, area)
				}
			}
		}
	}
	b.planeFaces[b.nz] = len(b.faces)
	for i := range b.patches {
		p := &b.patches[i]
		var size [3]float64
		for a := range 3 {
			size[a] = p.hi[a] - p.lo[a]
		}
		switch p.side.Axis() {
		case block.Depth:
			p.height, p.width = size[2], size[1]
		case block.Width:
			p.height, p.width = size[2], size[0]
		case block.Height:
			p.height, p.width = size[0], size[1]
		}
	}
}

// atWindowPlane tells whether the free front face of a cell is the block's face behind the window: on a given grid,
// whose lines need not meet that face, the nearest one stands for it.
func (b *body) atWindowPlane(c, i int) bool {
	off := math.Abs(b.g.Lines[0][i] - b.rec.Block.Min[0])
	return b.rec.Parts[b.part[c]].Role == receiver.RoleBlock && off <= 0.5*b.g.Size(0, i)+1e-9
}

// opening returns the area of the window's opening on the face of column (j, k), in m².
func (b *body) opening(j, k int) float64 {
	o := &b.rec.Window.Opening
	dy := min(o.Max[1], b.g.Lines[1][j+1]) - max(o.Min[1], b.g.Lines[1][j])
	dz := min(o.Max[2], b.g.Lines[2][k+1]) - max(o.Min[2], b.g.Lines[2][k])
	return max(0, dy) * max(0, dz)
}

var inf = math.Inf(1)
