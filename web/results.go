package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"emberbank/bench"
	"emberbank/shelf"

	"github.com/danielgtaylor/huma/v2"
)

// largestResult bounds a file of results that is served: a history of a long run is some tens of megabytes.
const largestResult = 256 << 20

// resultTypes are the kinds of files of results that the page reads or hands on.
var resultTypes = map[string]string{
	".json":    "application/json",
	".svg":     "image/svg+xml",
	".csv":     "text/csv; charset=utf-8",
	".txt":     "text/plain; charset=utf-8",
	".vtr":     "application/octet-stream",
	".parquet": "application/octet-stream",
	".xlsx":    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}

// resultPolicy shuts in what a result might hold, were it opened by itself: a picture sets its own look and does no more.
const resultPolicy = "default-src 'none'; style-src 'unsafe-inline'; sandbox; frame-ancestors 'none'"

var (
	errResult      = errors.New("only results of the bench can be opened here: " + strings.Join(resultEndings(), ", ") + " in a folder named " + bench.ResultsFolder)
	errLargeResult = fmt.Errorf("the file is larger than %d MB: open it from the bench's folder", largestResult>>20)
)

func resultEndings() []string {
	var out []string
	for e := range resultTypes {
		out = append(out, e)
	}
	slices.Sort(out)
	return out
}

// mayShow tells whether a name is one of a file of results. The root keeps it inside the bench whatever it says.
func mayShow(name string) bool {
	return isPlain(name) && slices.Contains(strings.Split(path.Dir(name), "/"), bench.ResultsFolder) && resultTypes[path.Ext(name)] != ""
}

// isPlain tells whether a name leads to the same place on every machine, by nothing hidden.
func isPlain(name string) bool {
	hidden := func(part string) bool { return strings.HasPrefix(part, ".") }
	return fs.ValidPath(name) && !strings.ContainsAny(name, "\\:\x00") && !slices.ContainsFunc(strings.Split(name, "/"), hidden)
}

// resultsAPI tells which results a file has, and serves them; nobody writes results here but the commands that jobs run.
func (d *Desk) resultsAPI(a huma.API) {
	huma.Get(a, "/api/results", d.getResults, named("results", "The results that a file has, newest first, and which of the files behind them have changed since"))
	huma.Get(a, "/api/result", d.getResult, named("result", "A file of results: a document, a picture or a table"))
}

type resultQuery struct {
	Path string `query:"path" required:"true" maxLength:"600" doc:"of the file in the bench, with forward slashes"`
}

func (d *Desk) getResult(_ context.Context, q *resultQuery) (*huma.StreamResponse, error) {
	f, st, err := d.openResult(q.Path)
	if err != nil {
		return nil, err
	}
	return &huma.StreamResponse{Body: func(c huma.Context) {
		defer f.Close()
		c.SetHeader("Content-Type", resultTypes[path.Ext(q.Path)])
		c.SetHeader("Content-Length", fmt.Sprint(st.Size()))
		c.SetHeader("Content-Security-Policy", resultPolicy)
		_, _ = io.CopyN(c.BodyWriter(), f, st.Size()) // who asked has gone, or sees that it is too short
	}}, nil
}

// openResult opens a file of results that may be shown.
func (d *Desk) openResult(name string) (fs.File, fs.FileInfo, error) {
	if !mayShow(name) {
		return nil, nil, huma.Error403Forbidden(errResult.Error())
	}
	f, st, err := d.openOrdinary(name)
	switch {
	case errors.Is(err, errIrregular):
		return nil, nil, huma.Error403Forbidden(errResult.Error())
	case err != nil:
		return nil, nil, huma.Error404NotFound("there is no such result in the bench")
	case st.Size() > largestResult:
		_ = f.Close()
		return nil, nil, huma.Error413RequestEntityTooLarge(errLargeResult.Error())
	}
	return f, st, nil
}

// resultsOf are those of one folder.
type resultsOf struct {
	Folder  string       `json:"folder" doc:"in the bench"`
	Stopped bool         `json:"stopped" doc:"they were kept when it was stopped: they are not whole"`
	At      time.Time    `json:"at" doc:"when they were written"`
	Files   []resultFile `json:"files"`
	Changed []string     `json:"changed" doc:"files of the bench that are no longer as they were then, or gone"`
}

type resultFile struct {
	Name string `json:"name" doc:"in the folder"`
	Path string `json:"path" doc:"in the bench, as /api/result takes it"`
	Size int64  `json:"bytes"`
}

type resultsBody struct {
	Results []resultsOf `json:"results"`
}

func (d *Desk) getResults(_ context.Context, q *FileQuery) (*body[resultsBody], error) {
	if !mayOpen(q.Name) {
		return nil, refused(errName)
	}
	out := resultsBody{Results: []resultsOf{}}
	at := bench.Results(q.Name)
	for _, folder := range []string{at, at + "-stopped", path.Join(at, "outcome")} { // a study keeps its results a folder below
		if r, ok := d.resultsIn(folder); ok {
			out.Results = append(out.Results, r)
		}
	}
	slices.SortStableFunc(out.Results, func(a, b resultsOf) int { return b.At.Compare(a.At) })
	return &body[resultsBody]{out}, nil
}

// resultsIn are the results of a folder; false: it holds none that are listed.
func (d *Desk) resultsIn(folder string) (r resultsOf, ok bool) {
	m, st := d.manifest(folder)
	if m == nil {
		return r, false
	}
	return resultsOf{Folder: folder, Stopped: m.Stopped, At: st.ModTime(), Files: d.listed(folder, m, mayShow), Changed: d.changed(m.Inputs)}, true
}

// listed are the files of a folder that its manifest lists and that may be shown.
func (d *Desk) listed(folder string, m *shelf.Manifest, may func(name string) bool) []resultFile {
	all := []resultFile{}
	for _, f := range m.Files {
		name := path.Join(folder, f.Name)
		if st, err := fs.Stat(d.root.FS(), name); err == nil && may(name) {
			all = append(all, resultFile{f.Name, name, st.Size()})
		}
	}
	return all
}

// manifest is what a folder of results lists, and the file that says so; nil where there is none that may be shown.
func (d *Desk) manifest(folder string) (*shelf.Manifest, fs.FileInfo) {
	name := path.Join(folder, shelf.ManifestName)
	if !mayShow(name) {
		return nil, nil
	}
	st, err := d.root.Stat(name)
	if err != nil || st.Size() > largestResult {
		return nil, nil
	}
	return shelf.Read(d.root.FS(), folder), st
}

// readResult reads a document of results that is not large.
func (d *Desk) readResult(name string) ([]byte, fs.FileInfo, error) {
	f, st, err := d.openResult(name)
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	raw, err := io.ReadAll(io.LimitReader(f, largestResult))
	return raw, st, err
}

// changed are the files behind results that are no longer as they were.
func (d *Desk) changed(inputs []shelf.Entry) []string {
	return append([]string{}, shelf.Changed(shelf.Inside(inputs), d.sumOf)...)
}
