package web

import (
	"context"
	"errors"
	"io/fs"
	"path"
	"slices"
	"sync"
	"time"

	"emberbank/bench"
	"emberbank/binder"
	"emberbank/dossier"
	"emberbank/shelf"

	"github.com/danielgtaylor/huma/v2"
)

// handed is what is known of the dossier beside what stands on the disk.
type handed struct {
	mu        sync.Mutex
	since     *sinceBody
	composing sync.Mutex // one at a time: it takes all that it can get
}

// handedAPI tells what is handed over, and what of it is old, missing or wrong; it is renewed as a job.
func (d *Desk) handedAPI(a huma.API) {
	huma.Get(a, "/api/dossier", d.getDossier, named("dossier", "The dossier as it stands, and the results that are missing or older than what they were computed from"))
	huma.Get(a, "/api/dossier/ahead", d.getAhead, named("dossier-ahead", "What the dossier would say otherwise if it were composed now, and what is wrong in the author's words; nothing is written"))
	huma.Post(a, "/api/dossier", d.postDossier, named("compose-dossier", "Compose the dossier anew, after what is due if that is wanted; the job is named dossier"))
	huma.Post(a, "/api/dossier/renew", d.postRenew, named("renew-result", "Compute a result that is due again, by its command, as a job under the name that it is listed with"))
	huma.Post(a, "/api/dossier/words", d.postWords, named("begin-words", "Write a first dossier.yaml for the author's words, where there is none"))
}

// mostDiffer bounds the differences that are told.
const mostDiffer = 300

type dossierBody struct {
	Folder   string          `json:"folder"`
	At       *time.Time      `json:"at,omitempty" doc:"when it was written; none: there is no dossier"`
	Version  string          `json:"version,omitempty" doc:"of the program that composed it"`
	Papers   []paperOf       `json:"papers" doc:"what a dossier has"`
	Beside   []resultFile    `json:"beside" doc:"other files of its folder"`
	Changed  []string        `json:"changed" doc:"files that it was made from and that are no longer as they were, or gone"`
	Damaged  []string        `json:"damaged" doc:"files of its own that are no longer as they were written, or gone"`
	New      []string        `json:"new" doc:"results that came after it"`
	Due      []dueOf         `json:"due" doc:"results that are missing, old or stopped, in the order in which they are to be renewed"`
	Words    string          `json:"words" doc:"the file with the author's words"`
	Worded   bool            `json:"worded" doc:"there is such a file"`
	Problems []bench.Problem `json:"problems" doc:"of that file by itself"`
	Since    *sinceBody      `json:"since,omitempty" doc:"what was otherwise in the dossier before, where it was renewed while the program runs"`
}

// paperOf is a document of a dossier.
type paperOf struct {
	Name string      `json:"name"`
	Is   string      `json:"is"`
	For  string      `json:"for" doc:"who reads it"`
	HTML *resultFile `json:"html,omitempty" doc:"none: it does not stand in the folder"`
	PDF  *resultFile `json:"pdf,omitempty"`
}

// dueOf is a result that is not as it should be.
type dueOf struct {
	Name    string   `json:"name" doc:"by which it is renewed, and its job called"`
	Kind    string   `json:"kind"`
	Title   string   `json:"title" doc:"of the result, else of its file"`
	Missing bool     `json:"missing"`
	Stopped bool     `json:"stopped"`
	Changed []string `json:"changed" doc:"files that it was computed from and that are no longer as they were"`
	Renew   string   `json:"renew" doc:"the command, to be given in the bench's folder"`
	Here    bool     `json:"here" doc:"it can be renewed from the page"`
}

type sinceBody struct {
	At     time.Time         `json:"at"`
	Files  []dossier.Changed `json:"files" doc:"by their hashes"`
	Differ []dossier.Changed `json:"differ" doc:"the first of them"`
	Count  int               `json:"count" doc:"of all differences"`
}

