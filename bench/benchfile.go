package bench

import (
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"sync"
	"time"
)

// leastColours is the least range over which colours are drawn, K.
const leastColours = 1.0

// loadBench reads a bench file.
func (r *reader) loadBench(name string) *Bench {
	f := r.open(name)
	if f == nil {
		return nil
	}
	r.benchRead = true
	if f.kind != "bench" {
		r.report(Problem{
			File: f.name, Line: f.root.Line, Column: f.root.Column, Field: "kind", Typed: f.kind,
			Message: fmt.Sprintf("the file is of kind %q, not a bench", f.kind), Allowed: "bench", Fix: "describe the bench in a file called " + BenchFile,
		})
		return nil
	}
	v := r.readFile(f, benchForm.laid(), "bench.")
	b := &Bench{Name: v.get("name").word(""), Question: v.get("question").word("")}
	texts := func(key string) (out []string) {
		for _, t := range v.get(key).items() {
			if _, err := fs.Stat(r.fsys, path.Join(path.Dir(name), t.text)); err != nil && !r.excerpt {
				fix := "check the name; it is relative to this file"
				if near := r.nearestFile(path.Join(path.Dir(name), t.text)); near != "" {
					fix = fmt.Sprintf("did you mean %q?", near)
				}
				r.wrong(t, "there is no such file in the bench", "a file of the bench", fix)
				continue
			}
			out = append(out, t.text)
		}
		return out
	}
	if pair := v.get("temperatures").items(); len(pair) == 2 {
		b.Temperatures = [2]float64{pair[0].num, pair[1].num}
		if pair[0].num+leastColours > pair[1].num {
			r.wrong(pair[1], "not far enough above the first temperature", "two temperatures that rise by 1 K or more", "mend one of the two")
		}
	}
	r.loadOwners(v, b)
	b.Runs, b.Materials, b.Files = texts("runs"), texts("materials"), texts("files")
	if len(b.Files) == 0 {
		b.Files = append(append(b.Files, b.Runs...), b.Materials...)
	}
	return b
}

// loadBenchMaterials takes in the materials that bench.yaml names, where there is one.
func (r *reader) loadBenchMaterials() {
	if r.benchRead {
		return
	}
	r.benchRead = true
	if _, err := fs.Stat(r.fsys, BenchFile); err != nil {
		return
	}
	if b := r.loadBench(BenchFile); b != nil {
		r.temperatures = b.Temperatures
		for _, m := range b.Materials {
			r.loadMaterialFile(path.Clean(m))
		}
	}
}

// loadMaterialFile takes in a file of kind material.
func (r *reader) loadMaterialFile(name string) {
	if r.loaded[name] {
		return
	}
	r.loaded[name] = true
	f := r.open(name)
	if f == nil {
		return
	}
	if f.kind != "material" {
		r.report(Problem{
			File: f.name, Line: f.root.Line, Column: f.root.Column, Field: "kind", Typed: f.kind,
			Message: fmt.Sprintf("the file is of kind %q, not material", f.kind), Allowed: "material", Fix: "name a file of kind material",
		})
		return
	}
	if v := r.readFile(f, materialForm.laid(), name+":"); v != nil {
		r.add(r.library, v)
		r.checkLibrary(r.library)
	}
}

// How identifiers are written: of ORCID the last character may be an X (ISO 27729); of a licence SPDX has letters, digits, points,
// dashes and a plus, and an address has no spaces.
var (
	orcid   = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^(\d{4}-){3}\d{3}[\dX]$`) })
	licence = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^([A-Za-z0-9.+-]+|https?://\S+)$`) })
)

// loadOwners reads whose the bench is.
func (r *reader) loadOwners(v *value, b *Bench) {
	b.Licence, b.Date = v.get("licence").word(""), v.get("date").word("")
	if b.Licence != "" && !licence().MatchString(b.Licence) {
		r.wrong(v.get("licence"), "neither an identifier of SPDX nor an address", "letters, digits, points, dashes and a plus; or https://…", "write it as CC-BY-4.0, or give the address of its text")
	}
	if b.Date != "" {
		if _, err := time.Parse(time.DateOnly, b.Date); err != nil {
			r.wrong(v.get("date"), "not a date", "a date as year-month-day", "write it as 2026-11-28")
		}
	}
	for _, a := range v.get("authors").items() {
		one := Author{Name: a.get("name").word(""), Given: a.get("given").word(""), ORCID: a.get("orcid").word(""), Affiliation: a.get("affiliation").word("")}
		if one.ORCID != "" && !orcid().MatchString(one.ORCID) {
			r.wrong(a.get("orcid"), "not an ORCID", "four groups of four digits, the last of which may be X", "write it as 0000-0002-1825-0097")
		}
		b.Authors = append(b.Authors, one)
	}
}
