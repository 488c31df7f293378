package trial

import (
	"math"

	"emberbank/history"
)

// Like is the record under the names of a run's columns, over the run's time: an outlet or a flow of a circuit takes the
// name that a run gives it. begins is where in the record the run begins, s. columns tells how well each is known; only
// lists the channels that the run has no column for.
func (r *Record) Like(run *history.History, begins float64) (h *history.History, columns map[string]*Column, only []string) {
	h, columns = &history.History{}, map[string]*Column{}
	for _, t := range r.History.Time {
		h.Time = append(h.Time, t-begins)
	}
	for i := range r.Columns {
		c := &r.Columns[i]
		name := c.Name
		if run.Column(name) == nil {
			switch c.Role {
			case Outlet:
				name = "circuit " + c.Of + " outlet"
			case Flow:
				name = "circuit " + c.Of + " flow"
			default:
			}
		}
		if like := run.Column(name); like == nil || like.Quantity != c.Quantity || columns[name] != nil {
			only = append(only, c.Name)
			continue
		}
		columns[name] = c
		h.Columns = append(h.Columns, history.Column{Name: name, Quantity: c.Quantity, Values: r.History.Columns[i].Values})
	}
	return h, columns, only
}

// Half is how well the difference between a computed value and a reading v is known at 95 %, in SI: 1.96 times the standard
// uncertainty of sensor and noise, and band, the half-width of the computed value, where there is one (else 0 or NaN).
// Source: JCGM 100:2008, 5.1.2 and 6.2.1 with a coverage factor of 1.96.
func (c *Column) Half(v, band float64) float64 {
	u := 1.96 * math.Hypot(c.Systematic(v), c.Noise)
	if band > 0 {
		u = math.Hypot(u, band)
	}
	return u
}

// Within is how well the differences between a run and the column are known at 95 %, at the most over some times, and the
// share of these times at which the difference is within that; NaN where nothing is known. Both histories have a column of
// the name; bands are the half-widths of the run's, nil: there are none.
func (c *Column) Within(measured, run, bands *history.History, name string, times []float64) (half, share float64) {
	a, b := measured.Column(name), run.Column(name)
	var band *history.Column
	if bands != nil {
		band = bands.Column(name)
	}
	n, inside := 0, 0
	for _, t := range times {
		v := measured.At(a, t)
		d := run.At(b, t) - v
		if math.IsNaN(d) {
			continue
		}
		w := 0.0
		if band != nil {
			w = bands.At(band, t)
		}
		u := c.Half(v, w)
		half = math.Max(half, u)
		n++
		if math.Abs(d) <= u {
			inside++
		}
	}
	if n == 0 || half == 0 {
		return math.NaN(), math.NaN()
	}
	return half, float64(inside) / float64(n)
}
