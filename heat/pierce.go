package heat

import (
	"math"

	"emberbank/block"
)

// pierced is the link from cell i of a row to its next where a tube that is too narrow to remove a cell runs through one of
// them, and the share of its conductance that the hole leaves.
type pierced struct {
	i    int32
	left float32
}

// pierce counts the holes of tubes that are narrower than the cells that they cover, and so remove none, in what those cells
// conduct: with φ the hole's share of a cell's section, along the tube 1 − φ is left, and across it, along x,
//
//	(1 − φ)/(1 + φ s),   s = √(kx/ky)
//
// with ky the conductivity in the third direction. Source: Maxwell's formula for two dimensions, which is Rayleigh's, Phil.
// Mag. 34 (1892) 481, to the order of φ³; for a conductivity that depends on direction by stretching the plane, derived here.
func (t *tubes) pierce(net *network, bores []*block.Bore) {
	b := t.b
	left := map[int][3]float64{}
	for _, bore := range bores {
		if len(bore.Removed) > 0 || bore.Radius == 0 {
			continue
		}
		for _, s := range bore.Slices {
			all := 0.0
			for _, l := range s.Links {
				all += l.Shape
			}
			for _, l := range s.Links {
				m := b.medium[l.Cell]
				if m < 0 {
					continue
				}
				x, y, z := b.g.Place(l.Cell)
				cell := b.g.Size(block.Depth, x) * b.g.Size(block.Width, y) * b.g.Size(block.Height, z)
				phi := math.Pi * bore.Radius * bore.Radius * (s.To - s.From) * l.Shape / all / cell
				f, ok := left[l.Cell]
				if !ok {
					f = [3]float64{1, 1, 1}
				}
				k := &b.rec.Media[m].Conductivity
				for a := range f {
					if block.Axis(a) == bore.Axis {
						f[a] *= 1 - phi
						continue
					}
					other := 3 - a - int(bore.Axis)
					f[a] *= (1 - phi) / (1 + phi*math.Sqrt(k[a].At(300)/k[other].At(300)))
				}
				left[l.Cell] = f
			}
		}
	}
	if len(left) == 0 {
		return
	}
	part := func(c, a int) float64 {
		if f, ok := left[c]; ok {
			return f[a]
		}
		return 1
	}
	for a, step := range [3]int{1, b.nx, b.nx * b.ny} {
		net.pierced[a] = make([][]pierced, b.ny*b.nz)
		for c := range b.n {
			var at [3]int
			at[0], at[1], at[2] = b.g.Place(c)
			if at[a]+1 == b.g.N(block.Axis(a)) {
				continue
			}
			fc, fd := part(c, a), part(c+step, a)
			if fc == 1 && fd == 1 {
				continue
			}
			lc, ld := b.g.Size(block.Axis(a), at[a]), b.g.Size(block.Axis(a), at[a]+1)
			row := c / b.nx
			net.pierced[a][row] = append(net.pierced[a][row], pierced{int32(c % b.nx), float32((lc + ld) / (lc/fc + ld/fd))})
		}
	}
}
