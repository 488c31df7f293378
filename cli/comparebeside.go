package cli

import (
	"fmt"
	"math"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/history"
	"emberbank/shelf"
	"emberbank/study"
)

// besideOf sets two runs side by side.
func besideOf(a, b *side) *account.Beside {
	if a.name == b.name {
		a.name, b.name = fromHere(a.dir), fromHere(b.dir)
	}
	r := &account.Beside{Title: a.name + " and " + b.name + ", side by side", A: a.name, B: b.name, HistoryA: a.history, HistoryB: b.history}
	if a.variant != nil {
		r.Title = a.summary.Title + ": " + r.Title
	}
	r.Alike = -1
	besideInputs(r, a, b)
	besideResults(r, a, b)
	gaps, common := history.Gaps(a.history, b.history)
	r.Common = common
	for _, g := range gaps {
		r.Columns = append(r.Columns, account.BesideColumn{Gap: g, Of: g.Name, Half: math.NaN(), Within: math.NaN()})
	}
	r.OnlyA, r.OnlyB = history.Missing(a.history, b.history), history.Missing(b.history, a.history)
	if common.Drawn {
		r.Notes = append(r.Notes, "The two have few output times in common: between rows, straight lines are compared, which at a jump are right to a row at best.")
	}
	if len(common.Times) == 0 {
		r.Notes = append(r.Notes, "The two have no time in common: nothing is compared over time.")
	}
	r.Notes = append(r.Notes, besideCautions(a, b)...)
	return r
}

// besideInputs lists what the files of the two state otherwise, and what stands in place of it.
func besideInputs(r *account.Beside, a, b *side) {
	if a.variant != nil && b.variant != nil {
		for i := range a.variant.axes {
			if x, y := a.variant.shown[i], b.variant.shown[i]; x != y {
				r.Inputs = append(r.Inputs, account.BesideInput{Path: a.variant.axes[i], A: x, B: y})
			}
		}
		if a.variant.record.Inputs == b.variant.record.Inputs {
			r.Alike = len(a.variant.axes) - len(r.Inputs)
			return
		}
	}
	if x, y := a.varied(), b.varied(); x != y {
		r.Inputs = append(r.Inputs, account.BesideInput{Path: "set by a study", A: x, B: y})
	}
	var stated [2][]bench.Statement
	for i, s := range []*side{a, b} {
		if s.files.root == "" {
			r.Notes = append(r.Notes, "The files of "+s.name+" are not found above its results: inputs are not compared.")
			return
		}
		var problems bench.Problems
		if stated[i], problems = bench.Statements(s.files.fs(), s.files.name, bench.Options{Excerpt: s.excerpt}); problems.Failed() {
			r.Notes = append(r.Notes, fmt.Sprintf("The files of %s can no longer be read (%s): inputs are not compared.", s.name, problems[0].Message))
			return
		}
		if len(s.changed) > 0 {
			r.Notes = append(r.Notes, fmt.Sprintf("Of %s these files have changed since it was computed: %s. Inputs are shown as they are now, results as they were.", s.name, strings.Join(s.changed, ", ")))
		}
	}
	differ, alike := bench.Differences(stated[0], stated[1])
	for _, d := range differ {
		r.Inputs = append(r.Inputs, account.BesideInput(d))
	}
	r.Alike = alike
	for _, i := range a.inputs { // tables of numbers, which no path names
		k := slices.IndexFunc(b.inputs, func(o shelf.Entry) bool { return o.Name == i.Name })
		if e := path.Ext(i.Name); k >= 0 && b.inputs[k].SHA256 != i.SHA256 && e != ".yaml" && e != ".yml" {
			r.Inputs = append(r.Inputs, account.BesideInput{Path: i.Name, A: "content " + i.SHA256[:8], B: "content " + b.inputs[k].SHA256[:8]})
		}
	}
}

