package web

import (
	"context"
	"errors"
	"io/fs"
	"net/http"

	"emberbank/bench"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"
	"github.com/danielgtaylor/huma/v2/sse"
)

// api lays the interface under /api; it describes itself, as OpenAPI 3.1, in /api/openapi.json.
func (d *Desk) api(mux *http.ServeMux) {
	config := huma.DefaultConfig("Emberbank", d.version)
	config.Info.Description = "A bench, its files and its runs, as the page uses them. A script shows the key from the printed link as a bearer token."
	config.DocsPath, config.OpenAPIPath, config.SchemasPath, config.CreateHooks = "", "/api/openapi", "", nil
	a := humago.New(mux, config)
	huma.Get(a, "/api/bench", d.getBench, named("bench", "The bench: its question, its runs and its files"))
	huma.Get(a, "/api/check", d.getCheck, named("check", "What is wrong in a file and all that it refers to, and how to mend it"))
	huma.Get(a, "/api/file", d.getFile, named("read-file", "A text file of the bench"))
	huma.Put(a, "/api/file", d.putFile, named("write-file", "Put a new text in the place of a file that has not changed since it was read"), func(o *huma.Operation) { o.MaxBodyBytes = 2*largestText + 4096 })
	huma.Get(a, "/api/run", d.getRun, named("run", "What a run gives, as far as it has got; it begins to be computed when first asked for"))
	huma.Post(a, "/api/run/again", d.postAgain, named("compute-run", "Compute a run anew from its files"))
	huma.Post(a, "/api/run/stop", d.postStop, named("stop-run", "Stop what is being computed"))
	d.historyApi(a)
	d.sectionsAPI(a)
	d.envelopeAPI(a)
	d.cellsAPI(a)
	d.fieldsAPI(a)
	d.trialsAPI(a)
	d.jobsAPI(a)
	d.resultsAPI(a)
	d.studiesAPI(a)
	d.verifyAPI(a)
	d.handedAPI(a)
	d.lightAPI(a)
	sse.Register(a, huma.Operation{OperationID: "events", Method: http.MethodGet, Path: "/api/events", Summary: "Where runs and jobs stand, as it changes"},
		map[string]any{"here": greeting{}, "moved": Moved{}, "job": Job{}, "light": Cast{}}, d.events)
	d.revisionsAPI(a)
	d.materialsAPI(a)
	d.daysAPI(a)
}

func named(id, summary string) func(*huma.Operation) {
	return func(o *huma.Operation) { o.OperationID, o.Summary = id, summary }
}

// refused turns an error of this room into an answer.
func refused(err error) error {
	switch {
	case errors.Is(err, errNoFile):
		return huma.Error404NotFound(err.Error())
	case errors.Is(err, errName):
		return huma.Error403Forbidden(err.Error())
	case errors.Is(err, errChanged):
		return huma.Error409Conflict(err.Error())
	case errors.Is(err, errLarge):
		return huma.Error413RequestEntityTooLarge(err.Error())
	case errors.Is(err, errShut):
		return huma.Error503ServiceUnavailable(err.Error())
	}
	return huma.Error500InternalServerError(err.Error())
}

// FileQuery names a file of the bench.
type FileQuery struct {
	Name string `query:"name" required:"true" maxLength:"300" doc:"of the file, relative to the bench, with forward slashes"`
}

type benchBody struct {
	Name     string          `json:"name"`
	Question string          `json:"question"`
	Runs     []string        `json:"runs" doc:"run files; the first is the one to look at when nothing else is said"`
	Files    []string        `json:"files" doc:"in the order in which to read them"`
	Version  string          `json:"version"`
	Problems []bench.Problem `json:"problems"`
}

type body[T any] struct{ Body T }

func (d *Desk) getBench(context.Context, *struct{}) (*body[benchBody], error) {
	b, problems := bench.LoadBench(d.root.FS())
	out := benchBody{Version: d.version, Problems: append([]bench.Problem{}, problems...), Runs: []string{}, Files: []string{}}
	if b != nil {
		out.Name, out.Question = b.Name, b.Question
		out.Runs, out.Files = append(out.Runs, b.Runs...), append(out.Files, b.Files...)
	}
	return &body[benchBody]{out}, nil
}

type problemsBody struct {
	Problems []bench.Problem `json:"problems"`
}

func (d *Desk) getCheck(_ context.Context, q *FileQuery) (*body[problemsBody], error) {
	if !mayOpen(q.Name) || !describes(q.Name) {
		return nil, refused(errName)
	}
	if _, err := fs.Stat(d.root.FS(), q.Name); err != nil {
		return nil, refused(errNoFile)
	}
	problems := bench.Check(d.root.FS(), q.Name)
	if q.Name == bench.DossierFile && !problems.Failed() {
		problems = append(problems, d.misplaced()...)
	}
	return &body[problemsBody]{problemsBody{append([]bench.Problem{}, problems...)}}, nil
}

type fileBody struct {
	Name string `json:"name"`
	Text string `json:"text"`
	Mark string `json:"mark" doc:"changes with the text; show it when writing"`
}

func (d *Desk) getFile(_ context.Context, q *FileQuery) (*body[fileBody], error) {
	t, err := d.read(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	return &body[fileBody]{fileBody{q.Name, string(t.content), t.mark}}, nil
}

type filePut struct {
	FileQuery
	Body struct {
		Text string `json:"text" maxLength:"4194304"`
		Mark string `json:"mark" doc:"of the text that was read"`
	}
}

func (d *Desk) putFile(_ context.Context, q *filePut) (*body[fileBody], error) {
	t, err := d.write(q.Name, q.Body.Mark, []byte(q.Body.Text))
	if err != nil {
		return nil, refused(err)
	}
	return &body[fileBody]{fileBody{q.Name, string(t.content), t.mark}}, nil
}

func (d *Desk) postAgain(_ context.Context, q *FileQuery) (*body[Moved], error) {
	r, err := d.runs.of(q.Name)
	if err == nil {
		err = d.runs.again(r)
	}
	return standing(r, err)
}

func (d *Desk) postStop(_ context.Context, q *FileQuery) (*body[Moved], error) {
	r, err := d.runs.of(q.Name)
	if err == nil {
		r.halt()
	}
	return standing(r, err)
}

func standing(r *run, err error) (*body[Moved], error) {
	if err != nil {
		return nil, refused(err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	return &body[Moved]{r.moved()}, nil
}

// greeting is the first thing that a page hears.
type greeting struct {
	Version string `json:"version"`
}

func (d *Desk) events(ctx context.Context, _ *struct{}, send sse.Sender) {
	moves, stop := d.news.listen()
	defer stop()
	if send.Data(greeting{d.version}) != nil { // the browser knows by it that it is joined
		return
	}
	for {
		select {
		case m := <-moves:
			if send.Data(m) != nil {
				return
			}
		case <-ctx.Done():
			return
		}
	}
}
