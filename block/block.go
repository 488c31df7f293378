// Package block is the geometry of a rectilinear body: boxes, grid lines, cells, faces, and the bores that
// tubes leave in it. It is pure geometry: it knows lengths, areas and volumes and nothing of heat.
//
// Directions are depth (from the window inwards), width (across) and height (up), in this order everywhere.
// The origin is the corner of the storage block at its window face, low in width and height; insulation lies
// at negative coordinates and beyond the block's far faces. All lengths are in metres.
package block

// Axis is one of the three directions of the receiver.
type Axis int

// The directions, in the order in which coordinates are stored.
const (
	Depth  Axis = iota // from the window inwards
	Width              // across
	Height             // up
)

// String returns the direction's word: "depth", "width" or "height".
func (a Axis) String() string { return [...]string{"depth", "width", "height"}[a] }

// Side is one of the six outer sides of a box.
type Side int

// The sides, low before high along depth, width and height.
const (
	Front  Side = iota // low depth: the window's side
	Back               // high depth
	Left               // low width
	Right              // high width
	Bottom             // low height
	Top                // high height
)

// String returns the side's word, such as "front".
func (s Side) String() string {
	return [...]string{"front", "back", "left", "right", "bottom", "top"}[s]
}

// Axis returns the direction along which the side's normal points.
func (s Side) Axis() Axis { return Axis(s / 2) }

// Sign returns -1 for a side at low coordinates and +1 for one at high coordinates.
func (s Side) Sign() float64 {
	if s%2 == 0 {
		return -1
	}
	return 1
}

// Point is a place: depth, width and height in m.
type Point [3]float64

// Box is the region between two corners, Min below Max along each direction, in m.
type Box struct{ Min, Max Point }

// Contains tells whether p lies in the box, its low faces included and its high faces left out.
func (b Box) Contains(p Point) bool {
	for a := range p {
		if p[a] < b.Min[a] || p[a] >= b.Max[a] {
			return false
		}
	}
	return true
}

// Volume returns the box's volume in m³.
func (b Box) Volume() float64 {
	return (b.Max[0] - b.Min[0]) * (b.Max[1] - b.Min[1]) * (b.Max[2] - b.Min[2])
}

// Grid is a rectilinear grid: the cell edges along each direction, rising, in m. Cell (i, j, k) lies between
// Lines[0][i] and Lines[0][i+1], and so on; cells are numbered with depth running fastest.
type Grid struct{ Lines [3][]float64 }

// N returns the number of cells along a direction.
func (g *Grid) N(a Axis) int { return len(g.Lines[a]) - 1 }

// Cells returns the number of cells.
func (g *Grid) Cells() int { return g.N(0) * g.N(1) * g.N(2) }

// Index returns the number of cell (i, j, k).
func (g *Grid) Index(i, j, k int) int { return i + g.N(0)*(j+g.N(1)*k) }

// Place returns (i, j, k) of a cell number.
func (g *Grid) Place(cell int) (i, j, k int) {
	nx, ny := g.N(0), g.N(1)
	return cell % nx, cell / nx % ny, cell / (nx * ny)
}

// Size returns the width of cell i along a direction, in m.
func (g *Grid) Size(a Axis, i int) float64 { return g.Lines[a][i+1] - g.Lines[a][i] }

// Centre returns the middle of cell i along a direction, in m.
func (g *Grid) Centre(a Axis, i int) float64 { return 0.5 * (g.Lines[a][i] + g.Lines[a][i+1]) }

// Find returns the cell that holds coordinate x along a direction, the last cell for the far edge, and -1
// outside the grid.
func (g *Grid) Find(a Axis, x float64) int {
	l := g.Lines[a]
	n := len(l) - 1
	if !(x >= l[0] && x <= l[n]) {
		return -1
	}
	lo, hi := 0, n
	for hi-lo > 1 {
		if m := (lo + hi) / 2; l[m] <= x {
			lo = m
		} else {
			hi = m
		}
	}
	return lo
}
