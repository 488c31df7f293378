package web

import (
	"slices"
	"sort"

	"emberbank/heat"
)

// books are a run's ledgers, row by row, packed: a long run has many.
type books struct {
	shape  heat.Ledger // whose names all have
	values []float64   // of all rows, one behind the other
	each   int         // numbers of a row
}

// add takes in the ledger of the next row.
func (b *books) add(l heat.Ledger) {
	before := len(b.values)
	b.values = append(b.values, l.Absorbed, l.Glass, l.Electric, l.Generated, l.Stored, l.Latent, l.ToPasses, l.Carried, l.Lost, l.Residual)
	for _, shares := range [][]heat.Share{l.StoredBy, l.ByPass, l.ByCircuit, l.ByPath} {
		for _, s := range shares {
			b.values = append(b.values, s.Amount)
		}
	}
	if b.each == 0 {
		b.shape, b.each = l, len(b.values)-before
	}
}

// over is what came and went between two rows; from -1 since the start.
func (b *books) over(from, to int) heat.Ledger {
	v := slices.Clone(b.values[to*b.each : (to+1)*b.each])
	if from >= 0 {
		for i, x := range b.values[from*b.each : (from+1)*b.each] {
			v[i] -= x
		}
	}
	l := b.shape
	for _, x := range []*float64{&l.Absorbed, &l.Glass, &l.Electric, &l.Generated, &l.Stored, &l.Latent, &l.ToPasses, &l.Carried, &l.Lost, &l.Residual} {
		*x, v = v[0], v[1:]
	}
	for _, shares := range []*[]heat.Share{&l.StoredBy, &l.ByPass, &l.ByCircuit, &l.ByPath} {
		*shares = slices.Clone(*shares)
		for i := range *shares {
			(*shares)[i].Amount, v = v[0], v[1:]
		}
	}
	return l
}

// rowAt is the row at or last before a time, or the first.
func rowAt(times []float64, t float64) int {
	return max(0, sort.Search(len(times), func(i int) bool { return times[i] > t+1e-9 })-1)
}
