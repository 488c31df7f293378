package dossier

import (
	"bytes"
	"cmp"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/block"
	"emberbank/figure"
	"emberbank/heat"
	"emberbank/paper"
)

// Shown is a picture of a bench that can be had by itself.
type Shown struct {
	Name   string // such as "charge-hold-drain/history", "receiver/width" or "report/3"
	Of     string // what it is of, in words
	Anew   bool   // it can be laid out anew for a width; else it is the picture that the results keep
	Moves  bool   // it can be shown over time
	Result string // whose picture it is; "": of none

	file string // in the bench; "": it is drawn from files of input
	draw func(wide float64) (*Drawn, error)
}

// Drawn is a picture with where it comes from.
type Drawn struct {
	SVG    []byte
	Anew   bool   // it was laid out for the width that was asked for; else it is as the results keep it
	Why    string // it was not, though such pictures can be
	Origin string
}

// Draw draws the picture, laid out for so many px where that can be done.
func (s *Shown) Draw(wide float64) (*Drawn, error) { return s.draw(wide) }

// Gallery lists the pictures of a bench: the receiver from its files, then those of results, by kind as shelf.Of has them.
func (g *Gathered) Gallery() (all []Shown) {
	if file, run := g.First(); run != nil {
		for _, a := range []block.Axis{block.Width, block.Depth, block.Height} {
			all = append(all, Shown{Name: "receiver/" + a.String(), Of: "the receiver cut across its " + a.String(), Anew: true, draw: func(wide float64) (*Drawn, error) {
				v := figure.View{Axis: a, At: through(&run.Problem.Receiver, a), Wide: wide, High: 1.2 * wide}
				for i := range run.Dimensions {
					v.Given = append(v.Given, Given(&run.Dimensions[i]))
				}
				return &Drawn{SVG: figure.Drawn(&run.Problem.Receiver, v), Anew: true, Origin: file}, nil
			}})
		}
	}
	for _, r := range g.Kept {
		for _, p := range r.Pictures("") {
			all = append(all, g.shown(r, p))
		}
	}
	return all
}

// shown is a picture of a result.
func (g *Gathered) shown(r *Result, file string) Shown {
	base := strings.TrimSuffix(path.Base(file), ".svg")
	s := Shown{Name: r.Name() + "/" + base, Of: r.Kind + " " + title(r).Text, Result: r.Name(), file: r.Origin(file)}
	s.draw = func(float64) (*Drawn, error) {
		raw, err := r.picture(file)
		return &Drawn{SVG: raw, Origin: r.Origin(file)}, err
	}
	if r.Kind != "run" {
		return s
	}
	moment, isSection := strings.CutPrefix(base, "section-")
	var anew func(run *heat.Result, wide float64) ([]byte, error)
	switch {
	case base == "history":
		anew = func(run *heat.Result, wide float64) ([]byte, error) {
			return figure.HistoryFor(run, title(r).Text, wide), nil
		}
	case base == "ledger":
		anew = func(run *heat.Result, wide float64) ([]byte, error) {
			return figure.LedgerFor(run, wide, g.colours(r, run)), nil
		}
	case isSection:
		s.Moves = true
		anew = func(run *heat.Result, wide float64) ([]byte, error) { return g.section(r, run, moment, wide) }
	default:
		return s
	}
	s.Anew = true
	kept := s.draw
	s.draw = func(wide float64) (*Drawn, error) {
		if isSection && r.Stale() { // its shapes are drawn from the files
			d, err := kept(wide)
			d.Why = "its results are older than " + strings.Join(r.Changed, ", ")
			return d, err
		}
		run, err := g.Computed(r)
		if err != nil {
			d, other := kept(wide)
			d.Why = err.Error()
			return d, other
		}
		raw, err := anew(run, wide)
		return &Drawn{SVG: raw, Anew: true, Origin: r.Origin(file)}, err
	}
	return s
}

// Computed reads a run back from its results, as far as pictures need it: its history, its books, what was switched, and how it ended;
// fields and water are read by Field.
func (g *Gathered) Computed(r *Result) (*heat.Result, error) {
	table, err := fs.ReadFile(g.Root, r.Origin("history.csv"))
	if err != nil {
		return nil, err
	}
	h, err := account.ReadHistory(bytes.NewReader(table))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", r.Origin("history.csv"), err)
	}
	books, err := fs.ReadFile(g.Root, r.Origin("ledger.json"))
	if err != nil {
		return nil, err
	}
	run := &heat.Result{History: *h}
	if run.Ledger, err = account.ReadLedger(books); err != nil {
		return nil, fmt.Errorf("%s: %w", r.Origin("ledger.json"), err)
	}
	t := r.tree(r.Main)
	run.Ended, _ = t.float("/ended_s")
	run.Residual, _ = t.float("/ledger_residual")
	if stopped, ok := t.sentence("/stopped"); ok {
		run.Stopped = stopped.Text
	}
	for i := range t.count("/events") {
		at, _ := t.float(fmt.Sprintf("/events/%d/at_s", i))
		what, _ := t.sentence(fmt.Sprintf("/events/%d/what", i))
		run.Events = append(run.Events, heat.Mark{At: at, What: what.Text})
	}
	return run, nil
}

