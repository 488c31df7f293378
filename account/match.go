package account

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"

	"emberbank/figure"
	"emberbank/history"
	"emberbank/match"
)

// WriteMatch puts all files of a match into the sink: parameters, their covariance and correlation, residuals and
// comparisons as CSV and Parquet, the report as text, pictures, and match.json last.
func WriteMatch(sink Sink, name string, r *match.Result) error {
	var docs []document
	for _, one := range []struct {
		name string
		fill func(t *table) error
	}{
		{"parameters", func(t *table) error { return matchParameters(t, r) }},
		{"covariance", func(t *table) error { return matchSquare(t, r, r.Covariance, true) }},
		{"correlation", func(t *table) error { return matchSquare(t, r, r.Correlation, false) }},
		{"residuals", func(t *table) error { return matchResiduals(t, r) }},
		{"trust", func(t *table) error { return matchTrust(t, r) }},
	} {
		square := one.name == "covariance" || one.name == "correlation"
		if (one.name != "trust" || len(r.Trust) > 0) && (!square || len(r.Covariance) > 0) {
			docs = append(docs, inBoth(one.name, one.fill)...)
		}
	}
	docs = append(docs, document{"report.txt", func(w io.Writer) error { return MatchText(w, name, r) }})
	if len(r.Correlation) > 0 {
		docs = append(docs, document{"corner.svg", func(w io.Writer) error {
			_, err := w.Write(figure.Corner(name+": what is known of the parameters", known(r), r.Correlation))
			return err
		}})
	}
	var trials []string
	for _, c := range r.Columns {
		if !slices.Contains(trials, c.Trial) {
			trials = append(trials, c.Trial)
		}
	}
	for i, t := range trials {
		docs = append(docs, document{fmt.Sprintf("fit-%d.svg", i+1), func(w io.Writer) error {
			var list []figure.Fitted
			title := t
			for _, c := range r.Columns {
				if c.Trial == t {
					list = append(list, fitted(&c))
					if c.Aside {
						title = t + " (set aside: predicted, not fitted)"
					}
				}
			}
			_, err := w.Write(figure.Fit(title, list))
			return err
		}})
	}
	docs = append(docs, document{"match.json", func(w io.Writer) error {
		e := json.NewEncoder(w)
		e.SetEscapeHTML(false)
		e.SetIndent("", " ")
		return e.Encode(MatchDocument(name, r))
	}})
	for i := range docs {
		if err := docs[i].into(sink); err != nil {
			return err
		}
	}
	return nil
}

// scaled gives a parameter's value, or a difference of it, in its unit.
func scaled(p *match.Parameter, v float64, difference bool) float64 {
	size := p.Size
	if size == 0 {
		size = 1
	}
	if difference {
		return v / size
	}
	return (v - p.Zero) / size
}

func known(r *match.Result) []figure.Known {
	var out []figure.Known
	for i, e := range r.Estimates {
		p := &r.Parameters[i]
		out = append(out, figure.Known{
			Name: e.Name, Unit: p.Unit, Value: scaled(p, e.Value, false), SD: scaled(p, e.SD, true),
			Freedom: e.Freedom, Profiled: e.Profiled, Lower: scaled(p, e.Lower, false), Upper: scaled(p, e.Upper, false),
			BoundLow: scaled(p, p.Lower, false), BoundTop: scaled(p, p.Upper, false),
		})
	}
	return out
}

func fitted(c *match.ColumnFit) figure.Fitted {
	f := figure.Fitted{Name: c.Column, Unit: c.Unit, Time: c.Time, Band: c.Band}
	zero := 0.0
	if c.Unit == history.Temperature.Unit() {
		f.Unit, zero = "°C", 273.15
	}
	for k := range c.Time {
		f.Measured = append(f.Measured, c.Measured[k]-zero)
		f.Computed = append(f.Computed, c.Computed[k]-zero)
	}
	return f
}

