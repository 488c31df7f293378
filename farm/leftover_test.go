package farm

import (
	"context"
	"sync/atomic"
	"testing"
	"time"

	"emberbank/heat"
)

// leftover is a queue in which an earlier start has left the task of variant 0. It takes a while to end a task, and one that is
// submitted meanwhile lies there already.
type leftover struct {
	*Shared
	key    string
	given  atomic.Bool
	lies   atomic.Bool
	ending chan struct{} // closed when the ending of the task begins
}

func (q *leftover) Next(ctx context.Context) (Lease, error) {
	if q.given.CompareAndSwap(false, true) {
		return Lease{Task: Task{Key: q.key}, Try: 1, Handle: q}, nil
	}
	return q.Shared.Next(ctx)
}

func (q *leftover) Submit(ctx context.Context, t Task) error {
	if t.Key == q.key && q.lies.Load() {
		return nil
	}
	return q.Shared.Submit(ctx, t)
}

func (q *leftover) Complete(l Lease) error {
	if l.Handle == q {
		close(q.ending)
		time.Sleep(100 * time.Millisecond)
		q.lies.Store(false)
	}
	return nil
}

// workedAfter works 40 variants by a queue; the first of them is built when what an earlier start has left is being ended.
func workedAfter(t *testing.T, j *Job, q Queue, ending <-chan struct{}) ([]Outcome, error) {
	t.Helper()
	j.Queue = q
	build := j.Build
	j.Build = func(n int64) (heat.Problem, []Setting, error) {
		<-ending
		return build(n)
	}
	ctx, stop := context.WithTimeout(context.Background(), 20*time.Second)
	defer stop()
	return j.Work(ctx, 0, 40)
}

// TestATaskOfAnEarlierStartIsNotEndedUnderItsVariant: a worker is given it before its variant is known, and the variant is
// submitted while the task is being ended.
func TestATaskOfAnEarlierStartIsNotEndedUnderItsVariant(t *testing.T) {
	var runs atomic.Int64
	j := made(empty(), 1, &runs)
	p, _, _ := j.Build(0)
	q := &leftover{Shared: NewShared(4), key: Key(&p, j.Model), ending: make(chan struct{})}
	q.lies.Store(true)
	if _, err := workedAfter(t, j, q, q.ending); err != nil || runs.Load() != 37 {
		t.Errorf("%d runs of 37, %v", runs.Load(), err)
	}
}

// given hands in at once that the task of variant 0 was set aside in an earlier start. A task that is submitted before that is said
// to be kept lies there already.
type given struct {
	*leftover
	once atomic.Bool
}

func (q *given) Next(ctx context.Context) (Lease, error) { return q.Shared.Next(ctx) }

func (q *given) Arrived(ctx context.Context) (Arrival, error) {
	if q.once.CompareAndSwap(false, true) {
		return Arrival{Key: q.key, Aside: AsideText, Keep: func() { _ = q.Complete(Lease{Handle: q.leftover}) }}, nil
	}
	return q.Shared.Arrived(ctx)
}

// TestWhatAnEarlierStartSetAsideIsTriedAgain: the word of it comes before its variant is known.
func TestWhatAnEarlierStartSetAsideIsTriedAgain(t *testing.T) {
	var runs atomic.Int64
	j := made(empty(), 1, &runs)
	p, _, _ := j.Build(0)
	q := &given{leftover: &leftover{Shared: NewShared(4), key: Key(&p, j.Model), ending: make(chan struct{})}}
	q.lies.Store(true)
	if out, err := workedAfter(t, j, q, q.ending); err != nil || runs.Load() != 37 || out[0].Failure != "" {
		t.Errorf("%d runs of 37, %v", runs.Load(), err)
	}
}
