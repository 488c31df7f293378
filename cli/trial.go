package cli

import (
	"encoding/json"
	"fmt"
	"io"

	"emberbank/account"
	"emberbank/balance"
	"emberbank/bench"
	"emberbank/history"
	"emberbank/logbook"
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
	doc := logbook.Document(loaded)
	heat, notes := logbook.Reduce(loaded)
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
			Kind   string             `json:"kind"`
			Record logbook.RecordJSON `json:"record"`
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
			account.Paragraph(c.out, "", n)
		}
		if heat != nil {
			_ = account.WriteBalance(c.out, heat)
		}
		if len(maps) > 0 {
			fmt.Fprintln(c.out)
			_ = account.MapText(c.out, maps) // watched
		}
		fmt.Fprintf(c.out, "\nThe record stands in %s\n", placed)
	}
	return nil
}

// write puts the record's files into their folder.
func (k *trialCommand) write(c *call, target string, loaded *bench.Trial, doc logbook.RecordJSON, heat *balance.Report, maps []account.Mapped, over *computed) (string, error) {
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
		{"history.csv", func(w io.Writer) error { return account.WriteCSV(w, h) }},
		{"history.parquet", func(w io.Writer) error { return account.WriteParquet(w, h) }},
		{"history.svg", func(w io.Writer) error {
			_, err := w.Write(account.RecordPicture(loaded.Name+": what was measured", h, ofWater(loaded.Record), heat))
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
		err = account.WriteHeat(sink{f}, heat)
	}
	if err == nil && len(maps) > 0 {
		err = account.WriteMaps(sink{f}, loaded.Name+": heat flow to the water", maps)
	}
	if err != nil {
		return "", disk("writing the results to "+f.target, err)
	}
	inputs := entriesOf(loaded.Inputs)
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
