package dossier

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"path"
	"slices"
	"strconv"

	"emberbank/account"
	"emberbank/hazard"
	"emberbank/paper"
)

// trials says what was measured, how well, and what it says of heat.
func (w *writer) trials(c *paper.Chapter) {
	for _, r := range w.g.Of("trial") {
		s := paper.Chapter{Key: w.key("trial", r.Name()), Title: title(r).Text}
		s.Blocks = w.doubts(r)
		length, _ := r.Number("/length_s")
		interval, _ := r.Number("/interval_s")
		s.Blocks = append(s.Blocks, paragraph("A record of ", length, ", with a row each ", interval, "."))
		s.Blocks = append(s.Blocks, w.channels(r)...)
		s.Blocks = append(s.Blocks, w.figure(r, "history.svg", w.key(r.Name(), "measured"), "What was measured in ", title(r), ", with its phases.")...)
		s.Blocks = append(s.Blocks, w.balance(r, s.Key)...)
		s.Blocks = append(s.Blocks, w.figure(r, "balance.svg", w.key(r.Name(), "balance"), "The heats of ", title(r), " phase by phase, with "+confidence+".")...)
		s.Blocks = append(s.Blocks, w.budgets(r)...)
		s.Blocks = append(s.Blocks, w.figure(r, "pictures/map.svg", w.key(r.Name(), "map"), "Heat flow to the water over the block's temperature, ", title(r), ".")...)
		s.Blocks = append(s.Blocks, sentences(r, "/notes")...)
		s.Blocks = append(s.Blocks, sentences(r, "/warnings")...)
		c.Chapters = append(c.Chapters, s)
	}
}

// channels are the columns of a record with how well they are known. A trial without uncertainty is told.
func (w *writer) channels(r *Result) (blocks []paper.Block) {
	t := newTable(w.key(r.Name(), "channels"), r.Origin(r.Main), says("Channels"), words("channel"), words("of"), words("noise"), words("systematic"), numbers("missing", ""))
	unsure := 0
	for i := range r.Count("/columns") {
		at := fmt.Sprintf("/columns/%d/", i)
		name, _ := r.Sentence(at + "name")
		role, _ := r.Sentence(at + "role")
		unit, _ := r.Sentence(at + "unit")
		missing, _ := r.Number(at + "missing")
		noise, hasNoise := r.Number(at + "noise")
		systematic, hasSystematic := r.Number(at + "systematic")
		if !r.Is(at+"noise_given") && (!hasSystematic || systematic.Value == 0) {
			unsure++
		}
		apart := unit.Text
		if apart == "degC" {
			apart = "K"
		}
		known := func(key string, n Number, has bool) paper.Text {
			if !has || n.Value == 0 {
				return nil
			}
			return r.fine(at+key, apart)
		}
		t.row(name, role, known("noise", noise, hasNoise), known("systematic", systematic, hasSystematic), missing)
	}
	t.Notes = []paper.Text{says("Noise and systematic part are standard uncertainties, systematic at the most.")}
	blocks = t.block()
	if n := r.Count("/columns"); n > 0 && unsure == n {
		blocks = append(blocks, paragraph("This trial states no uncertainty of its sensors: its heats have none either, and nothing that rests on it can be judged. State what the sensors are under \"channels:\" in ", code(r.File), "."))
		w.asks(title(r), " states no uncertainty of its sensors. State what they are in ", code(r.File), ", then: ", code(r.Renew), ".")
	}
	return blocks
}

// heatsOf are the heats of a phase in balance.json, as they are told.
var heatsOf = []struct{ key, name string }{
	{"energy_in", "energy in"},
	{"heat_to_the_water", "to the water"},
	{"heat_stored", "stored"},
	{"heat_lost_by_difference", "lost by difference"},
	{"losses_expected", "losses expected"},
	{"closure", "closure"},
}

