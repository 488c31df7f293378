package farm

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"time"

	"emberbank/heat"
)

// TestAProblemAtHandIsNotBuiltAgain: what waits, what is in hand and what is being submitted is kept, as far as the queue's room goes.
func TestAProblemAtHandIsNotBuiltAgain(t *testing.T) {
	for _, workers := range []int{1, 3} {
		var runs, builds atomic.Int64
		j := made(empty(), workers, &runs)
		build := j.Build
		j.Build = func(n int64) (heat.Problem, []Setting, error) {
			builds.Add(1)
			return build(n)
		}
		worked(t, j)
		if builds.Load() != 40 {
			t.Errorf("%d workers: %d problems were built for 40 variants", workers, builds.Load())
		}
	}
}

// TestAnArrivalIsSaidToBeKeptOnceItIs: and not where the store is full.
func TestAnArrivalIsSaidToBeKeptOnceItIs(t *testing.T) {
	for _, full := range []bool{false, true} {
		var runs, said atomic.Int64
		s := empty()
		j := made(s, -1, &runs)
		q := &elsewhere{Shared: NewShared(4), made: made(nil, 1, &runs)}
		s.full, j.Queue = full, &saying{q, &said}
		_, err := j.Work(context.Background(), 0, 40)
		if full {
			if !errors.Is(err, errFull) || said.Load() != 0 {
				t.Errorf("with a full store it ends with %v, and %d records are said to be kept", err, said.Load())
			}
		} else if err != nil || said.Load() < 37 {
			t.Errorf("%d of 37 records are said to be kept, %v", said.Load(), err)
		}
	}
}

// saying is elsewhere, whose arrivals are to be told when they are kept.
type saying struct {
	*elsewhere
	said *atomic.Int64
}

func (q *saying) Arrived(ctx context.Context) (Arrival, error) {
	a, err := q.elsewhere.Arrived(ctx)
	a.Keep = func() { q.said.Add(1) }
	return a, err
}

// TestALimitThatIsNotSetAnyMoreMakesNoOutcome: a worker elsewhere hands in that a run did not keep the limit of an earlier start; it
// is kept, and the run's own outcome waited for.
func TestALimitThatIsNotSetAnyMoreMakesNoOutcome(t *testing.T) {
	var runs atomic.Int64
	s := empty()
	j := made(s, -1, &runs)
	j.Queue = &slowOnce{elsewhere: &elsewhere{Shared: NewShared(4), made: made(nil, 1, &runs)}}
	for i, o := range worked(t, j) {
		if i != 7 && o.Failure == "late" {
			t.Errorf("variant %d fails by a limit that is not set", i)
		}
	}
	p, _, _ := made(nil, 1, nil).Build(0)
	if s.held[Within(Key(&p, "made up"), 9)] == nil {
		t.Error("the failure itself was not kept")
	}
}

// slowOnce hands in of its first variant that it did not keep a limit, before what it gave.
type slowOnce struct {
	*elsewhere
	next *Arrival
	sent bool
}

func (q *slowOnce) Arrived(ctx context.Context) (Arrival, error) {
	if q.next != nil {
		a := *q.next
		q.next = nil
		return a, nil
	}
	a, err := q.elsewhere.Arrived(ctx)
	if err == nil && !q.sent {
		q.sent, q.next = true, &a
		return Arrival{Key: a.Key, Record: &Record{Failure: "late", Limit: 9}}, nil
	}
	return a, err
}

// TestATaskThatCouldNotBeKeptIsHandedBack: another start finds it, and the one that is run meanwhile.
func TestATaskThatCouldNotBeKeptIsHandedBack(t *testing.T) {
	var runs atomic.Int64
	s := empty()
	s.full = true
	q := &counting{Shared: NewShared(4)}
	j := made(s, 1, &runs)
	j.Queue = q
	if _, err := j.Work(context.Background(), 0, 40); !errors.Is(err, errFull) {
		t.Fatalf("it ends with %v", err)
	}
	if n := q.back.Load(); n < 1 || n > 2 || q.done.Load() != 0 {
		t.Errorf("%d tasks are handed back, %d ended", q.back.Load(), q.done.Load())
	}
}

