package web

import (
	"context"
	"errors"

	"github.com/danielgtaylor/huma/v2"
)

// jobsAPI starts, stops and tells of what takes long.
func (d *Desk) jobsAPI(a huma.API) {
	huma.Get(a, "/api/jobs", d.getJobs, named("jobs", "What was started from files while the program runs, and where it stands"))
	huma.Post(a, "/api/jobs", d.postJob, named("start-job", "Start a study, a match, a plan, the reading of a trial, a season or a run with results; what goes on already goes on"))
	huma.Post(a, "/api/jobs/stop", d.postJobStop, named("stop-job", "Stop what was started from a file; what is done is kept, and starting it again goes on from there"))
	huma.Get(a, "/api/jobs/points", d.getPoints, named("job-points", "The variants of a study that have their outcome, in the order in which they came"))
}

// refusedJob turns an error of jobs into an answer.
func refusedJob(err error) error {
	switch {
	case errors.Is(err, errTask):
		return huma.Error403Forbidden(err.Error())
	case errors.Is(err, errNoJob):
		return huma.Error404NotFound(err.Error())
	case errors.Is(err, errBusy):
		return huma.Error409Conflict(err.Error())
	case errors.Is(err, errNoWork):
		return huma.Error503ServiceUnavailable(err.Error())
	}
	return refused(err)
}

type jobsBody struct {
	Jobs []Job `json:"jobs"`
}

func (d *Desk) getJobs(context.Context, *struct{}) (*body[jobsBody], error) {
	return &body[jobsBody]{jobsBody{d.jobs.list()}}, nil
}

func (d *Desk) postJob(_ context.Context, q *body[Task]) (*body[Job], error) {
	now, err := d.jobs.start(q.Body)
	if err != nil {
		return nil, refusedJob(err)
	}
	return &body[Job]{now}, nil
}

func (d *Desk) postJobStop(_ context.Context, q *FileQuery) (*body[Job], error) {
	j, err := d.jobs.of(q.Name)
	if err != nil {
		return nil, refusedJob(err)
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	j.stop()
	return &body[Job]{j.standing()}, nil
}

type pointsQuery struct {
	FileQuery
	From int `query:"from" minimum:"0" doc:"how many of them are known already"`
}

type pointsBody struct {
	Turn   int     `json:"turn" doc:"of the job: another one begins its points anew"`
	Points []Point `json:"points"`
}

func (d *Desk) getPoints(_ context.Context, q *pointsQuery) (*body[pointsBody], error) {
	j, err := d.jobs.of(q.Name)
	if err != nil {
		return nil, refusedJob(err)
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	from := min(q.From, len(j.points))
	return &body[pointsBody]{pointsBody{j.now.Turn, append([]Point{}, j.points[from:]...)}}, nil
}