// besideResults sets single numbers side by side: those of which a run states its accuracy, the ledger, and the run's size.
func besideResults(r *account.Beside, a, b *side) {
	add := func(of, name string, q history.Quantity, x, y, half float64) {
		r.Results = append(r.Results, account.BesideResult{Of: of, Name: name, Quantity: q, A: x, B: y, Half: half})
	}
	flag := "compute both with --accuracy"
	if a.variant != nil {
		flag = "open both with --accuracy (emberbank run STUDY --variant N --accuracy -o DIR) and compare those"
	}
	names, halfA := a.accuracies()
	more, halfB := b.accuracies()
	for _, n := range more {
		if !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	for _, name := range names {
		q, err := quantityOf(name, a.history)
		x, y := math.NaN(), math.NaN()
		if err == nil {
			x, err = q.Value(a.asResult())
		}
		if err == nil {
			y, err = q.Value(b.asResult())
		}
		if err != nil {
			r.Notes = append(r.Notes, fmt.Sprintf("%s is stated by one of the two and cannot be read off the other: %v.", name, err))
			continue
		}
		half := math.NaN()
		if ha, in := halfA[name]; in {
			if hb, too := halfB[name]; too {
				half = math.Hypot(ha, hb)
			}
		}
		add("accuracy", name, q.Unit(a.history), x, y, half)
	}
	switch {
	case len(halfA)+len(halfB) == 0:
		r.Notes = append(r.Notes, "Neither states its accuracy, so nothing says what of the differences comes from grids and time steps: "+flag+".")
	case len(halfA) == 0 || len(halfB) == 0:
		r.Notes = append(r.Notes, "One of the two does not state its accuracy, so differences are not judged: compute it with --accuracy too.")
	}
	kind := history.Heat
	if a.ledger.Steady {
		kind = history.HeatFlow
	}
	if a.ledger.Steady != b.ledger.Steady {
		r.Notes = append(r.Notes, "One of the two is a steady state: the ledgers hold heat flows and heats, and are not compared.")
	} else {
		besideLedgers(a, b, func(name string, x, y float64) { add("ledger", name, kind, x, y, math.NaN()) })
	}
	if !a.ledger.Steady {
		add("run", "length of the run", history.Time, a.summary.Ended, b.summary.Ended, math.NaN())
	}
	if a.summary.Cells > 0 && b.summary.Cells > 0 {
		add("run", "cells", history.Fraction, a.summary.Cells, b.summary.Cells, math.NaN())
	}
}

// besideLedgers hands on the entries of both, those of the first in its order, then those that the second has alone; an entry
// that one does not have is nothing.
func besideLedgers(a, b *side, each func(name string, x, y float64)) {
	second := map[string]float64{}
	for _, e := range study.LedgerEntries(&b.ledger) {
		second[e.Name] = e.Amount
	}
	seen := map[string]bool{}
	for _, e := range study.LedgerEntries(&a.ledger) {
		seen[e.Name] = true
		if e.Amount != 0 || second[e.Name] != 0 {
			each("ledger "+e.Name, e.Amount, second[e.Name])
		}
	}
	for _, e := range study.LedgerEntries(&b.ledger) {
		if !seen[e.Name] && e.Amount != 0 {
			each("ledger "+e.Name, 0, e.Amount)
		}
	}
}

// besideCautions names dangers that one of the two shows alone.
func besideCautions(a, b *side) (notes []string) {
	kinds := func(s *side) (out []string) {
		for _, c := range s.summary.Cautions {
			text := c.Kind
			if c.Place != "" {
				text += " (" + c.Place + ")"
			}
			if !slices.Contains(out, text) {
				out = append(out, text)
			}
		}
		return out
	}
	of := [2][]string{kinds(a), kinds(b)}
	for i, s := range []*side{a, b} {
		var alone []string
		for _, k := range of[i] {
			if !slices.Contains(of[1-i], k) {
				alone = append(alone, k)
			}
		}
		if len(alone) > 0 {
			notes = append(notes, fmt.Sprintf("%s alone warns of: %s. Read its cautions with their numbers before anything is built, lit or filled; local codes and licensed practice decide.", s.name, strings.Join(alone, ", ")))
		}
		if s.summary.Stopped != "" {
			notes = append(notes, s.name+" ended early: "+s.summary.Stopped+".")
		}
	}
	return notes
}

// besideTarget is the folder for two sides where nothing else is said: results/A-and-B beside the results of the first.
func besideTarget(a, b *side) string {
	if a.variant != nil {
		return filepath.Join(filepath.Dir(a.variant.dir), bench.SafeName(fmt.Sprintf("%s-variants-%d-and-%d", filepath.Base(a.variant.dir), a.variant.number, b.variant.number)))
	}
	return filepath.Join(filepath.Dir(a.dir), bench.SafeName(filepath.Base(a.dir)+"-and-"+filepath.Base(b.dir)))
}