type counting struct {
	*Shared
	back, done atomic.Int64
}

func (q *counting) Release(l Lease) {
	q.back.Add(1)
	q.Shared.Release(l)
}

func (q *counting) Complete(l Lease) error {
	q.done.Add(1)
	return q.Shared.Complete(l)
}

// TestWhatIsDoneWhenTheLimitEndsCounts: a run that comes to its end while it is told to stop has its results.
func TestWhatIsDoneWhenTheLimitEndsCounts(t *testing.T) {
	run := func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
		<-ctx.Done()
		time.Sleep(time.Millisecond)
		return made(nil, 1, new(atomic.Int64)).Run(context.Background(), p)
	}
	r, err := Compute(context.Background(), run, heat.Problem{Tolerance: 1}, 0.01)
	if err != nil || r.Failure != "" || r.Limit != 0 || len(r.History.Time) != 1 {
		t.Errorf("it gives %+v, %v", r, err)
	}
}

// TestTheRecordThatStoodFirstIsTheOutcome: two studies share a store, and the other was faster.
func TestTheRecordThatStoodFirstIsTheOutcome(t *testing.T) {
	var runs atomic.Int64
	first := &Record{Failure: "what the other found"}
	j := made(nil, 2, &runs)
	j.Store = overtaken{first}
	for i, o := range worked(t, j) {
		if i != 7 && o.Failure != first.Failure {
			t.Errorf("variant %d: %+v", i, o)
		}
	}
}

// overtaken holds nothing when it is asked, and something of another's when a record comes.
type overtaken struct{ first *Record }

func (overtaken) Load(string) (*Record, error) { return nil, nil }

func (s overtaken) Save(string, *Record, float64) (*Record, error) { return s.first, nil }

// TestWhatATaskGaveIsKeptWhileTheNextIsRun: the store waits for the next run to begin.
func TestWhatATaskGaveIsKeptWhileTheNextIsRun(t *testing.T) {
	var runs atomic.Int64
	j := made(nil, 1, &runs)
	s := &slowShelf{shelf: empty(), begun: make(chan struct{}, 40)}
	j.Store = s
	compute := j.Run
	j.Run = func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
		s.begun <- struct{}{}
		return compute(ctx, p)
	}
	ctx, stop := context.WithTimeout(context.Background(), time.Minute)
	defer stop()
	if _, err := j.Work(ctx, 0, 2); err != nil {
		t.Error(err)
	}
	if s.alone {
		t.Error("the first record was kept before the second run began")
	}
}

// slowShelf saves its first record when two runs have begun, or long after.
type slowShelf struct {
	*shelf
	begun chan struct{}
	saved int
	alone bool
}

func (s *slowShelf) Save(key string, r *Record, seconds float64) (*Record, error) {
	if s.saved++; s.saved == 1 {
		for range 2 {
			select {
			case <-s.begun:
			case <-time.After(20 * time.Second):
				s.alone = true
			}
		}
	}
	return s.shelf.Save(key, r, seconds)
}

// TestKindsOfCautionsAreHeldOnce: a study of many variants holds no text for each.
func TestKindsOfCautionsAreHeldOnce(t *testing.T) {
	w := &working{}
	a := w.kindsOf([]string{"touch: It is 161 °C.", "light: It blinds.", "touch: Inside, too."})
	b := w.kindsOf([]string{"touch: It is 155 °C.", "light: It blinds and burns."})
	if len(a) != 2 || a[0] != "touch" || a[1] != "light" || &a[0] != &b[0] {
		t.Errorf("%q and %q", a, b)
	}
	if c := w.kindsOf([]string{"light: It blinds."}); len(c) != 1 || c[0] != "light" || w.kindsOf(nil) != nil {
		t.Errorf("%q", c)
	}
}
