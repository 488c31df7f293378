package web

import (
	"context"
	"errors"
	"io/fs"
	"path"
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/study"
	"emberbank/survey"

	"github.com/danielgtaylor/huma/v2"
)

// studiesAPI tells of the bench's studies and sets up new ones; they are computed as jobs.
func (d *Desk) studiesAPI(a huma.API) {
	huma.Get(a, "/api/studies", d.getStudies, named("studies", "The study files of the bench"))
	huma.Get(a, "/api/study", d.getStudy, named("study", "What a study varies and reads, before anything is computed"))
	huma.Post(a, "/api/study", d.postStudy, named("new-study", "Write a new study file into the bench; nothing is written where it holds mistakes or the name is taken"))
	huma.Get(a, "/api/readings", d.getReadings, named("readings", "What a study may read off a run"))
}

type studiesBody struct {
	Studies []studyOf `json:"studies"`
}

type studyOf struct {
	Name    string `json:"name" doc:"of the file"`
	Title   string `json:"title"`
	Kind    string `json:"kind" enum:"sweep,sample,search,unknown"`
	Run     string `json:"run"`
	Count   int64  `json:"count" doc:"of its variants; of a search at the most, with the present design"`
	Wrong   int    `json:"mistakes"`
	Results string `json:"results,omitempty" doc:"the folder of its results, where there are any"`
}

func (d *Desk) getStudies(context.Context, *struct{}) (*body[studiesBody], error) {
	out := studiesBody{Studies: []studyOf{}}
	for _, name := range d.descriptions() {
		if kind, ok := d.kind(name); ok && kind == "study" {
			s, _, _ := d.studyOf(name)
			out.Studies = append(out.Studies, s)
		}
	}
	return &body[studiesBody]{out}, nil
}

// studyOf reads a study; nil where it holds mistakes.
func (d *Desk) studyOf(name string) (studyOf, *bench.Study, bench.Problems) {
	s := studyOf{Name: name, Title: strings.TrimSuffix(path.Base(name), path.Ext(name)), Kind: "unknown"}
	if at := studyResult(name); isThere(d.root.FS(), at) {
		s.Results = path.Dir(at)
	}
	loaded, problems := bench.LoadStudy(d.root.FS(), name)
	for _, p := range problems {
		if !p.Warning {
			s.Wrong++
		}
	}
	if problems.Failed() {
		return s, nil, problems
	}
	head := survey.Head(loaded)
	s.Title, s.Kind, s.Run = head.Name, head.Kind, loaded.Run
	s.Count = loaded.Count()
	return s, loaded, problems
}

// studyResult is the file that says what a study gave.
func studyResult(name string) string { return path.Join(bench.Results(name), "outcome", "study.json") }

func isThere(files fs.FS, name string) bool {
	st, err := fs.Stat(files, name)
	return err == nil && st.Mode().IsRegular()
}

type studyBody struct {
	studyOf
	Columns  []account.StudyColumnJSON `json:"columns" doc:"of a variant's values: the axes, then the responses"`
	Levels   [][]float64               `json:"levels" doc:"of each axis that has some, in the unit of its column"`
	Problems []bench.Problem           `json:"problems"`
}

// mostLevels bounds the levels of an axis that are told.
const mostLevels = 1000

func (d *Desk) getStudy(_ context.Context, q *FileQuery) (*body[studyBody], error) {
	if kind, ok := d.kind(q.Name); !ok || kind != "study" {
		return nil, refused(errNoFile)
	}
	s, loaded, problems := d.studyOf(q.Name)
	out := studyBody{studyOf: s, Columns: []account.StudyColumnJSON{}, Levels: [][]float64{}, Problems: append([]bench.Problem{}, problems...)}
	if loaded != nil {
		head := survey.Head(loaded)
		out.Columns = append(out.Columns, head.Columns()...)
		for i := range loaded.Axes {
			levels := []float64{}
			if l := loaded.Axes[i].Levels; l != nil {
				for k := range min(l.Len(), mostLevels) {
					levels = append(levels, head.Axes[i].Shown(l.Value(k)))
				}
			}
			out.Levels = append(out.Levels, levels)
		}
	}
	return &body[studyBody]{out}, nil
}

type studyPost struct {
	Body struct {
		File        string        `json:"file" minLength:"1" maxLength:"120" doc:"of the new study, relative to the bench"`
		Name        string        `json:"name" minLength:"1" maxLength:"200"`
		Run         string        `json:"run" maxLength:"300"`
		Kind        string        `json:"kind,omitempty" enum:"sweep,sample,search" default:"sweep" doc:"every combination of the axes' values; draws from their ranges; or the best within them"`
		Axes        []draftAxis   `json:"axes" minItems:"1" maxItems:"6"`
		Count       int           `json:"count,omitempty" minimum:"0" maximum:"1000000" doc:"of a sample its draws, of a search its variants at the most"`
		Sensitivity bool          `json:"sensitivity,omitempty" doc:"a sample is drawn so that each input's share of the scatter follows"`
		Aims        []draftAim    `json:"aims,omitempty" maxItems:"2" doc:"of a search"`
		Responses   []draftRead   `json:"responses" minItems:"1" maxItems:"20"`
		Constraints []draftLimit  `json:"constraints,omitempty" maxItems:"20"`
		Plateaus    []draftMargin `json:"plateaus,omitempty" maxItems:"20"`
		Try         bool          `json:"try,omitempty" doc:"check it only: nothing is written"`
	}
}

