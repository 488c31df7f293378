package press

import (
	"image"
	"math"
	"slices"
)

// point is a place on a plate, in dots to the right and down.
type point struct{ x, y float64 }

// mask says how far each dot of a rectangle is covered, 0 to 255.
type mask struct {
	r   image.Rectangle
	all []uint8 // row by row
}

func newMask(r image.Rectangle) *mask { return &mask{r, make([]uint8, r.Dx()*r.Dy())} }

// row is the part of a row from x0 to x1.
func (m *mask) row(y, x0, x1 int) []uint8 {
	at := (y - m.r.Min.Y) * m.r.Dx()
	return m.all[at+x0-m.r.Min.X : at+x1-m.r.Min.X]
}

// within is what both cover.
func (m *mask) within(o *mask) *mask {
	out := newMask(m.r.Intersect(o.r))
	for y := out.r.Min.Y; y < out.r.Max.Y; y++ {
		a, b := m.row(y, out.r.Min.X, out.r.Max.X), o.row(y, out.r.Min.X, out.r.Max.X)
		for i, to := range a {
			out.all[(y-out.r.Min.Y)*out.r.Dx()+i] = uint8((int(to)*int(b[i]) + 127) / 255)
		}
	}
	return out
}

// lines is how many lines are laid through a row of dots; along each what is covered is exact.
const linesPerDot = 5

// crossing is where an edge crosses such a line, and whether it goes down (1) or up (-1) there.
type crossing struct {
	x   float64
	way int
}

// cover finds how far polygons, each of them closed, cover the dots of a rectangle: with evenOdd what lies inside an odd number of
// them, else what they go round at all.
func cover(shapes [][]point, evenOdd bool, within image.Rectangle) *mask {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, s := range shapes {
		for _, p := range s {
			x0, y0, x1, y1 = math.Min(x0, p.x), math.Min(y0, p.y), math.Max(x1, p.x), math.Max(y1, p.y)
		}
	}
	held := func(v float64, least, most int) int { return int(math.Max(float64(least), math.Min(float64(most), v))) } // v may be more than an int holds
	if !(x0 <= x1 && y0 <= y1) {
		return newMask(image.Rectangle{})
	}
	a, b := within.Min, within.Max
	r := image.Rectangle{
		image.Point{held(math.Floor(x0), a.X, b.X), held(math.Floor(y0), a.Y, b.Y)},
		image.Point{held(math.Ceil(x1), a.X, b.X), held(math.Ceil(y1), a.Y, b.Y)},
	}
	if r.Empty() {
		return newMask(image.Rectangle{})
	}
	m := newMask(r)
	all := crossings(shapes, r)
	row := make([]float64, r.Dx()+1) // by how much the covered share changes at each dot
	for y := range r.Dy() {
		clear(row)
		for k := range linesPerDot {
			spans(all[y*linesPerDot+k], evenOdd, float64(r.Min.X), row)
		}
		sum := 0.0
		for x := range r.Dx() {
			sum += row[x]
			m.all[y*r.Dx()+x] = uint8(math.Round(255 * math.Max(0, math.Min(1, sum/linesPerDot))))
		}
	}
	return m
}

// crossings are where the edges of shapes cross the lines through the rows of a rectangle.
func crossings(shapes [][]point, r image.Rectangle) [][]crossing {
	all := make([][]crossing, r.Dy()*linesPerDot)
	for _, s := range shapes {
		for i := range s {
			a, b := s[i], s[(i+1)%len(s)]
			way := 1
			if a.y > b.y {
				a, b, way = b, a, -1
			}
			line := func(y float64) float64 { return (y-float64(r.Min.Y))*linesPerDot - 0.5 }
			from, to := math.Max(0, math.Ceil(line(a.y))), math.Min(float64(len(all)), math.Ceil(line(b.y)))
			for k := int(from); k < int(to); k++ {
				y := float64(r.Min.Y) + (float64(k)+0.5)/linesPerDot
				all[k] = append(all[k], crossing{a.x + (b.x-a.x)*(y-a.y)/(b.y-a.y), way})
			}
		}
	}
	return all
}

// spans adds what lies between the crossings of one line to a row that begins at left.
func spans(all []crossing, evenOdd bool, left float64, row []float64) {
	slices.SortFunc(all, func(a, b crossing) int {
		switch {
		case a.x < b.x:
			return -1
		case a.x > b.x:
			return 1
		}
		return a.way - b.way
	})
	wound := 0
	for i := 0; i+1 < len(all); i++ {
		wound += all[i].way
		if inside := wound != 0; evenOdd && i%2 == 1 || !evenOdd && !inside {
			continue
		}
		span(all[i].x-left, all[i+1].x-left, row)
	}
}

// span adds what lies between two places of a line: shares of the dots at its ends, all of those between.
func span(a, b float64, row []float64) {
	most := float64(len(row) - 1)
	a, b = math.Max(0, math.Min(most, a)), math.Max(0, math.Min(most, b))
	edge := func(x, sign float64) { // what is right of x is covered from there on
		i := min(int(x), len(row)-2)
		share := float64(i+1) - x
		row[i] += sign * share
		row[i+1] += sign * (1 - share)
	}
	if b > a {
		edge(a, 1)
		edge(b, -1)
	}
}