// differs keeps in what a dossier differs from the one that it has replaced. Where nothing had changed, nothing was replaced.
func (h *handed) differs(a binder.Apart) {
	if len(a.Inputs)+len(a.Says) == 0 {
		return
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.since = &sinceBody{time.Now(), a.Inputs, a.Says[:min(len(a.Says), mostDiffer)], len(a.Says)}
}

// gathered gathers the bench's results; where dossier.yaml holds mistakes, all of them, and the mistakes.
func (d *Desk) gathered(kept *binder.Kept) (*dossier.Gathered, []shelf.Kept, bench.Problems, error) {
	o := dossier.Options{Version: d.version}
	if kept != nil {
		o.Verified = kept.Checked.Rows
	}
	g, err := dossier.Gather(d.root.FS(), o)
	var problems bench.Problems
	switch {
	case errors.As(err, &problems):
		all, err := shelf.Of(d.root.FS())
		return nil, all, problems, err
	case err != nil:
		return nil, nil, nil, err
	}
	var all []shelf.Kept
	for _, r := range g.Kept {
		all = append(all, r.Kept)
	}
	return g, append(all, g.Missing...), nil, nil
}

func (d *Desk) getDossier(context.Context, *struct{}) (*body[dossierBody], error) {
	kept := binder.Read(d.root.FS(), binder.Folder)
	_, all, problems, err := d.gathered(kept)
	if err != nil {
		return nil, refused(err)
	}
	out := dossierBody{
		Folder: binder.Folder, Papers: []paperOf{}, Beside: []resultFile{}, Changed: []string{}, Damaged: []string{}, New: []string{}, Due: []dueOf{},
		Words: bench.DossierFile, Worded: isThere(d.root.FS(), bench.DossierFile), Problems: append([]bench.Problem{}, problems...),
	}
	for _, k := range shelf.InTurn(slices.DeleteFunc(slices.Clone(all), func(k shelf.Kept) bool { return !k.Due() })) {
		out.Due = append(out.Due, due(&k))
	}
	d.files(&out, kept)
	if kept != nil {
		d.standsAs(&out, kept, all)
	}
	d.handed.mu.Lock()
	defer d.handed.mu.Unlock()
	out.Since = d.handed.since
	return &body[dossierBody]{out}, nil
}

// files lists what the dossier's folder holds.
func (d *Desk) files(out *dossierBody, kept *binder.Kept) {
	if kept != nil {
		out.Beside = d.listed(binder.Folder, kept.Manifest, mayList)
	}
	taken := func(name string) *resultFile {
		i := slices.IndexFunc(out.Beside, func(f resultFile) bool { return f.Name == name })
		if i < 0 {
			return nil
		}
		f := out.Beside[i]
		out.Beside = slices.Delete(out.Beside, i, i+1)
		return &f
	}
	for _, p := range binder.Papers() {
		out.Papers = append(out.Papers, paperOf{p.Name, p.Is, p.For, taken(p.HTML()), taken(p.PDF())})
	}
}

// standsAs says how the dossier of the disk stands to what it was made from.
func (d *Desk) standsAs(out *dossierBody, kept *binder.Kept, all []shelf.Kept) {
	if st, err := fs.Stat(d.root.FS(), path.Join(binder.Folder, shelf.ManifestName)); err == nil {
		at := st.ModTime()
		out.At = &at
	}
	out.Version = kept.Manifest.Version
	out.Changed = append(out.Changed, d.changed(kept.Manifest.Inputs)...)
	out.Damaged = append(out.Damaged, kept.Damaged(d.sumOf)...)
	for _, k := range all {
		st, err := fs.Stat(d.root.FS(), path.Join(k.Folder, shelf.ManifestName))
		read := slices.ContainsFunc(kept.Manifest.Inputs, func(in shelf.Entry) bool { return path.Dir(in.Name) == k.Folder })
		if k.Folder != "" && err == nil && !read && out.At != nil && st.ModTime().After(*out.At) {
			out.New = append(out.New, k.Name())
		}
	}
}

// due tells of a result that is not as it should be.
func due(k *shelf.Kept) dueOf {
	out := dueOf{Name: dueName(k), Kind: k.Kind, Title: k.Title, Missing: k.Folder == "", Stopped: k.Stopped, Changed: append([]string{}, k.Changed...), Renew: k.Renew, Here: renewableHere(k)}
	if out.Title == "" {
		out.Title = k.File
	}
	return out
}

type aheadBody struct {
	Problems []bench.Problem   `json:"problems" doc:"of the author's words, and of files of runs without which the documents lack what hangs on them"`
	Differ   []dossier.Changed `json:"differ" doc:"what the dossier that stands says, and what one composed now would say; the first of them"`
	Count    int               `json:"count" doc:"of all differences"`
}

func (d *Desk) getAhead(context.Context, *struct{}) (*body[aheadBody], error) {
	d.handed.composing.Lock()
	defer d.handed.composing.Unlock()
	out := aheadBody{Problems: []bench.Problem{}, Differ: []dossier.Changed{}}
	kept := binder.Read(d.root.FS(), binder.Folder)
	g, _, problems, err := d.gathered(kept)
	if err != nil {
		return nil, refused(err)
	}
	out.Problems = append(out.Problems, problems...)
	if g == nil {
		return &body[aheadBody]{out}, nil
	}
	all, err := binder.Compose(g, nil)
	out.Problems = append(out.Problems, g.Unread()...)
	switch {
	case errors.As(err, &problems):
		out.Problems = append(out.Problems, problems...)
	case err != nil:
		return nil, huma.Error422UnprocessableEntity("composing the dossier: " + err.Error())
	case kept != nil:
		differ := dossier.Differences(kept.Says, binder.Says(all))
		out.Differ, out.Count = append(out.Differ, differ[:min(len(differ), mostDiffer)]...), len(differ)
	}
	return &body[aheadBody]{out}, nil
}

// misplaced are the mistakes in the places for numbers of dossier.yaml, which only the results tell.
func (d *Desk) misplaced() (problems bench.Problems) {
	d.handed.composing.Lock()
	defer d.handed.composing.Unlock()
	g, _, problems, err := d.gathered(nil)
	if g == nil || err != nil {
		return problems
	}
	_, err = binder.Compose(g, []string{"report"})
	errors.As(err, &problems)
	return problems
}

type wordsBody struct {
	Name string `json:"name" doc:"of the file"`
}

func (d *Desk) postWords(context.Context, *struct{}) (*body[wordsBody], error) {
	switch err := d.writeNew(bench.DossierFile, bench.FirstDossier()); {
	case errors.Is(err, fs.ErrExist):
		return nil, huma.Error409Conflict("there is a " + bench.DossierFile + " already")
	case err != nil:
		return nil, refused(err)
	}
	return &body[wordsBody]{wordsBody{bench.DossierFile}}, nil
}
