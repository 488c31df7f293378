package block

// Bore is the hole that one straight tube leaves in the grid, cut into slices by the grid lines along its axis.
type Bore struct {
	Axis   Axis
	At     Point   // m, a point on the axis; the coordinate along Axis means nothing
	Radius float64 // m, of the hole; 0 for a bare line
	Slices []Slice // from low to high coordinate along Axis
	// Removed are the cells that are no longer solid: what the hole leaves of them belongs to their neighbours.
	Removed []int
}

// Slice is the part of a bore between two grid lines.
type Slice struct {
	From, To float64 // m along the axis
	// Links couple the wall of the hole to cells of the solid: a link's conductance in W/K is its Shape times
	// the cell's conductivity across the tube (geometric mean of the two directions across it). For a bare line,
	// of radius 0, there is one link, to the cell that holds the axis, and its Shape is the slice's length.
	Links []Link
	// Ways are the conductances in W/K over the solid's conductivity across the tube, in m, of what leads around the hole
	// from its one side to its other, along the first and the second direction across it. Cells are removed whole, and block
	// more than the round hole does: this gives it back.
	Ways [2]float64
}

// Link couples a slice of the hole's wall to one cell.
type Link struct {
	Cell  int
	Shape float64 // m
	// Own is the share of the way from the cell's centre to the wall that lies in the cell itself; the rest lies in what
	// the removed cell Beside was filled with. It is 1 where the wall stands in the cell, and Beside then means nothing.
	Own    float64
	Beside int
	// Side is by how much more of the Shape faces the hole from above than from below, along the two directions across: what
	// leads around the hole leaves and enters the cells by it.
	Side [2]float64
}
