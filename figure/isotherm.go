package figure

import "math"

// nodes is a table of values over a rectilinear set of points, u running fastest; NaN where there is no value.
type nodes struct {
	u, v []float64
	f    []float64
}

func (n *nodes) at(i, j int) float64 { return n.f[i+len(n.u)*j] }

// vertex is a point of a contour.
type vertex struct{ u, v float64 }

// edge names an edge of the mesh: from node (i, j) to the next along u, or along v.
type edge struct {
	i, j  int
	along byte
}

// contours traces the lines on which the values are equal to level, by marching squares with straight lines in
// each mesh; where a mesh is crossed twice, the mean of its corners decides. A line that meets itself ends at the
// point where it began. Lines have the values above the level on their left, u to the right and v upwards.
//
// Meshes with a corner without value are left out.
func contours(n *nodes, level float64) [][]vertex {
	next := map[edge]edge{} // looked up, never walked
	var starts []edge
	target := map[edge]bool{}
	add := func(a, b edge) {
		next[a] = b
		target[b] = true
		starts = append(starts, a)
	}
	for j := 0; j+1 < len(n.v); j++ {
		for i := 0; i+1 < len(n.u); i++ {
			a, b, c, d := n.at(i, j), n.at(i+1, j), n.at(i+1, j+1), n.at(i, j+1)
			if math.IsNaN(a + b + c + d) {
				// An infinite corner is allowed, but two of different sign cancel to NaN: none are mixed here.
				if math.IsNaN(a) || math.IsNaN(b) || math.IsNaN(c) || math.IsNaN(d) {
					continue
				}
			}
			k := 0
			for bit, x := range [4]float64{a, b, c, d} {
				if x >= level {
					k |= 1 << bit
				}
			}
			south, east, north, west := edge{i, j, 'u'}, edge{i + 1, j, 'v'}, edge{i, j + 1, 'u'}, edge{i, j, 'v'}
			// Each pair runs with the high side on its left.
			switch k {
			case 1:
				add(south, west)
			case 2:
				add(east, south)
			case 3:
				add(east, west)
			case 4:
				add(north, east)
			case 6:
				add(north, south)
			case 7:
				add(north, west)
			case 8:
				add(west, north)
			case 9:
				add(south, north)
			case 11:
				add(east, north)
			case 12:
				add(west, east)
			case 13:
				add(south, east)
			case 14:
				add(west, south)
			case 5, 10:
				joined := (a+b+c+d)/4 >= level
				switch {
				case k == 5 && joined:
					add(south, east)
					add(north, west)
				case k == 5:
					add(south, west)
					add(north, east)
				case joined:
					add(west, south)
					add(east, north)
				default:
					add(east, south)
					add(west, north)
				}
			}
		}
	}
	var out [][]vertex
	used := map[edge]bool{}
	walk := func(from edge) {
		line := []vertex{n.crossing(from, level)}
		for at := from; ; {
			to, ok := next[at]
			if !ok || used[at] {
				break
			}
			used[at] = true
			line = append(line, n.crossing(to, level))
			at = to
		}
		if len(line) > 1 {
			out = append(out, line)
		}
	}
	for _, s := range starts { // open lines begin where nothing arrives
		if !target[s] {
			walk(s)
		}
	}
	for _, s := range starts { // what is left is closed
		if !used[s] {
			walk(s)
		}
	}
	return out
}

// crossing is where the values pass the level on an edge. An end without bound gives the other end's place.
func (n *nodes) crossing(e edge, level float64) vertex {
	a := n.at(e.i, e.j)
	var b float64
	p, q := vertex{n.u[e.i], n.v[e.j]}, vertex{}
	if e.along == 'u' {
		b, q = n.at(e.i+1, e.j), vertex{n.u[e.i+1], n.v[e.j]}
	} else {
		b, q = n.at(e.i, e.j+1), vertex{n.u[e.i], n.v[e.j+1]}
	}
	var t float64
	switch {
	case math.IsInf(a, 0):
		t = 1
	case math.IsInf(b, 0):
		t = 0
	default:
		t = math.Max(0, math.Min(1, (level-a)/(b-a)))
	}
	return vertex{p.u + t*(q.u-p.u), p.v + t*(q.v-p.v)}
}

// fenced returns the nodes with a ring of values without bound around them, at the same places as their rim, so
// that the contours of the region at or above a level are closed.
func (n *nodes) fenced() *nodes {
	ring := func(x []float64) []float64 {
		return append(append([]float64{x[0]}, x...), x[len(x)-1])
	}
	out := &nodes{u: ring(n.u), v: ring(n.v)}
	out.f = make([]float64, len(out.u)*len(out.v))
	for j := range out.v {
		for i := range out.u {
			x := math.Inf(-1)
			if i > 0 && j > 0 && i <= len(n.u) && j <= len(n.v) {
				x = n.at(i-1, j-1)
			}
			out.f[i+len(out.u)*j] = x
		}
	}
	return out
}

// filled gives every node without a value the mean of its neighbours that have one, ring by ring, so that
// contours reach the rim of the solid; what lies in the air is drawn over.
func (n *nodes) filled() {
	w := len(n.u)
	for {
		type gift struct {
			at int
			v  float64
		}
		var gifts []gift
		open := false
		for j := range n.v {
			for i := range n.u {
				if !math.IsNaN(n.at(i, j)) {
					continue
				}
				open = true
				sum, count := 0.0, 0
				for _, d := range [4][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
					a, b := i+d[0], j+d[1]
					if a < 0 || b < 0 || a >= w || b >= len(n.v) || math.IsNaN(n.at(a, b)) {
						continue
					}
					sum += n.at(a, b)
					count++
				}
				if count > 0 {
					gifts = append(gifts, gift{i + w*j, sum / float64(count)})
				}
			}
		}
		for _, g := range gifts {
			n.f[g.at] = g.v
		}
		if !open || len(gifts) == 0 {
			return
		}
	}
}
