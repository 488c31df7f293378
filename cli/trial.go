package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"emberbank/balance"
	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/history"
	"emberbank/trial"
)

type trialCommand struct {
	Files  []string `arg:"" name:"file"`
	Draft  bool
	Output string `short:"o"`
	Run    string
	Follow bool
	Every  string
	For    string
	JSON   bool `name:"json"`
	Quiet  bool
}

func (k *trialCommand) wantsJSON() bool { return k.JSON }

func (k *trialCommand) run(c *call) error {
	if k.Draft && k.Run != "" {
		return &failure{code: ExitUsage, message: "--run goes with a trial, not with --draft", hint: "leave --run out"}
	}
	if !k.Follow && k.Every+k.For != "" {
		return &failure{code: ExitUsage, message: "--every and --for go with --follow", hint: "add --follow"}
	}
	if k.Draft {
		return k.draft(c)
	}
	if len(k.Files) > 1 {
		return &failure{code: ExitUsage, message: k.Files[1] + " is one argument too many", hint: "one description at a time; several loggers' files go with --draft"}
	}
	at, err := locate(k.Files[0])
	if err != nil {
		return err
	}
	over, err := readComputed(k.Run) // before hours of following
	if err != nil {
		return err
	}
	var watched *seen
	if k.Follow {
		if watched, err = k.followTrial(c, at); err != nil {
			return err
		}
	}
	loaded, problems := bench.LoadTrial(at.fs(), at.name, bench.Options{})
	if problems.Failed() {
		return &failure{code: ExitInput, problems: at.named(problems)}
	}
	target := k.Output
	if target == "" {
		target = at.results()
	}
	doc := recordDocument(loaded)
	heat, notes := reduced(loaded)
	doc.Notes = append(doc.Notes, notes...)
	maps, note := mapped(loaded, over)
	if note != "" {
		notes = append(notes, note)
		doc.Notes = append(doc.Notes, note)
	}
	written := heat
	if note := watched.covered(loaded.Record); note != "" {
		notes = append([]string{note}, notes...)
		doc.Notes = append([]string{note}, doc.Notes...)
		if heat != nil {
			h := *heat
			h.Notes = append([]string{note}, heat.Notes...)
			written = &h
		}
	}
	placed, err := k.write(c, target, loaded, doc, written, maps, over)
	if err != nil {
		return err
	}
	switch {
	case k.JSON && k.Follow: // a line like those before
		doc.Results = placed
		raw, err := json.Marshal(struct {
			Kind   string     `json:"kind"`
			Record recordJSON `json:"record"`
		}{"end", doc})
		if err != nil {
			return err
		}
		_, _ = c.out.Write(append(raw, '\n'))
	case k.JSON:
		doc.Results = placed
		c.printJSON(doc)
	case !k.Quiet:
		if k.Follow {
			fmt.Fprintln(c.out)
		}
		tellRecord(c.out, loaded)
		fmt.Fprintln(c.out)
		for _, n := range notes {
			dossier.Paragraph(c.out, "", n)
		}
		if heat != nil {
			_ = dossier.WriteBalance(c.out, heat)
		}
		if len(maps) > 0 {
			fmt.Fprintln(c.out)
			_ = dossier.MapText(c.out, maps) // watched
		}
		fmt.Fprintf(c.out, "\nThe record stands in %s\n", placed)
	}
	return nil
}

// write puts the record's files into their folder.
func (k *trialCommand) write(c *call, target string, loaded *bench.Trial, doc recordJSON, heat *balance.Report, maps []dossier.Mapped, over *computed) (string, error) {
	f, err := openToPlace(target, c.disk)
	if err != nil {
		return "", err
	}
	defer f.close()
	h := &loaded.Record.History
	for _, d := range []struct {
		name string
		to   func(io.Writer) error
	}{
		{"history.csv", func(w io.Writer) error { return dossier.WriteCSV(w, h) }},
		{"history.parquet", func(w io.Writer) error { return dossier.WriteParquet(w, h) }},
		{"history.svg", func(w io.Writer) error {
			_, err := w.Write(dossier.RecordPicture(loaded.Name+": what was measured", h, ofWater(loaded.Record), heat))
			return err
		}},
		{"record.json", func(w io.Writer) error {
			e := json.NewEncoder(w)
			e.SetEscapeHTML(false)
			e.SetIndent("", "  ")
			return e.Encode(doc)
		}},
	} {
		if err := f.write(d.name, false, d.to); err != nil {
			return "", err
		}
	}
	if heat != nil {
		err = dossier.WriteHeat(sink{f}, heat)
	}
	if err == nil && len(maps) > 0 {
		err = dossier.WriteMaps(sink{f}, loaded.Name+": heat flow to the water", maps)
	}
	if err != nil {
		return "", disk("writing the results to "+f.target, err)
	}
	var inputs []manifestFile
	for _, in := range loaded.Inputs {
		inputs = append(inputs, manifestFile{Name: in.Name, SHA256: in.SHA256})
	}
	if over != nil {
		inputs = append(inputs, over.input)
	}
	return f.place(inputs, false)
}

