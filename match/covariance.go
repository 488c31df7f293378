package match

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// inverseOf returns (JᵀJ)⁻¹ from the columns of J by its singular values, columns scaled to length one first.
// A direction with no information at all gets an infinite variance.
func inverseOf(columns [][]float64) [][]float64 {
	d := decompose(columns)
	n := len(columns)
	c := make([][]float64, n)
	for i := range c {
		c[i] = make([]float64, n)
		for j := range c[i] {
			for k, s := range d.sigma {
				if part := d.v[i][k] * d.v[j][k]; part != 0 {
					c[i][j] += part / (s * s)
				}
			}
			if l := d.length[i] * d.length[j]; l > 0 {
				c[i][j] /= l
			} else if i == j {
				c[i][j] = math.Inf(1)
			} else {
				c[i][j] = 0
			}
		}
	}
	return c
}

// decomposition is J with its columns scaled to length one, as singular values and right vectors.
type decomposition struct {
	length []float64   // of the columns
	sigma  []float64   // falling
	v      [][]float64 // v[j][k]: share of column j in direction k
}

func decompose(columns [][]float64) decomposition {
	n := len(columns)
	d := decomposition{length: make([]float64, n), v: make([][]float64, n)}
	rows := n
	if n > 0 {
		rows = max(n, len(columns[0]))
	}
	a := mat.NewDense(rows, n, nil)
	for j, c := range columns {
		d.length[j] = math.Sqrt(dot(c, c))
		d.v[j] = make([]float64, n)
		if d.length[j] == 0 {
			continue
		}
		for i, x := range c {
			a.Set(i, j, x/d.length[j])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		d.sigma = make([]float64, n)
		return d
	}
	d.sigma = svd.Values(nil)
	var v mat.Dense
	svd.VTo(&v)
	for j := range n {
		for k := range n {
			d.v[j][k] = v.At(j, k)
		}
	}
	return d
}
