package account

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"emberbank/figure"
	"emberbank/match"
	"emberbank/plan"
)

// WritePlan puts all files of a plan into the sink: what each parameter will be known to, candidates, intervals and
// sensitivities as CSV and Parquet, the report as text, the picture, and plan.json last.
func WritePlan(sink Sink, r *plan.Result) error {
	var docs []document
	for _, one := range []struct {
		name string
		fill func(t *table, r *plan.Result) error
	}{{"expected", planExpected}, {"candidates", planCandidates}, {"intervals", planIntervals}, {"sensitivities", planSensitivities}} {
		docs = append(docs, inBoth(one.name, func(t *table) error { return one.fill(t, r) })...)
	}
	docs = append(docs, []document{
		{"report.txt", func(w io.Writer) error { return PlanText(w, r) }},
		{"expected.svg", func(w io.Writer) error {
			best := ""
			if r.Best >= 0 {
				best = r.Candidates[r.Best].Name
			}
			_, err := w.Write(figure.Foresight(r.Name+": what the trial will teach", best, foreseen(r)))
			return err
		}},
		{"plan.json", func(w io.Writer) error {
			e := json.NewEncoder(w)
			e.SetEscapeHTML(false)
			e.SetIndent("", " ")
			return e.Encode(PlanDocument(r))
		}},
	}...)
	for i := range docs {
		if err := docs[i].into(sink); err != nil {
			return err
		}
	}
	return nil
}

// halfOf is the half-width at 95 % of a standard uncertainty, in the parameter's unit.
func halfOf(p *match.Parameter, sd float64) float64 { return 1.96 * scaled(p, sd, true) }

// halfBefore is the half-width of what is known of a parameter before the trial: of its prior, or half of what lies
// between its bounds, since it lies between them for certain.
func halfBefore(p *match.Parameter, e *plan.Expected) float64 {
	if e.Prior {
		return halfOf(p, e.Before)
	}
	return scaled(p, p.Upper-p.Lower, true) / 2
}

// halfAfter is the half-width of what a trial leaves open, no more than was open before.
func halfAfter(p *match.Parameter, e *plan.Expected, sd float64) float64 {
	return math.Min(halfOf(p, sd), halfBefore(p, e))
}

// twoDigits prints a half-width.
func twoDigits(half float64) string {
	if !(half > 0) || math.IsInf(half, 0) {
		return fmt.Sprint(half)
	}
	return rounded(half, half)
}

// foreseen is what the picture shows.
func foreseen(r *plan.Result) []figure.Foreseen {
	var out []figure.Foreseen
	for j, e := range r.Expected {
		p := &r.Parameters[j]
		band := func(half float64) [2]float64 {
			at := scaled(p, e.Value, false)
			return [2]float64{at - half, at + half}
		}
		f := figure.Foreseen{
			Name: e.Name, Unit: p.Unit, Value: scaled(p, e.Value, false), BoundLow: scaled(p, p.Lower, false), BoundTop: scaled(p, p.Upper, false),
			ByBounds: !e.Prior, Before: [2]float64{scaled(p, p.Lower, false), scaled(p, p.Upper, false)}, Planned: band(halfAfter(p, &e, e.SD)), Best: band(halfAfter(p, &e, e.Best)),
		}
		if e.Prior {
			half, mean := halfBefore(p, &e), scaled(p, p.Prior.Mean, false)
			f.Before = [2]float64{mean - half, mean + half}
		}
		out = append(out, f)
	}
	return out
}

func planExpected(t *table, r *plan.Result) error {
	for _, h := range []string{"parameter", "unit", "at", "standard uncertainty before", "known before by", "expected standard uncertainty", "lower 95 %", "upper 95 %", "expected with the most helpful candidate"} {
		t.text(h)
	}
	t.end()
	for j, e := range r.Expected {
		p := &r.Parameters[j]
		t.text(e.Name)
		t.text(p.Unit)
		t.number(scaled(p, e.Value, false))
		t.number(scaled(p, e.Before, true))
		t.text(map[bool]string{true: "prior", false: "bounds"}[e.Prior])
		t.number(scaled(p, e.SD, true))
		t.number(scaled(p, e.Lower, false))
		t.number(scaled(p, e.Upper, false))
		t.number(scaled(p, e.Best, true))
		t.end()
	}
	return t.flush()
}

// heads writes one heading for each parameter.
func (t *table) heads(list []match.Parameter, before, behind string) {
	for i := range list {
		t.text(before + list[i].Name + behind)
	}
}

func planCandidates(t *table, r *plan.Result) error {
	for _, h := range []string{"kind", "candidate", "run", "depth [m]", "width [m]", "height [m]", "uncertainty left of all together [1]"} {
		t.text(h)
	}
	t.heads(r.Parameters, "left of ", " [1]")
	t.text("remark")
	t.end()
	for i := range r.Candidates {
		c := &r.Candidates[i]
		t.text(c.Kind)
		t.text(c.Name)
		t.text(c.Trial)
		for a := range 3 {
			if c.Sensor != nil && c.Sensor.Probe != nil {
				t.number(c.Sensor.Probe.At[a])
			} else {
				t.number(math.NaN()) // an empty cell, and the column stays one of numbers
			}
		}
		if c.Why == "" {
			t.number(c.Joint)
			for _, g := range c.Gain {
				t.number(g)
			}
		} else {
			for range 1 + len(r.Parameters) {
				t.number(math.NaN())
			}
		}
		t.text(c.Why)
		t.end()
	}
	return t.flush()
}

func planIntervals(t *table, r *plan.Result) error {
	t.text("interval [s]")
	t.text("largest growth [1]")
	for i := range r.Parameters {
		t.text(r.Parameters[i].Name + " [" + unitOr1(r.Parameters[i].Unit) + "]")
	}
	t.end()
	for _, v := range r.Intervals {
		t.number(v.Every)
		t.number(v.Grows)
		for j, sd := range v.SD {
			t.number(scaled(&r.Parameters[j], match.Allowance*sd, true))
		}
		t.end()
	}
	return t.flush()
}

func unitOr1(u string) string {
	if u == "" {
		return "1"
	}
	return u
}

// planSensitivities writes what the planned sensors will read, and by how much each parameter moves that when it rises by
// the standard uncertainty with which it is known before.
func planSensitivities(t *table, r *plan.Result) error {
	for _, h := range []string{"run", "column", "unit", "time [s]", "computed"} {
		t.text(h)
	}
	t.heads(r.Parameters, "by ", "")
	t.end()
	for i := range r.Courses {
		c := &r.Courses[i]
		for k := range c.Time {
			t.text(c.Trial)
			t.text(c.Column)
			t.text(c.Quantity.Unit())
			t.number(c.Time[k])
			t.number(shown(c.Quantity, c.Value[k]))
			for _, s := range c.Slope {
				t.number(s[k])
			}
			t.end()
		}
	}
	return t.flush()
}