// ofWater tells which columns are of a circuit's water.
func ofWater(r *trial.Record) func(name string) bool {
	water := map[string]bool{}
	for i := range r.Columns {
		switch c := &r.Columns[i]; c.Role {
		case trial.Inlet, trial.Outlet, trial.Flow, trial.PressureAt, trial.PressureDrop:
			water[c.Name] = true
		default:
		}
	}
	return func(name string) bool { return water[name] }
}

// recordJSON is record.json and what `trial --json` prints.
type recordJSON struct {
	Results  string        `json:"results,omitempty"` // the folder; in the printed document only
	Name     string        `json:"name"`
	Start    string        `json:"start,omitempty"`
	Zoned    bool          `json:"zone_known"`
	Length   float64       `json:"length_s"`
	Rows     int           `json:"rows"`
	Interval float64       `json:"interval_s"`
	Columns  []columnJSON  `json:"columns"`
	Gaps     [][2]float64  `json:"gaps_s"`
	Repairs  []repairJSON  `json:"repairs"`
	Phases   []trial.Phase `json:"phases,omitempty"`
	Notes    []string      `json:"notes"`
	Warnings []string      `json:"warnings"`
}

type columnJSON struct {
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
	Parts      []partJSON `json:"parts"`
}

type partJSON struct {
	Group    string  `json:"group"`
	What     string  `json:"what"`
	Constant float64 `json:"constant"` // SI
	Relative float64 `json:"relative"`
	Larger   bool    `json:"larger_of_both,omitempty"`
}

type repairJSON struct {
	Key    string `json:"key"`
	File   string `json:"file"`
	Column string `json:"column,omitempty"`
	Count  int    `json:"count"`
	Line   int    `json:"line,omitempty"`
	What   string `json:"what"`
	Mended bool   `json:"mended"`
}

func recordDocument(t *bench.Trial) recordJSON {
	r := t.Record
	d := recordJSON{
		Name: t.Name, Start: startOf(r), Zoned: r.Zoned, Length: r.Length(), Rows: len(r.History.Time), Interval: r.Interval,
		Gaps: [][2]float64{}, Repairs: []repairJSON{}, Phases: r.Phases, Notes: r.Notes, Warnings: append([]string{}, t.Warnings...),
	}
	for _, g := range r.Gaps {
		d.Gaps = append(d.Gaps, [2]float64{g.From, g.To})
	}
	for _, x := range r.Repairs {
		d.Repairs = append(d.Repairs, repairJSON(x))
	}
	for i := range r.Columns {
		c, h := &r.Columns[i], &r.History.Columns[i]
		lo, hi, missing := extremes(h.Values)
		col := columnJSON{
			Name: c.Name, Unit: c.Quantity.Unit(), Role: c.Role.String(), Of: c.Of, File: c.File, Heading: c.Heading, Sensor: c.Sensor, Missing: missing,
			Lag: c.Lag, Noise: c.Noise, NoiseGiven: c.NoiseGiven, Parts: []partJSON{},
		}
		if missing < len(h.Values) {
			u, a, b := c.Systematic(hi), c.Quantity.Shown(lo), c.Quantity.Shown(hi)
			col.Least, col.Most, col.Systematic = &a, &b, &u
		}
		for _, p := range c.Parts {
			col.Parts = append(col.Parts, partJSON{p.Group, p.What, p.Constant, p.Relative, p.Larger})
		}
		d.Columns = append(d.Columns, col)
	}
	return d
}

// startOf is the moment of the record's start, with its zone where that is known.
func startOf(r *trial.Record) string {
	switch {
	case r.Start.IsZero():
		return ""
	case r.Zoned:
		return r.Start.Format("2006-01-02T15:04:05.999Z07:00")
	}
	return r.Start.Format("2006-01-02T15:04:05.999")
}

func extremes(v []float64) (lo, hi float64, missing int) {
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

// inUnit takes a width from SI to the unit in which files show the quantity.
func inUnit(q history.Quantity, u float64) float64 {
	if q == history.Temperature {
		return u
	}
	return q.Shown(u)
}

func percent(n, of int) string {
	if n == 0 {
		return "0"
	}
	share := 100 * float64(n) / float64(of)
	switch {
	case n == of:
		return "all"
	case share >= 99.5: // not all of them
		return "> 99 %"
	case share >= 10:
		return fmt.Sprintf("%.0f %%", share)
	}
	return fmt.Sprintf("%.2g %%", share)
}
