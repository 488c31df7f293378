package balance

import (
	"fmt"
	"math"
	"slices"

	"emberbank/uncertainty"
)

// own returns a channel at the rows of its own logger.
func (in *Input) own(i int) (t, v []float64) {
	if o := in.Channels[i].Own; o != nil {
		return o.Time, o.Values
	}
	return in.History.Time, in.values(i)
}

// pace returns the rows at which channels that are multiplied with one another are all true, or nearly so: those of the
// slowest of their loggers. from and to are the rows of the phase from a to b; where they are not the history's the next
// beyond each end belong to them, since the phase begins and ends between two rows.
func (in *Input) pace(a, b float64, channels ...int) (t []float64, from, to int) {
	t = in.History.Time
	step := interval(t)
	slower := false
	for _, i := range channels {
		if o := in.Channels[i].Own; o != nil && interval(o.Time) > 1.001*step {
			t, step, slower = o.Time, interval(o.Time), true
		}
	}
	from, to = within(t, a, b)
	if !slower {
		return t, from, to
	}
	limit := in.gapLimit(t)
	if from > 0 && (from == len(t) || t[from] > a+1e-3) && (from == len(t) || t[from]-t[from-1] <= limit) {
		from--
	}
	if to < len(t) && (to == 0 || t[to-1] < b-1e-3) && (to == 0 || t[to]-t[to-1] <= limit) {
		to++
	}
	return t, from, to
}

// over brings a channel to rows: as they are where they are its own; the mean of its readings about each where it is
// more than twice as fast; else by straight lines between its rows, over no gap and beyond no end.
func (in *Input) over(i int, rows []float64) []float64 {
	t, v := in.own(i)
	out := make([]float64, len(rows))
	step := interval(rows)
	dense := len(rows) > 1 && interval(t) < 0.5*step
	limit := in.gapLimit(t)
	for k, at := range rows {
		out[k] = math.NaN()
		m, found := slices.BinarySearchFunc(t, at, func(x, y float64) int {
			switch {
			case x < y-1e-6:
				return -1
			case x > y+1e-6:
				return 1
			}
			return 0
		})
		switch {
		case dense:
			from, to := within(t, at-step/2, at+step/2)
			if w := v[from:to]; len(w) > 0 {
				sum, n := 0.0, 0.0
				for _, x := range w {
					if !math.IsNaN(x) {
						sum, n = sum+x, n+1
					}
				}
				if n > 0 {
					out[k] = sum / n
				}
			}
		case found:
			out[k] = v[m]
		case m > 0 && m < len(t) && t[m]-t[m-1] <= limit:
			f := (at - t[m-1]) / (t[m] - t[m-1])
			out[k] = v[m-1] + f*(v[m]-v[m-1])
		}
	}
	return out
}

// spans returns each row's weight in a trapezoidal integral over the rows from a to b, in s; a and b may lie between two.
func spans(t []float64, a, b float64) []float64 {
	w := make([]float64, len(t))
	for i := 1; i < len(t); i++ {
		l, r, d := math.Max(a-1e-3, t[i-1]), math.Min(b+1e-3, t[i]), t[i]-t[i-1]
		if r <= l {
			continue
		}
		w[i-1] += ((t[i]-l)*(t[i]-l) - (t[i]-r)*(t[i]-r)) / (2 * d)
		w[i] += ((r-t[i-1])*(r-t[i-1]) - (l-t[i-1])*(l-t[i-1])) / (2 * d)
	}
	return w
}

// moments adds that the moment at which something began or ended is known to an interval of its logger only. q is the
// heat flow at the rows, level what tells that it is on, above least. Between the rows t₀, off, and t₁, on, of distance
// d the moment has a rectangular distribution of half-width d/2, and what flowed since is q₁ for the rest of the interval:
//
//	E = q₁ d/2,   u = q₁ d/(2 √3)
//
// The trapezoid gives just this E. Where the phase takes in only a part of the interval, from l to r of length L and with
// the share p = (l − t₀)/d before it,
//
//	E/q₁ = p L + L²/(2 d),   (u/q₁)² = p L² + L³/(3 d) − (E/q₁)²
//
// and for an end the same from behind, with the heat flow just before it. What begins between the same two rows, as
// several circuits do, shares its moment. It returns the rows at whose left such an interval lies.
// Source: JCGM 100:2008, 4.3.7 for the rectangle; the rest is its mean and variance.
func (in *Input) moments(m *model, f *term, what string, t, q, level []float64, least, a, b float64) []bool {
	jumps := make([]bool, len(t))
	limit := in.gapLimit(t)
	for i := 1; i < len(t); i++ {
		d := t[i] - t[i-1]
		before, after := level[i-1] > least, level[i] > least
		if before == after || !(least > 0) || d > limit {
			continue
		}
		jumps[i] = true
		l, r := math.Max(a, t[i-1]), math.Min(b, t[i])
		if r <= l {
			continue
		}
		L, p, height, name := r-l, (l-t[i-1])/d, -(q[i] - q[i-1]), what+" began"
		if before {
			p, height, name = (t[i]-r)/d, q[i-1]-q[i], what+" ended"
		}
		mean := p*L + L*L/(2*d)
		by := height * math.Sqrt(math.Max(0, p*L*L+L*L*L/(3*d)-mean*mean))
		key := [2]int{-2 - len(name), int(math.Round(1e3 * t[i]))}
		z, known := m.of[key]
		if !known {
			u := d / 2 / math.Sqrt(3)
			z = m.add(uncertainty.Quantity{Name: "moment at which " + name, Unit: "s", Value: (t[i-1] + t[i]) / 2, Components: []uncertainty.Component{
				{Name: fmt.Sprintf("between rows %.3g s apart", d), U: u, Shape: uncertainty.Rectangular},
			}})
			m.of[key] = z
		}
		f.linear = append(f.linear, effect{z, by})
	}
	return jumps
}

// regular tells whether rows follow one another at about one distance, so that what lies between two is known to it;
// a logger that writes when something changes does not.
func regular(t []float64) bool {
	step := interval(t)
	for i := 1; i < len(t); i++ {
		if t[i]-t[i-1] > 3*step {
			return false
		}
	}
	return true
}
