package logbook

import (
	"math"

	"emberbank/bench"
	"emberbank/trial"
)

// RecordJSON is record.json and what `trial --json` prints.
type RecordJSON struct {
	Results  string        `json:"results,omitempty"` // the folder; in the printed document only
	Name     string        `json:"name"`
	Start    string        `json:"start,omitempty"`
	Zoned    bool          `json:"zone_known"`
	Length   float64       `json:"length_s"`
	Rows     int           `json:"rows"`
	Interval float64       `json:"interval_s"`
	Columns  []ColumnJSON  `json:"columns"`
	Gaps     [][2]float64  `json:"gaps_s"`
	Repairs  []RepairJSON  `json:"repairs"`
	Phases   []trial.Phase `json:"phases,omitempty"`
	Notes    []string      `json:"notes"`
	Warnings []string      `json:"warnings"`
}

// ColumnJSON is what is told of one column.
type ColumnJSON struct {
	Name       string     `json:"name"`
	Unit       string     `json:"unit"`
	Role       string     `json:"role"`
	Of         string     `json:"of,omitempty"`
	File       string     `json:"file"`
	Heading    string     `json:"heading,omitempty"`
	Sensor     string     `json:"sensor,omitempty"`
	Missing    int        `json:"missing"`
	Least      *float64   `json:"least"`
	Most       *float64   `json:"most"`
	Lag        float64    `json:"lag_s"`
	Noise      float64    `json:"noise"` // SI, standard
	NoiseGiven bool       `json:"noise_given"`
	Systematic *float64   `json:"systematic"` // SI, standard, at the most
	Parts      []PartJSON `json:"parts"`
}

// PartJSON is one systematic error of a column, as a standard uncertainty.
type PartJSON struct {
	Group    string  `json:"group"`
	What     string  `json:"what"`
	Constant float64 `json:"constant"` // SI
	Relative float64 `json:"relative"`
	Larger   bool    `json:"larger_of_both,omitempty"`
}

// RepairJSON is what was mended, or seen and left.
type RepairJSON struct {
	Key    string `json:"key"`
	File   string `json:"file"`
	Column string `json:"column,omitempty"`
	Count  int    `json:"count"`
	Line   int    `json:"line,omitempty"`
	What   string `json:"what"`
	Mended bool   `json:"mended"`
}

// Document is what is told of a trial's record.
func Document(t *bench.Trial) RecordJSON {
	r := t.Record
	d := RecordJSON{
		Name: t.Name, Start: Start(r), Zoned: r.Zoned, Length: r.Length(), Rows: len(r.History.Time), Interval: r.Interval,
		Gaps: [][2]float64{}, Repairs: []RepairJSON{}, Phases: r.Phases, Notes: r.Notes, Warnings: append([]string{}, t.Warnings...),
	}
	for _, g := range r.Gaps {
		d.Gaps = append(d.Gaps, [2]float64{g.From, g.To})
	}
	for _, x := range r.Repairs {
		d.Repairs = append(d.Repairs, RepairJSON(x))
	}
	for i := range r.Columns {
		c, h := &r.Columns[i], &r.History.Columns[i]
		lo, hi, missing := Extremes(h.Values)
		col := ColumnJSON{
			Name: c.Name, Unit: c.Quantity.Unit(), Role: c.Role.String(), Of: c.Of, File: c.File, Heading: c.Heading, Sensor: c.Sensor, Missing: missing,
			Lag: c.Lag, Noise: c.Noise, NoiseGiven: c.NoiseGiven, Parts: []PartJSON{},
		}
		if missing < len(h.Values) {
			u, a, b := c.Systematic(hi), c.Quantity.Shown(lo), c.Quantity.Shown(hi)
			col.Least, col.Most, col.Systematic = &a, &b, &u
		}
		for _, p := range c.Parts {
			col.Parts = append(col.Parts, PartJSON{p.Group, p.What, p.Constant, p.Relative, p.Larger})
		}
		d.Columns = append(d.Columns, col)
	}
	return d
}

// Start is the moment of the record's start, with its zone where that is known.
func Start(r *trial.Record) string {
	switch {
	case r.Start.IsZero():
		return ""
	case r.Zoned:
		return r.Start.Format("2006-01-02T15:04:05.999Z07:00")
	}
	return r.Start.Format("2006-01-02T15:04:05.999")
}

// Extremes returns the least and the largest value, infinite without any, and how many are missing.
func Extremes(v []float64) (lo, hi float64, missing int) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, x := range v {
		if x != x {
			missing++
			continue
		}
		lo, hi = min(lo, x), max(hi, x)
	}
	return lo, hi, missing
}
