package bench

import (
	"bytes"
	"io/fs"
	"path"
	"strings"
	"unicode/utf8"
)

// DossierFile is the name of the file that says what a report says.
const DossierFile = "dossier.yaml"

// Dossier is a file of kind dossier, checked.
type Dossier struct {
	Title, Subtitle, By, Language string
	Results                       []Words // names; none: all results
	TrialSheet                    Words   // the file that the trial sheet is about; "": not said
	Parts                         []DossierPart
}

// DossierPart is a part of a report with the author's words.
type DossierPart struct {
	Part                string // one of DossierParts; "": the author's alone
	Title               string // "": the part's own
	Before, After, Text Words
}

// Words are words of a file that hold places for numbers, with where they stand.
type Words struct {
	Text string // as the file means it; "": none
	File string
	Path string // in the file, such as "parts[2].before"

	line, column int
	raw          []byte // of the file
}

// At returns line and column of what stands for the n-th time, from 0, in the words; those of the words where it cannot be found, as
// where the file breaks it over lines.
func (w *Words) At(what string, n int) (line, column int) {
	lines := bytes.Split(w.raw, []byte("\n"))
	for i := max(w.line-1, 0); i < len(lines) && what != ""; i++ {
		rest, from := lines[i], 0
		for {
			k := bytes.Index(rest[from:], []byte(what))
			if k < 0 {
				break
			}
			if n == 0 {
				return i + 1, 1 + utf8.RuneCount(rest[:from+k])
			}
			n--
			from += k + len(what)
		}
	}
	return w.line, w.column
}

// Problem is a mistake at a place of the words that stands there for the n-th time.
func (w *Words) Problem(what string, n int, message, allowed, fix string) Problem {
	line, column := w.At(what, n)
	return Problem{File: w.File, Line: line, Column: column, Field: w.Path, Typed: shortened(what), Message: message, Allowed: allowed, Fix: fix}
}

// LoadDossier reads a file of kind dossier. Problems hold mistakes only.
func LoadDossier(fsys fs.FS, name string) (*Dossier, Problems) {
	r := newReader(fsys, Options{})
	d := r.loadDossier(name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return d, nil
}

func (r *reader) loadDossier(name string) *Dossier {
	f := r.openAs(name, "dossier")
	if f == nil {
		return nil
	}
	v := r.readFile(f, dossierForm.laid(), "")
	raw, _ := fs.ReadFile(r.fsys, path.Clean(name)) // it was read before
	words := func(v *value) Words {
		if v == nil {
			return Words{}
		}
		return Words{Text: v.text, File: v.file, Path: v.path, line: v.node.Line, column: v.node.Column, raw: raw}
	}
	d := &Dossier{Title: v.get("title").word(""), Subtitle: v.get("subtitle").word("Report"), By: v.get("by").word(""), Language: v.get("language").word("en")}
	for _, one := range v.get("results").items() {
		d.Results = append(d.Results, words(one))
	}
	d.TrialSheet = words(v.get("trial sheet"))
	seen := map[string]bool{}
	for _, p := range v.get("parts").items() {
		one := DossierPart{Part: p.text}
		if p.at != nil {
			one = DossierPart{Part: p.get("part").word(""), Title: p.get("title").word(""), Before: words(p.get("before")), After: words(p.get("after")), Text: words(p.get("text"))}
			r.partFits(p, &one)
		}
		if one.Part != "" && seen[one.Part] {
			r.problemAt(p, p.path+" is a part that stands there already", "each part once", "take one of the two out")
		}
		seen[one.Part] = true
		d.Parts = append(d.Parts, one)
	}
	if len(v.get("parts").items()) == 0 {
		for _, word := range DossierParts() {
			d.Parts = append(d.Parts, DossierPart{Part: word})
		}
	}
	return d
}

// partFits complains of keys that do not go together.
func (r *reader) partFits(p *value, one *DossierPart) {
	switch {
	case p.partial:
	case one.Part == "" && (one.Title == "" || one.Text.Text == ""):
		r.problemAt(p, p.path+" names no part, and is none of the author's own", "part: one of "+strings.Join(DossierParts(), ", ")+"; or title and text", "add \"part: …\", or \"title: …\" and \"text: …\"")
	case one.Part == "" && one.Before.Text+one.After.Text != "":
		r.problemAt(p, p.path+" has words before or after nothing", "of a part of the author's own: title and text", "move them to \"text: …\"")
	case one.Part != "" && one.Text.Text != "":
		r.problemAt(p, p.path+" is a part with a text of its own", "before and after, of a part that says something by itself", "call the text \"before\" or \"after\"")
	}
}

// FirstDossier is a file of kind dossier to begin with: all parts in their order, for the author to move, leave out and add to.
func FirstDossier() []byte {
	var b strings.Builder
	b.WriteString("# What the report says: its parts in their order, and your own words between them. Take out what you do not want. Words take Markdown;\n" +
		"# {RESULT: NUMBER} or {RESULT: NUMBER, UNIT} is a number of a result: {receiver: total mass} is one that every bench has.\n" +
		"#   - {part: receiver, before: \"All of it weighs {receiver: total mass}.\"}\n" +
		"#   - {title: What we would do next, text: \"Your own words.\"}\n" +
		"schema: " + Version + "\nkind: dossier\nparts:\n")
	for _, p := range DossierParts() {
		b.WriteString("  - " + p + "\n")
	}
	return []byte(b.String())
}