// Moments are the times, in s and rising, at which a run keeps its field, as its files' names have them.
func (r *Result) Moments() (all []string) {
	for _, f := range r.Files {
		if name, ok := strings.CutPrefix(f, "fields/field-"); ok {
			all = append(all, strings.TrimSuffix(name, ".vtr"))
		}
	}
	slices.SortFunc(all, func(a, b string) int { return cmp.Compare(seconds(a), seconds(b)) })
	return all
}

// seconds is a time as files' names have it.
func seconds(name string) float64 {
	v, _ := strconv.ParseFloat(name, 64) // the program wrote it
	return v
}

// Field reads the field of a moment into a run that was read back, with the cells that it lies over and the water of that time.
func (g *Gathered) Field(r *Result, run *heat.Result, moment string) (heat.Field, error) {
	name := r.Origin("fields/field-" + moment + ".vtr")
	raw, err := fs.ReadFile(g.Root, name)
	if err != nil {
		return heat.Field{}, err
	}
	grid, part, f, err := account.ReadField(bytes.NewReader(raw))
	if err != nil {
		return f, fmt.Errorf("%s: %w", name, err)
	}
	if before := run.Grid; before != nil && before.Cells() != grid.Cells() {
		return f, fmt.Errorf("%s: it has %d cells, the field before it %d", name, grid.Cells(), before.Cells())
	}
	if loaded := g.Run(r.File); loaded != nil && int(slices.Max(part)) >= len(loaded.Problem.Receiver.Parts) {
		return f, fmt.Errorf("%s: it has a part %d, which the receiver of %s has not", name, slices.Max(part), r.File)
	}
	run.Grid, run.Part = grid, part
	if run.Profiles == nil {
		if raw, err := fs.ReadFile(g.Root, r.Origin("circuits.csv")); err == nil {
			if run.Profiles, err = account.ReadWater(bytes.NewReader(raw)); err != nil {
				return f, fmt.Errorf("%s: %w", r.Origin("circuits.csv"), err)
			}
		}
	}
	return f, nil
}

// colours are the temperatures over which a run's pictures are coloured.
func (g *Gathered) colours(r *Result, run *heat.Result) figure.Range {
	if loaded := g.Run(r.File); loaded != nil {
		return account.ColoursOf(loaded.Temperatures, &loaded.Problem, run)
	}
	low, top := figure.Reach(run)
	return figure.Range{Low: low, Top: top}
}

// section draws the receiver cut open at a moment, for a width.
func (g *Gathered) section(r *Result, run *heat.Result, moment string, wide float64) ([]byte, error) {
	loaded := g.Run(r.File)
	if loaded == nil {
		return nil, fmt.Errorf("%s cannot be read", r.File)
	}
	var f heat.Field
	for _, m := range r.Moments() { // of all, since one colour is one temperature in all pictures of a run
		one, err := g.Field(r, run, m)
		if err != nil {
			return nil, err
		}
		if run.Fields = append(run.Fields, one); m == moment {
			f = one
		}
	}
	rec := &loaded.Problem.Receiver
	v := g.cut(r, run, loaded, wide)
	v.Head = title(r).Text + " after " + figure.Span(f.Time)
	return figure.SectionOf(run, rec, f, v), nil
}

// cut is a view of a run's section, laid out for a width.
func (g *Gathered) cut(r *Result, run *heat.Result, loaded *bench.Run, wide float64) figure.View {
	v := figure.View{Axis: block.Width, At: through(&loaded.Problem.Receiver, block.Width), Wide: wide, High: 1.2 * wide, Colours: g.colours(r, run)}
	for i := range loaded.Dimensions {
		v.Given = append(v.Given, Given(&loaded.Dimensions[i]))
	}
	return v
}

// Moving draws a run's section at all its fields, laid out for a width. Dimensions are left out: what moves is looked at, not measured.
func (g *Gathered) Moving(r *Result, run *heat.Result, wide float64) ([][]byte, error) {
	loaded := g.Run(r.File)
	if loaded == nil {
		return nil, fmt.Errorf("%s cannot be read", r.File)
	}
	v := g.cut(r, run, loaded, wide)
	v.Given, v.High = []figure.Given{}, 0.8*wide
	return figure.Moving(run, &loaded.Problem.Receiver, v, title(r).Text), nil
}

// Numbered adds the figures of a document to the pictures, by their numbers: "report/3".
func Numbered(of string, d *paper.Document, gallery []Shown) (all []Shown, err error) {
	n, err := paper.Number(d)
	if err != nil {
		return nil, err
	}
	for i := range n.Pieces {
		f, ok := n.Pieces[i].Block.(paper.Figure)
		if !ok {
			continue
		}
		one := Shown{Name: of + "/" + n.Pieces[i].Label.Number, Of: paper.Words(f.Says)}
		one.draw = func(float64) (*Drawn, error) { return &Drawn{SVG: f.SVG, Origin: f.Origin}, nil }
		for _, s := range gallery { // drawn anew as it is by itself
			if s.file != "" && s.file == f.Origin {
				one.draw, one.Anew, one.Moves, one.Result = s.draw, s.Anew, s.Moves, s.Result
			}
		}
		all = append(all, one)
	}
	return all, nil
}
