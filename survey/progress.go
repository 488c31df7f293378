package survey

import (
	"context"

	"emberbank/farm"
)

// Estimate is what a study will take, by its first variant.
type Estimate struct {
	Variants int64
	First    float64 // s that the first took
	Rest     float64 // s that the others take, side by side
	Size     int64   // bytes of all on the disk
}

// Progress is how far a study has got.
type Progress struct {
	Done, Known, Running, Failed, Total int64   // Known is the part of Done that was computed before
	Left                                float64 // s, by how long the others took; 0: not known
}

// begin runs the first variant by itself, and asks whether count of them are meant.
func (w *working) begin(ctx context.Context, count int64, first point) ([]farm.Outcome, error) {
	w.progress.Total = count
	out, err := w.run(ctx, 0, 1, func(int64) point { return first })
	if err != nil {
		return nil, err
	}
	e := Estimate{Variants: count}
	if w.Cost != nil {
		seconds, size := w.Cost(out[0].Key)
		e.First, e.Size = seconds, size*count
		e.Rest = seconds * float64(count-1) / float64(min(int64(max(w.Job.Workers, 1)), max(count-1, 1)))
	}
	if w.Consent != nil {
		if err := w.Consent(e); err != nil {
			return nil, err
		}
	}
	w.counting, w.began, w.before = true, w.clock(), w.progress.Done-w.progress.Known
	return out, nil
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
	w.progress = now
	if w.counting && w.Watch != nil {
		w.Watch(now)
	}
}
