package web

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"sync"
	"time"

	"emberbank/verify"

	"github.com/danielgtaylor/huma/v2"
)

// verified are the rows of the outside checks, kept while the program runs.
type verified struct {
	mu   sync.Mutex
	rows []verify.Row
	at   time.Time
}

// verifyJob is the name under which the checks are a job; no file of a bench goes by it.
const verifyJob = "verify"

// verifyAPI computes the outside checks when they are asked for.
func (d *Desk) verifyAPI(a huma.API) {
	huma.Get(a, "/api/verify", d.getVerify, named("verified", "The program compared with outside references: every row, as far as they have been computed since it was started"))
	huma.Post(a, "/api/verify", d.postVerify, named("verify", "Compute the outside checks; the job is named verify"))
}

// printed are the rows as the command prints them; nil: they were not computed.
func (v *verified) printed() []byte {
	v.mu.Lock()
	rows := slices.Clone(v.rows)
	v.mu.Unlock()
	if rows == nil {
		return nil
	}
	for i := range rows {
		rows[i].Seconds = 0
	}
	raw, err := json.Marshal(rows)
	if err != nil {
		return nil
	}
	return raw
}

type verifyBody struct {
	Job  *Job          `json:"job,omitempty" doc:"where the computing stands; none: it was never asked for"`
	At   *time.Time    `json:"at,omitempty" doc:"when the rows were computed"`
	Rows []verifiedRow `json:"rows"`
}

// verifiedRow is a row with its numbers as the command prints them.
type verifiedRow struct {
	Name       string `json:"name"`
	Topic      string `json:"topic"`
	Source     string `json:"source"`
	Detail     string `json:"detail"`
	Unit       string `json:"unit"`
	Expected   string `json:"expected"`
	Computed   string `json:"computed"`
	Difference string `json:"difference"`
	Tolerance  string `json:"tolerance"`
	Agrees     bool   `json:"agrees"`
	FromRun    bool   `json:"from_run" doc:"computed from a run file by the code of every run"`
}

func (d *Desk) getVerify(context.Context, *struct{}) (*body[verifyBody], error) {
	out := verifyBody{Rows: []verifiedRow{}}
	if j, err := d.jobs.of(verifyJob); err == nil {
		j.mu.Lock()
		now := j.standing()
		j.mu.Unlock()
		out.Job = &now
	}
	d.verified.mu.Lock()
	defer d.verified.mu.Unlock()
	if d.verified.rows != nil {
		at := d.verified.at // the next rows write over it
		out.At = &at
	}
	for i := range d.verified.rows {
		r := &d.verified.rows[i]
		s := r.Shown()
		out.Rows = append(out.Rows, verifiedRow{
			Name: r.Name, Topic: r.Topic, Source: r.Source, Detail: r.Detail, Unit: r.Unit, Expected: s.Expected, Computed: s.Computed,
			Difference: s.Difference, Tolerance: s.Tolerance, Agrees: r.Verdict == verify.Agrees, FromRun: r.FromRun,
		})
	}
	return &body[verifyBody]{out}, nil
}

func (d *Desk) postVerify(context.Context, *struct{}) (*body[Job], error) {
	now, err := d.jobs.begin(Task{Verb: "verify", File: verifyJob}, func(ctx context.Context, _ Task, tell Listener) (string, error) {
		rows, err := verify.Run(ctx, verify.Options{Threads: d.threads, Clock: time.Now, Progress: func(done, total int, name string) {
			tell.Step(Step{Text: name, Done: int64(done), Total: int64(total)})
		}})
		if err != nil {
			return "", errors.Join(errors.New("stopped before all cases were computed"), err)
		}
		d.verified.mu.Lock()
		defer d.verified.mu.Unlock()
		d.verified.rows, d.verified.at = rows, time.Now()
		return "", nil
	})
	if err != nil {
		return nil, refusedJob(err)
	}
	return &body[Job]{now}, nil
}
