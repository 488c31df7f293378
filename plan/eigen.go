package plan

import "gonum.org/v1/gonum/mat"

// eigen returns the eigenvalues of a symmetric matrix, rising, and their vectors: vectors[k] belongs to values[k].
func eigen(m [][]float64) (values []float64, vectors [][]float64) {
	n := len(m)
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, m[i][j])
		}
	}
	var e mat.EigenSym
	if !e.Factorize(s, true) {
		return make([]float64, n), make([][]float64, n)
	}
	var v mat.Dense
	e.VectorsTo(&v)
	for k := range n {
		one := make([]float64, n)
		for i := range n {
			one[i] = v.At(i, k)
		}
		vectors = append(vectors, one)
	}
	return e.Values(nil), vectors
}