// balance is what a record says about heat.
func (w *writer) balance(r *Result, key string) []paper.Block {
	const list = "balance.json /phases"
	columns := []paper.Column{words("phase")}
	for _, h := range heatsOf {
		columns = append(columns, words(h.name))
	}
	t := newTable(w.key(r.Name(), "heats"), r.Origin("balance.json"), says("Heats of ", title(r), ", with "+confidence), columns...)
	var told []paper.Block
	for i := range r.Count(list) {
		at := fmt.Sprintf("%s/%d/", list, i)
		kind, _ := r.Sentence(at + "kind")
		cells := []any{kind}
		for _, h := range heatsOf {
			n, _ := r.Number(at + h.key + "/value")
			cells = append(cells, known(n))
		}
		t.row(cells...)
		if s, ok := r.Sentence(at + "sentence"); ok {
			told = append(told, paragraph(s))
		}
		if closure, ok := r.Number(at + "closure/value"); ok {
			w.concludes(key, "In the ", kind, " of ", title(r), " the balance of measured heats closes to ", closure, ".")
		}
		told = append(told, sentences(r, at+"suspicions")...)
		for k := range r.Count(at + "cautions") {
			s, _ := r.Sentence(fmt.Sprintf("%scautions/%d", at, k))
			told = append(told, paper.Caution{Word: "caution", Says: says(trimmed(s))})
		}
	}
	if slices.ContainsFunc(told, func(b paper.Block) bool { _, is := b.(paper.Caution); return is }) {
		told = append(told, paragraph(hazard.Practice))
	}
	return append(t.block(), append(told, sentences(r, "balance.json /suspicions")...)...)
}

// mostCauses is how many causes of an uncertainty are listed.
const mostCauses = 3

// leastShare is the share of an uncertainty below which a cause is left out.
const leastShare = 0.01

// budgets says where the uncertainty of each heat comes from: its largest causes.
func (w *writer) budgets(r *Result) []paper.Block {
	rows := r.rows("budgets.csv")
	t := newTable(w.key(r.Name(), "budgets"), r.Origin("budgets.csv"), says("Where the uncertainty comes from: the largest causes of each heat, and what each contributes to its standard uncertainty"),
		paper.Column{Name: "phase", Share: 0.09}, paper.Column{Name: "heat", Share: 0.19}, paper.Column{Name: "input", Share: 0.27}, paper.Column{Name: "cause", Share: 0.26},
		paper.Column{Name: "contributes", Numbers: true, Share: 0.11}, paper.Column{Name: "share", Unit: "%", Numbers: true, Share: 0.08})
	type group struct {
		head string
		rows []int
	}
	var groups []group
	for i := range rows.count("") {
		at := fmt.Sprintf("/%d/", i)
		head := ""
		for _, k := range []string{"phase", "from [s]", "result"} {
			v, _ := rows.at(at + escaped(k))
			head += fmt.Sprint(v) + "\x00"
		}
		if len(groups) == 0 || groups[len(groups)-1].head != head {
			groups = append(groups, group{head: head})
		}
		g := &groups[len(groups)-1]
		g.rows = append(g.rows, i)
	}
	share := func(i int) float64 {
		x, _ := rows.float(fmt.Sprintf("/%d/share", i))
		return math.Abs(x)
	}
	for _, g := range groups {
		slices.SortStableFunc(g.rows, func(a, b int) int { return cmp.Compare(share(b), share(a)) })
		for k, i := range g.rows[:min(mostCauses, len(g.rows))] {
			at := fmt.Sprintf("/%d/", i)
			phase, _ := rows.sentence(at + "phase")
			result, _ := rows.sentence(at + "result")
			input, _ := rows.sentence(at + "input")
			component, _ := rows.sentence(at + "component")
			if share(i) < leastShare {
				continue
			}
			contributes, _ := rows.number(at + "contribution")
			if k > 0 {
				phase.Text, result.Text = "", ""
			}
			t.row(phase, result, input, component, contributes.fine(), rows.cell(at+"share"))
		}
	}
	return t.block()
}

// rows reads a table of results as a list of objects by the headings.
func (r *Result) rows(name string) *tree {
	t, known := r.trees[name]
	if !known {
		t = readRows(r.root, path.Join(r.Folder, name))
		r.trees[name] = t
	}
	return t
}

// readRows reads a table; what cannot be read has nothing in it.
func readRows(root fs.FS, name string) *tree {
	t := &tree{name: name}
	raw, err := fs.ReadFile(root, name)
	if err != nil {
		return t
	}
	lines := csv.NewReader(bytes.NewReader(raw))
	lines.FieldsPerRecord = -1
	all, err := lines.ReadAll()
	if err != nil || len(all) == 0 {
		return t
	}
	list := []any{}
	for _, line := range all[1:] {
		o := &object{at: map[string]any{}}
		for i, cell := range line[:min(len(line), len(all[0]))] {
			var v any = account.TextOf(cell)
			if _, err := strconv.ParseFloat(cell, 64); err == nil {
				v = json.Number(cell)
			}
			o.keys = append(o.keys, all[0][i])
			o.at[all[0][i]] = v
		}
		list = append(list, o)
	}
	t.top = list
	return t
}
