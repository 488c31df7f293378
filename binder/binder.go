// Package binder binds the dossier of a bench: it has the papers composed and set, as the files in which they are handed over, and
// reads a dossier that stands in a folder, so that nothing is written where nothing has changed, and that two can be compared.
//
// It opens nothing but what it is given as an fs.FS, and writes nothing: who calls it puts the files where they belong.
//
//	g, err := dossier.Gather(root, dossier.Options{Version: "0.1.0", Verified: checked.Rows})
//	bound, err := binder.Bind(ctx, g, binder.Options{Checked: checked})
//	if !binder.Stands(root, binder.Folder, bound) {
//		// write bound.Files, with a manifest that names bound.Read
//	}
package binder

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/paper"
	"emberbank/press"
	"emberbank/shelf"
)

// Folder is where the dossier of a bench stands unless something else is said.
const Folder = bench.ResultsFolder + "/dossier"

// Names of files of a dossier beside its papers.
const (
	SaidName    = "said.json"        // what the papers say, each with its place
	CheckedName = dossier.ChecksName // the outside checks with the program that computed them, so that they are computed once
)

// Paper is a document of a dossier.
type Paper struct {
	Name string // of its files, less their endings
	Is   string // such as "the report"
	For  string // who reads it

	compose func(*dossier.Gathered) (*paper.Document, error)
}

// HTML is the name of its file that stands alone.
func (p *Paper) HTML() string { return p.Name + ".html" }

// PDF is the name of its file of pages.
func (p *Paper) PDF() string { return p.Name + ".pdf" }

// Papers are the documents that a dossier has, in their order.
func Papers() []Paper {
	return []Paper{
		{"report", "the report", "whoever decides, or goes on building", dossier.Report},
		{"safety", "the safety officer's pages", "whoever answers for safety", dossier.Officer},
		{"trial-sheet", "the trial sheet", "whoever stands at the rig", dossier.TrialSheet},
		{"slides", "the slides", "whoever hears a talk about it", dossier.Slides},
	}
}

// Names are those of all papers.
func Names() (names []string) {
	for _, p := range Papers() {
		names = append(names, p.Name)
	}
	return names
}

// Checked are the outside checks with the program that computed them, as the file CheckedName has them.
type Checked struct {
	Program string          `json:"program"`
	Rows    json.RawMessage `json:"rows"` // as `verify --json` prints them
}

// File is one that a dossier holds.
type File struct {
	Name string
	Raw  []byte
}

// Options say how a dossier is bound.
type Options struct {
	Only    []string // names of papers; none: all
	Faces   [][]byte // further TrueType faces for pages, as press.Options has them
	Checked Checked
	Step    func(what string) // told what is being done; may be nil
}

// Bound is a dossier as it is to be handed over.
type Bound struct {
	Version string        // of the program
	Files   []File        // in the order in which they are told
	Read    []shelf.Entry // what it was made from
	Unset   []Unset       // papers with letters that pages could not have
}

// Unset are letters of a paper that no face holds: a frame with the letter's number stands in the PDF, and the HTML file has them.
type Unset struct {
	File    string // the PDF
	Letters []rune // each once, in their order
}

// Composed is a paper as it is before it is set.
type Composed struct {
	Paper
	Document *paper.Document
}

// Compose has papers composed, all where only names none. The error is of bench.Problems where the author's words ask for what there
// is not.
func Compose(g *dossier.Gathered, only []string) (all []Composed, err error) {
	for _, p := range Papers() {
		if len(only) > 0 && !slices.Contains(only, p.Name) {
			continue
		}
		d, err := p.compose(g)
		if err != nil {
			return nil, err
		}
		all = append(all, Composed{p, d})
	}
	return all, nil
}

// Says lists what papers say, each with its place.
func Says(all []Composed) []dossier.Said {
	said := []dossier.Said{}
	for i := range all {
		said = append(said, dossier.SaidBy(all[i].Document)...)
	}
	return said
}

// Bind has the papers composed and set, and lists beside them what they were made of that stands nowhere else. It ends with ctx,
// between two of its steps.
func Bind(ctx context.Context, g *dossier.Gathered, o Options) (*Bound, error) {
	step := func(what string) error {
		if o.Step != nil {
			o.Step(what)
		}
		return ctx.Err()
	}
	if err := step("composing"); err != nil {
		return nil, err
	}
	g.CheckedBy(o.Checked.Program)
	all, err := Compose(g, o.Only)
	if err != nil {
		return nil, err
	}
	b := &Bound{Version: g.Version}
	for i := range all {
		if err := step("setting " + all[i].Is); err != nil {
			return nil, err
		}
		if err := b.set(&all[i], o.Faces); err != nil {
			return nil, err
		}
	}
	if err := b.document(SaidName, Says(all)); err != nil {
		return nil, err
	}
	facts := g.Facts()
	for _, name := range slices.Sorted(maps.Keys(facts)) {
		b.Files = append(b.Files, File{name, facts[name]})
	}
	b.Read = g.Read()
	return b, nil
}

// set adds the files of a paper.
func (b *Bound) set(c *Composed, faces [][]byte) error {
	var page, sheets bytes.Buffer
	if err := paper.Set(&page, c.Document); err != nil {
		return fmt.Errorf("setting %s: %w", c.Is, err)
	}
	missing, err := press.Set(&sheets, c.Document, press.Options{Faces: faces})
	if err != nil {
		return fmt.Errorf("setting %s on pages: %w", c.Is, err)
	}
	if len(missing) > 0 {
		b.Unset = append(b.Unset, Unset{c.PDF(), missing})
	}
	b.Files = append(b.Files, File{c.HTML(), page.Bytes()}, File{c.PDF(), sheets.Bytes()})
	return nil
}

// document adds a file of JSON.
func (b *Bound) document(name string, v any) error {
	raw, err := json.MarshalIndent(v, "", " ")
	b.Files = append(b.Files, File{name, append(raw, '\n')})
	return err
}
