package web

import (
	"context"

	"emberbank/match"

	"github.com/danielgtaylor/huma/v2"
)

// envelopeAPI tells through which conditions a run goes, to be laid beside those in which a match was shown to hold.
func (d *Desk) envelopeAPI(a huma.API) {
	huma.Get(a, "/api/run/envelope", d.getEnvelope, named("envelope", "The conditions that a run goes through, as a match's document names those in which it was shown to hold"))
}

type rangesBody struct {
	Ranges []match.Range `json:"ranges" doc:"numbers in SI"`
}

func (d *Desk) getEnvelope(_ context.Context, q *FileQuery) (*body[rangesBody], error) {
	a, err := d.answerOf(q.Name)
	if err != nil {
		return nil, err
	}
	e := match.EnvelopeOf("", &a.loaded.Problem, a.result)
	return &body[rangesBody]{rangesBody{append([]match.Range{}, e.Ranges...)}}, nil
}
