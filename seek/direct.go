package seek

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sort"

	"emberbank/sample"
)

// Direct is a search for runs that cost next to nothing: differential evolution. A generation is asked for as a whole, in as
// many askings as is liked, and the next one when it has been told. A variant that meets the constraints goes before
// one that does not, and of two that do not the one that misses them by less.
//
//	trial = a + F (b − c) in some axes, the parent in the others; F from 0.4 to 0.9, anew for each trial,
//
// a, b, c three others drawn at random, a the best of them.
//
// Source: R. Storn, K. Price, J. Glob. Optim. 11 (1997) 341-359; P. Kaelo, M. M. Ali, Eur. J. Oper. Res. 169 (2006) 1176-1184 (a the best);
// K. Deb, Comput. Methods Appl. Mech. Eng. 186 (2000) 311-338
// (constraints); for two aims S. Kukkonen, J. Lampinen, IEEE CEC (2005) 443-450, with the ranks and crowding distances of K. Deb et
// al., IEEE Trans. Evol. Comput. 6 (2002) 182-197.
type Direct struct {
	ledger
	round   uint64      // of the generation in trial; 0: the first
	parents [][]float64 // in the unit cube
	trials  [][]float64
	scale   []float64 // what each constraint is missed by at most in the first generation
}

// NewDirect returns a search that has been told nothing. Its generations have 15 points for each axis, at least 50 and at
// most 200.
func NewDirect(p Problem) (*Direct, error) {
	l, err := newLedger(p)
	if err != nil {
		return nil, err
	}
	d := &Direct{ledger: l}
	fill, err := sample.NewSobol(len(p.Axes), p.Seed^0x5eed)
	if err != nil {
		return nil, fmt.Errorf("search: %w", err)
	}
	for i := range min(max(15*len(p.Axes), 50), 200) {
		u := make([]float64, len(p.Axes))
		fill.At(int64(i), u)
		d.trials = append(d.trials, u)
	}
	return d, nil
}

// Ask returns up to n points of the generation in trial; none while all of them are pending, or where 50 generations
// brought no point that is new.
func (d *Direct) Ask(n int) (Asked, error) {
	if n < 1 {
		return Asked{}, fmt.Errorf("search: at least one point is asked for, not %d", n)
	}
	out := Asked{Promise: math.NaN()}
	for range 50 {
		complete := true
		for _, u := range d.trials {
			x := d.problem.point(u)
			if _, told := d.told[key(x)]; told {
				continue
			}
			complete = false
			if len(out.Points) < n && !d.known(x) {
				d.ask(x)
				out.Points = append(out.Points, x)
			}
		}
		if !complete {
			return out, nil
		}
		d.next()
	}
	return out, nil
}

func (d *Direct) value(u []float64) Values { return d.told[key(d.problem.point(u))].Values }

// next settles the generation in trial and makes the trials of the one after it.
func (d *Direct) next() {
	if d.parents == nil {
		d.parents = d.trials
		var all []Told
		for _, u := range d.trials {
			if v := d.value(u); !v.Failed {
				all = append(all, Told{Values: v})
			}
		}
		d.scale = worst(all, d.problem.Constraints)
	} else {
		d.parents = d.survivors()
	}
	d.round++
	r := rand.New(rand.NewPCG(d.problem.Seed, d.round))
	n, axes := len(d.parents), len(d.problem.Axes)
	d.trials = make([][]float64, n)
	known := make([]Values, n)
	for i, u := range d.parents {
		known[i] = d.value(u)
	}
	for i, parent := range d.parents {
		pick := r.Perm(n)
		pick = slices.DeleteFunc(pick, func(k int) bool { return k == i })
		for k := 1; k < 3; k++ { // a is the best of the three
			if d.compare(known[pick[k]], known[pick[0]]) < 0 {
				pick[0], pick[k] = pick[k], pick[0]
			}
		}
		a, b, c := d.parents[pick[0]], d.parents[pick[1]], d.parents[pick[2]]
		f, keep := 0.4+0.5*r.Float64(), r.IntN(axes)
		u := slices.Clone(parent)
		for k := range u {
			if k != keep && r.Float64() >= 0.9 {
				continue
			}
			u[k] = a[k] + f*(b[k]-c[k])
			if d.problem.Axes[k].Kind == Choice && b[k] != c[k] && r.Float64() < 0.5 {
				u[k] = r.Float64() // places in a list have no differences
			}
			if u[k] < 0 { // half way back to the parent
				u[k] = parent[k] / 2
			} else if u[k] > 1 {
				u[k] = (1 + parent[k]) / 2
			}
		}
		d.trials[i] = u
	}
}