func matchParameters(t *table, r *match.Result) error {
	for _, h := range []string{"parameter", "unit", "value", "standard deviation", "degrees of freedom [1]", "lower 95 %", "upper 95 %", "interval by", "lower bound", "upper bound", "from the grid", "lower 95 % with the grid", "upper 95 % with the grid", "on a finer grid"} {
		t.text(h)
	}
	t.end()
	for i, e := range r.Estimates {
		p := &r.Parameters[i]
		t.text(e.Name)
		t.text(p.Unit)
		t.number(scaled(p, e.Value, false))
		t.number(scaled(p, e.SD, true))
		t.number(e.Freedom)
		t.number(scaled(p, e.Lower, false))
		t.number(scaled(p, e.Upper, false))
		if e.Profiled {
			t.text("profile")
		} else {
			t.text("covariance")
		}
		t.number(scaled(p, p.Lower, false))
		t.number(scaled(p, p.Upper, false))
		g := shareOfGrid(&e)
		t.number(scaled(p, g.Half(), true))
		for _, v := range []float64{g.Lower, g.Upper, g.Finer} {
			t.number(scaled(p, v, false))
		}
		t.end()
	}
	return t.flush()
}

// shareOfGrid is the grid's share in a parameter, no numbers where it was not computed.
func shareOfGrid(e *match.Estimated) match.GridShare {
	if e.Grid.Known {
		return e.Grid
	}
	nan := math.NaN()
	return match.GridShare{Finer: nan, Numeric: nan, Lower: nan, Upper: nan}
}

func matchSquare(t *table, r *match.Result, m [][]float64, units bool) error {
	t.text("parameter")
	for i, e := range r.Estimates {
		h := e.Name
		if units && r.Parameters[i].Unit != "" {
			h += " [" + r.Parameters[i].Unit + "]"
		}
		t.text(h)
	}
	t.end()
	for a, e := range r.Estimates {
		t.text(e.Name)
		for b := range r.Estimates {
			v := m[a][b]
			if units {
				v = scaled(&r.Parameters[a], scaled(&r.Parameters[b], v, true), true)
			}
			t.number(v)
		}
		t.end()
	}
	return t.flush()
}

func matchResiduals(t *table, r *match.Result) error {
	for _, h := range []string{"trial", "column", "unit", "use", "time [s]", "measured", "computed", "computed less measured", "half-width at 95 %"} {
		t.text(h)
	}
	t.end()
	for i := range r.Columns {
		c := &r.Columns[i]
		f := fitted(c)
		use := "fitted"
		if c.Aside {
			use = "predicted"
		}
		for k := range c.Time {
			t.text(c.Trial)
			t.text(c.Column)
			t.text(c.Unit)
			t.text(use)
			for _, v := range []float64{c.Time[k], f.Measured[k], f.Computed[k], f.Computed[k] - f.Measured[k], c.Band[k]} {
				t.number(v)
			}
			t.end()
		}
	}
	return t.flush()
}

func matchTrust(t *table, r *match.Result) error {
	for _, h := range []string{"trial", "phase", "column", "unit", "rows [1]", "E", "u_num", "u_input", "u_D", "u_val", "E within 2 u_val", "root mean square", "worst", "worst at [s]", "share within the band [1]"} {
		t.text(h)
	}
	t.end()
	for _, c := range r.Trust {
		unit := c.Unit
		if unit == history.Temperature.Unit() {
			unit = "K"
		}
		for _, s := range []string{c.Trial, c.Phase, c.Column, unit} {
			t.text(s)
		}
		for _, v := range []float64{float64(c.Rows), c.Error, c.Numeric, c.Input, c.Data, c.Validation} {
			t.number(v)
		}
		t.text(map[bool]string{true: "yes", false: "no"}[c.Within])
		for _, v := range []float64{c.RMS, c.Worst, c.WorstAt, c.Covered} {
			t.number(v)
		}
		t.end()
	}
	return t.flush()
}

// number is a value of JSON, null where there is none.
func jsonNumber(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}
