package survey

import (
	"context"
	"fmt"
	"math"

	"emberbank/account"
	"emberbank/farm"
)

// Estimate is what a study will take, by its first variant.
type Estimate struct {
	Variants int64
	Carried  int64   // runs more, to carry the uncertainty of inputs
	Edges    int64   // runs more, at the edges of what is as good as the best, at the most
	Twins    int64   // runs more, on a finer grid
	First    float64 // s that the first took
	Rest     float64 // s that the others take, side by side
	Size     int64   // bytes of all on the disk
}

// Progress is how far a study has got.
type Progress struct {
	Done, Known, Running, Failed, Total int64   // Known is the part of Done that was computed before
	Left                                float64 // s, by how long the others took; 0: not known
	Best                                string  // so far, in words: of a search the best, of a sweep how many meet the constraints; "": nothing to tell
}

// twinCost is how many times as long as a variant its twin on the next finer grid takes, about: 1.45³ as many cells, and a
// tolerance a third as large, for which the steps of a method of second order are 1.45 to 1.75 times as many.
const twinCost = 5

// plan is how much is to be run.
type plan struct{ variants, carried, edges, twins int64 }

func (p plan) runs() int64 { return p.variants + p.carried + p.edges + p.twins }

// begin runs the first variant by itself, and asks whether all are meant.
func (w *working) begin(ctx context.Context, p plan, first point) ([]farm.Outcome, error) {
	w.progress.Total = p.runs()
	out, err := w.runAll(ctx, []point{first})
	if err != nil {
		return nil, err
	}
	e := Estimate{Variants: p.variants, Carried: p.carried, Edges: p.edges, Twins: p.twins}
	if w.Cost != nil && out[0].Key != "" { // what cannot be built tells nothing
		seconds, size := w.Cost(out[0].Key)
		work := float64(p.variants-1+p.carried+p.edges) + twinCost*float64(p.twins)
		work *= 1 - w.knownShare(p)
		side := math.Min(float64(max(w.Job.Workers, 1)), math.Max(float64(p.runs()-1), 1))
		e.First, e.Rest, e.Size = seconds, seconds*work/side, size*p.runs()
		somewhere := first
		if somewhere.x == nil { // a row has a place on every axis
			somewhere.x = make([]float64, len(w.Asked.Axes))
		}
		e.Size += account.StudyRoom(w.varied(out, func(int64) point { return somewhere }), p.variants)
	}
	if w.Consent != nil {
		if err := w.Consent(e); err != nil {
			return nil, err
		}
	}
	w.counting, w.began, w.before = true, w.clock(), w.progress.Done-w.progress.Known
	return out, nil
}

// looks is how many variants are looked up to tell how much is known already.
const looks = 40

// knownShare is the share of a design's variants that stand in the store, by some of them, evenly spread; of a search, whose
// variants nobody knows yet, 0.
func (w *working) knownShare(p plan) float64 {
	if w.Asked.Design == nil || p.variants < 2 {
		return 0
	}
	n := min(p.variants-1, looks)
	known := 0
	job := w.Job
	job.Limit = w.Asked.Limit
	for k := range n {
		built, err := w.builder.Build(w.settings(w.at(1 + k*(p.variants-1)/n)))
		if err != nil {
			known++ // it takes no time
			continue
		}
		if _, r, err := job.Known(farm.Key(&built.Problem, w.Job.Model)); err == nil && r != nil {
			known++
		}
	}
	return float64(known) / float64(n)
}

func (w *working) clock() float64 {
	if w.Job.Seconds == nil {
		return 0
	}
	return w.Job.Seconds()
}

// tell passes on how far the work has got: what was done before, and p of the stretch at hand.
func (w *working) tell(before Progress, p farm.Progress) {
	now := before
	now.Done, now.Known, now.Failed = before.Done+p.Done, before.Known+p.Known, before.Failed+p.Failed
	now.Running = p.Running
	if fresh := now.Done - now.Known - w.before; w.counting && fresh > 0 { // what is known takes no time
		now.Left = (w.clock() - w.began) / float64(fresh) * float64(now.Total-now.Done)
	}
	if now.Best = w.best; w.tally {
		now.Best = fmt.Sprintf("%d meet the constraints", w.met.Load())
	}
	w.progress = now
	if w.counting && w.Watch != nil {
		w.Watch(now)
	}
}