// compare tells whether a is better (−1), worse (1) or, in two aims, neither (0).
func (d *Direct) compare(a, b Values) int {
	rank := func(v Values) (int, float64) {
		switch {
		case v.Failed:
			return 2, 0
		case !meets(v):
			return 1, missed(v, d.scale)
		}
		return 0, 0
	}
	ra, ma := rank(a)
	rb, mb := rank(b)
	switch {
	case ra != rb:
		return sign(float64(ra - rb))
	case ra == 1:
		return sign(ma - mb)
	case ra == 2:
		return 0
	case len(a.Aims) == 1:
		return sign(a.Aims[0] - b.Aims[0])
	}
	x, y := sign(a.Aims[0]-b.Aims[0]), sign(a.Aims[1]-b.Aims[1])
	if x*y < 0 {
		return 0
	}
	return sign(float64(x + y))
}

func sign(x float64) int {
	switch {
	case x < 0:
		return -1
	case x > 0:
		return 1
	}
	return 0
}

// member is a point of a generation with its values.
type member struct {
	u []float64
	Values
}

// survivors takes the better of each parent and its trial. In two aims both stay where neither is better, and the
// generation is cut back by rank, then by how crowded a place is.
func (d *Direct) survivors() [][]float64 {
	n := len(d.parents)
	var pool []member
	for i, u := range d.trials {
		trial, parent := member{u, d.value(u)}, member{d.parents[i], d.value(d.parents[i])}
		switch c := d.compare(trial.Values, parent.Values); {
		case c < 0 || c == 0 && len(trial.Aims) < 2:
			pool = append(pool, trial)
		case c > 0:
			pool = append(pool, parent)
		default:
			pool = append(pool, parent, trial)
		}
	}
	var out []member
	for len(pool) > 0 && len(out) < n {
		if len(out)+len(pool) <= n {
			out = append(out, pool...)
			break
		}
		var rank, rest []member
		for i, a := range pool {
			beaten := false
			for j, b := range pool {
				if i != j && d.compare(b.Values, a.Values) < 0 {
					beaten = true
					break
				}
			}
			if beaten {
				rest = append(rest, a)
			} else {
				rank = append(rank, a)
			}
		}
		out = append(out, thinned(rank, n-len(out))...)
		pool = rest
	}
	points := make([][]float64, len(out))
	for i, m := range out {
		points[i] = m.u
	}
	return points
}

// thinned drops the most crowded of a rank, one at a time, until at most n are left.
func thinned(rank []member, n int) []member {
	if len(rank) <= n {
		return rank
	}
	for _, m := range rank {
		if len(m.Aims) < 2 { // failed: all alike
			return rank[:n]
		}
	}
	sort.SliceStable(rank, func(i, j int) bool { return slices.Compare(rank[i].Aims, rank[j].Aims) < 0 })
	first, last := rank[0].Aims, rank[len(rank)-1].Aims
	w0, w1 := max(last[0]-first[0], 1e-300), max(math.Abs(last[1]-first[1]), 1e-300)
	for len(rank) > n {
		drop, least := 0, math.Inf(1)
		for i := 1; i < len(rank)-1; i++ {
			a, b := rank[i-1].Aims, rank[i+1].Aims
			if c := math.Abs(b[0]-a[0])/w0 + math.Abs(b[1]-a[1])/w1; c < least {
				drop, least = i, c
			}
		}
		rank = slices.Delete(rank, drop, drop+1)
	}
	return rank
}
