package web

import (
	"context"
	"strings"

	"emberbank/bench"

	"github.com/danielgtaylor/huma/v2"
)

// fieldsAPI is the part of the interface through which single values of the files are read and changed.
func (d *Desk) fieldsAPI(a huma.API) {
	huma.Get(a, "/api/fields", d.getFields, named("fields", "Every place of a file: what it states, and what it could state besides"))
	huma.Get(a, "/api/run/fields", d.getRunFields, named("run-fields", "The places of a run file and of the files that hold its receiver and its duty"))
	huma.Put(a, "/api/field", d.putField, named("change-field", "Change a file at one place; nothing is written where the new value itself is wrong"))
}

type fieldsBody struct {
	bench.FileFields
	Mark string `json:"mark" doc:"of the file's text"`
}

func (d *Desk) getFields(_ context.Context, q *FileQuery) (*body[fieldsBody], error) {
	out, err := d.fieldsOf(q.Name)
	if err != nil {
		return nil, err
	}
	return &body[fieldsBody]{*out}, nil
}

// fieldsOf reads a file once, so that its places and its mark go together.
func (d *Desk) fieldsOf(name string) (*fieldsBody, error) {
	t, err := d.read(name)
	if err != nil {
		return nil, refused(err)
	}
	f, problems := bench.Fields(bench.Laid(d.root.FS(), name, t.content), name)
	if f == nil {
		return nil, huma.Error422UnprocessableEntity(problems.Error())
	}
	return &fieldsBody{*f, t.mark}, nil
}

type runFieldsBody struct {
	Files []fieldsBody `json:"files" doc:"the run first, then its receiver and its duty where they are files of their own"`
}

func (d *Desk) getRunFields(_ context.Context, q *FileQuery) (*body[runFieldsBody], error) {
	run, err := d.fieldsOf(q.Name)
	if err != nil {
		return nil, err
	}
	out := runFieldsBody{Files: []fieldsBody{*run}}
	for _, part := range run.Parts() {
		if f, err := d.fieldsOf(part); err == nil { // what is wrong with it is told by check
			out.Files = append(out.Files, *f)
		}
	}
	return &body[runFieldsBody]{out}, nil
}

type fieldPut struct {
	Body struct {
		Name   string `json:"name" maxLength:"300" doc:"of the file, relative to the bench"`
		Path   string `json:"path" maxLength:"600" doc:"of the place, as fields names it; that of a list with [+] behind it adds an entry"`
		Text   string `json:"text,omitempty" maxLength:"20000" doc:"a scalar, or in brackets a list or mapping"`
		Remove bool   `json:"remove,omitempty" doc:"take the place out of its list or mapping"`
		Mark   string `json:"mark" doc:"of the text that was read"`
	}
}

type fieldDone struct {
	Name     string          `json:"name"`
	Written  bool            `json:"written" doc:"no: the new value itself is wrong, and the file is as it was"`
	Mark     string          `json:"mark" doc:"of the text as it is now"`
	Before   string          `json:"before,omitempty" doc:"the whole text as it was, where it was written over"`
	After    string          `json:"after,omitempty" doc:"the whole text as it is now"`
	Problems []bench.Problem `json:"problems" doc:"of the file and of what it refers to, with the new value; where nothing is written, those of the place"`
}

func (d *Desk) putField(_ context.Context, q *fieldPut) (*body[fieldDone], error) {
	b := &q.Body
	if !describes(b.Name) {
		return nil, refused(errName)
	}
	was, err := d.read(b.Name)
	switch {
	case err != nil:
		return nil, refused(err)
	case was.mark != b.Mark:
		return nil, refused(errChanged)
	}
	change := bench.Change{Path: b.Path, Text: b.Text, Remove: b.Remove}
	text, problems := bench.Rewrite(b.Name, was.content, change)
	if problems != nil {
		return &body[fieldDone]{fieldDone{Name: b.Name, Mark: was.mark, Problems: problems}}, nil
	}
	before := bench.Check(d.root.FS(), b.Name)
	after := bench.Check(bench.Laid(d.root.FS(), b.Name, text), b.Name)
	if wrong := wrongAt(b.Name, change, before, after); wrong != nil {
		return &body[fieldDone]{fieldDone{Name: b.Name, Mark: was.mark, Problems: wrong}}, nil
	}
	now, err := d.write(b.Name, b.Mark, text)
	if err != nil {
		return nil, refused(err)
	}
	return &body[fieldDone]{fieldDone{b.Name, true, now.mark, string(was.content), string(text), append([]bench.Problem{}, after...)}}, nil
}

// wrongAt returns the mistakes that a change has made at its own place. One that it makes elsewhere, as where a block has become
// too small for its passes, does not keep it from being written: the next change may mend it.
func wrongAt(name string, c bench.Change, before, after bench.Problems) (wrong []bench.Problem) {
	known := map[string]bool{}
	for _, p := range before {
		known[p.Field+"\n"+p.Message] = true
	}
	place := strings.TrimSuffix(c.Path, "[+]")
	for _, p := range after {
		rest, under := strings.CutPrefix(p.Field, place)
		under = under && (rest == "" || rest[0] == '.' || rest[0] == '[') || c.Remove && strings.HasPrefix(place, p.Field)
		if !p.Warning && p.File == name && under && !known[p.Field+"\n"+p.Message] {
			wrong = append(wrong, p)
		}
	}
	return wrong
}
