package seek

import "slices"

// Surface is what a surrogate expects of variants that were not run.
type Surface struct{ models *models }

// Surface lays the processes through all that was told; nil: fewer than three variants gave values.
func (s *Surrogate) Surface() *Surface {
	if m := s.models(); m != nil {
		return &Surface{m}
	}
	return nil
}

// At returns what is expected of the aims and the constraints at a place on the axes, whole numbers and those between them
// alike. Beyond what was told they mean little.
func (f *Surface) At(x []float64) (aims, constraints []float64) {
	place := f.models.problem.place(x)
	for _, p := range f.models.aims {
		mean, _ := p.expect(place, f.models.v)
		aims = append(aims, mean)
	}
	for _, p := range f.models.constraints {
		mean, _ := p.expect(place, f.models.v)
		constraints = append(constraints, mean)
	}
	return aims, constraints
}

// Nearest returns those n of some variants that lie nearest to a place, as the axes measure distance, in the order in which they
// stand. Of a list, one entry is as far from another as the ends of a range.
func (p Problem) Nearest(all []Told, to []float64, n int) []Told {
	if len(all) <= n {
		return all
	}
	at := p.place(to)
	distance := func(t Told) float64 {
		sum := 0.0
		for i, v := range p.place(t.At) {
			d := v - at[i]
			if p.Axes[i].Kind == Choice && d != 0 {
				d = 1
			}
			sum += d * d
		}
		return sum
	}
	order := make([]float64, len(all))
	for i, t := range all {
		order[i] = distance(t)
	}
	sorted := slices.Clone(order)
	slices.Sort(sorted)
	limit := sorted[n-1]
	var out []Told
	for i, t := range all {
		if order[i] <= limit && len(out) < n {
			out = append(out, t)
		}
	}
	return out
}