type draftAxis struct {
	Name  string   `json:"name" maxLength:"120"`
	Paths []string `json:"paths" minItems:"1" maxItems:"40" doc:"of inputs of the run, as fields name them under input"`
	From  string   `json:"from,omitempty" maxLength:"60" doc:"with its unit"`
	To    string   `json:"to,omitempty" maxLength:"60"`
	Count int      `json:"count,omitempty" minimum:"2" maximum:"1000000" doc:"of values; of a sweep"`
	Ratio bool     `json:"ratio,omitempty" doc:"from value to value by an equal ratio"`
	About string   `json:"about,omitempty" maxLength:"60" doc:"of a sample, in the place of a range: a value with its ± at 95 %"`
}

type draftAim struct {
	Response string `json:"response" maxLength:"120"`
	Want     string `json:"want" enum:"most,least"`
}

type draftRead struct {
	Name string `json:"name" maxLength:"120"`
	Read string `json:"read" maxLength:"300"`
}

type draftLimit struct {
	Response string `json:"response" maxLength:"120"`
	Below    string `json:"below,omitempty" maxLength:"60"`
	Above    string `json:"above,omitempty" maxLength:"60"`
}

type draftMargin struct {
	Response string `json:"response" maxLength:"120"`
	Over     string `json:"over" maxLength:"120"`
	Margin   string `json:"margin,omitempty" maxLength:"60" doc:"a change that no longer matters"`
}

type studyMade struct {
	Written  bool            `json:"written"`
	File     string          `json:"file"`
	Text     string          `json:"text" doc:"the file as it is or would be"`
	Count    int64           `json:"count" doc:"of variants; 0 where it holds mistakes"`
	Problems []bench.Problem `json:"problems"`
}

var errTaken = errors.New("a file of that name is there already; give the study another")

func (d *Desk) postStudy(_ context.Context, q *studyPost) (*body[studyMade], error) {
	b := &q.Body
	if !mayOpen(b.File) || path.Ext(b.File) != ".yaml" {
		return nil, refused(errName)
	}
	if _, err := d.root.Lstat(b.File); !errors.Is(err, fs.ErrNotExist) {
		return nil, huma.Error409Conflict(errTaken.Error())
	}
	draft := bench.StudyDraft{Name: b.Name, Run: b.Run, Kind: b.Kind, Count: b.Count, Sensitivity: b.Sensitivity}
	for _, a := range b.Aims {
		draft.Aims = append(draft.Aims, bench.DraftAim(a))
	}
	for _, a := range b.Axes {
		draft.Axes = append(draft.Axes, bench.DraftAxis(a))
	}
	for _, r := range b.Responses {
		draft.Responses = append(draft.Responses, bench.DraftResponse(r))
	}
	for _, c := range b.Constraints {
		draft.Constraints = append(draft.Constraints, bench.DraftConstraint(c))
	}
	for _, p := range b.Plateaus {
		draft.Plateaus = append(draft.Plateaus, bench.DraftPlateau(p))
	}
	text := draft.YAML()
	loaded, problems := bench.LoadStudy(bench.Laid(d.root.FS(), b.File, text), b.File)
	out := studyMade{File: b.File, Text: string(text), Problems: append([]bench.Problem{}, problems...)}
	if !problems.Failed() {
		out.Count = loaded.Count()
		if !b.Try {
			switch err := d.writeNew(b.File, text); {
			case errors.Is(err, fs.ErrExist):
				return nil, huma.Error409Conflict(errTaken.Error())
			case err != nil:
				return nil, refused(err)
			}
			out.Written = true
		}
	}
	return &body[studyMade]{out}, nil
}

// readingOf is a number that can be read off a run.
type readingOf struct {
	Read string `json:"read" doc:"as a study's file names it"`
	What string `json:"what" enum:"column,ledger,built" doc:"a column can be read in several ways: mean of, largest, least, at a time"`
	Unit string `json:"unit"`
}

type readingsBody struct {
	Readings []readingOf `json:"readings"`
}

func (d *Desk) getReadings(_ context.Context, q *FileQuery) (*body[readingsBody], error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	out := readingsBody{Readings: []readingOf{}}
	if r.hand != nil {
		for _, c := range r.hand.h.Columns {
			out.Readings = append(out.Readings, readingOf{c.Name, "column", c.Quantity.Unit()})
		}
		if r.hand.result != nil {
			for _, e := range study.LedgerEntries(&r.hand.result.Ledger) {
				out.Readings = append(out.Readings, readingOf{"ledger " + e.Name, "ledger", "J"})
			}
		}
	}
	out.Readings = append(out.Readings, readingOf{"mass", "built", "kg"})
	return &body[readingsBody]{out}, nil
}
