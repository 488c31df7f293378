package web

import (
	"context"
	"fmt"
	"io/fs"
	"strings"
	"time"

	"emberbank/bench"
	"emberbank/binder"
	"emberbank/shelf"

	"github.com/danielgtaylor/huma/v2"
)

// dossierJob is the name under which the dossier is composed; no file of a bench goes by it.
const dossierJob = "dossier"

// dueName is the name by which a result is renewed: that of its file, or of its folder where the file's own results stand elsewhere.
func dueName(k *shelf.Kept) string {
	own := bench.Results(k.File)
	if k.File != "" && (k.Folder == "" || k.Folder == own || k.Folder == own+"-stopped" || strings.HasPrefix(k.Folder, own+"/")) {
		return k.File
	}
	return k.Folder
}

// renewableHere tells whether a result's command is known, and names nothing outside the bench.
func renewableHere(k *shelf.Kept) bool {
	if !k.Renewable() {
		return false
	}
	for _, a := range k.Args[1:] {
		if !strings.HasPrefix(a, "-") && !fs.ValidPath(strings.TrimPrefix(a, "./")) {
			return false
		}
	}
	return true
}

// renewing is the task that renews a result.
func renewing(k *shelf.Kept, yes bool) Task {
	return Task{Verb: k.Args[0], File: dueName(k), Yes: yes, Args: k.Args}
}

// dueNow are the results of the bench that are not as they should be.
func (d *Desk) dueNow() (all []shelf.Kept, err error) {
	_, kept, _, err := d.gathered(nil)
	for _, k := range kept {
		if k.Due() && renewableHere(&k) {
			all = append(all, k)
		}
	}
	return all, err
}

type renewPost struct {
	Body struct {
		Name string `json:"name" minLength:"1" maxLength:"600" doc:"as the dossier lists it among what is due"`
		Yes  bool   `json:"yes,omitempty" doc:"begin without a question, however long it takes"`
	}
}

func (d *Desk) postRenew(_ context.Context, q *renewPost) (*body[Job], error) {
	if d.jobs.work == nil {
		return nil, refusedJob(errNoWork)
	}
	all, err := d.dueNow()
	if err != nil {
		return nil, refused(err)
	}
	for _, k := range all {
		if dueName(&k) != q.Body.Name {
			continue
		}
		now, err := d.jobs.begin(renewing(&k, q.Body.Yes), d.jobs.work)
		if err != nil {
			return nil, refusedJob(err)
		}
		return &body[Job]{now}, nil
	}
	return nil, huma.Error404NotFound("no result of that name is due, or it cannot be renewed from here")
}

type dossierPost struct {
	Body struct {
		Renew bool `json:"renew,omitempty" doc:"first compute what is missing or old, in turn, however long it takes"`
	}
}

func (d *Desk) postDossier(_ context.Context, q *dossierPost) (*body[Job], error) {
	if d.jobs.work == nil {
		return nil, refusedJob(errNoWork)
	}
	renew := q.Body.Renew
	now, err := d.jobs.begin(Task{Verb: dossierJob, File: dossierJob}, func(ctx context.Context, t Task, tell Listener) (string, error) {
		return d.compose(ctx, t, renew, tell)
	})
	if err != nil {
		return nil, refusedJob(err)
	}
	return &body[Job]{now}, nil
}

// compose composes the dossier, after what is due if that is wanted, and keeps what the one before said otherwise. What could not be
// renewed is told when all else is done.
func (d *Desk) compose(ctx context.Context, t Task, renew bool, tell Listener) (string, error) {
	var failed []string
	if renew {
		if err := shelf.Renew(d.dueNow, func(k *shelf.Kept) error {
			now, err := d.jobs.await(ctx, renewing(k, true), func(s Step) {
				tell.Step(Step{Text: strings.TrimSuffix(k.Renew+": "+s.Text, ": "), Left: s.Left})
			})
			switch {
			case ctx.Err() != nil:
				return &Trouble{Message: "stopped at " + k.Renew}
			case err != nil:
				failed = append(failed, k.Renew+": "+err.Error())
			case now.State != done:
				failed = append(failed, k.Renew+": "+now.Message)
			}
			return nil
		}); err != nil {
			return "", err
		}
	}
	before := binder.Read(d.root.FS(), binder.Folder)
	t.Checked = d.verified.printed()
	results, err := d.jobs.work(ctx, t, tell)
	if err != nil {
		return "", err
	}
	if after := binder.Read(d.root.FS(), binder.Folder); before != nil && after != nil {
		d.handed.differs(binder.Against(before, after))
	}
	if n := len(failed); n > 0 {
		what := "one result"
		if n > 1 {
			what = fmt.Sprintf("%d results", n)
		}
		return results, &Trouble{Message: "the dossier is composed, but " + what + " could not be renewed: " + strings.Join(failed, "; "), Results: results}
	}
	return results, nil
}

// awaitEvery is how often a task that another one waits for is looked at.
const awaitEvery = 100 * time.Millisecond

// await starts a task, or joins the one that goes on from the same file, and waits for its end. When ctx ends, so does the task.
func (js *jobs) await(ctx context.Context, t Task, tell func(Step)) (Job, error) {
	begun, err := js.begin(t, js.work)
	if err != nil {
		return Job{}, err
	}
	j, err := js.of(t.File)
	if err != nil {
		return Job{}, err
	}
	tick := time.NewTicker(awaitEvery)
	defer tick.Stop()
	for over := ctx.Done(); ; {
		select {
		case <-over:
			j.mu.Lock()
			j.stop()
			j.mu.Unlock()
			over = nil
		case <-tick.C:
		}
		j.mu.Lock()
		now, goesOn := j.standing(), j.begun && j.now.Turn == begun.Turn
		j.mu.Unlock()
		if !goesOn {
			return now, nil
		}
		tell(now.Step)
	}
}
