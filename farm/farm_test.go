package farm

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"emberbank/heat"
	"emberbank/history"
)

// shelf is a store in memory.
type shelf struct {
	mu   sync.Mutex
	held map[string]*Record
	full bool
}

func (s *shelf) Load(key string) (*Record, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.held[key], nil
}

var errFull = errors.New("the shelf is full")

func (s *shelf) Save(key string, r *Record, _ float64) (*Record, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.full {
		return nil, errFull
	}
	if s.held[key] == nil {
		s.held[key] = r
	}
	return s.held[key], nil
}

// made is a job of 40 variants whose run answers with the square of their tolerance; every tenth breaks down or fails, and
// the last two are the same as the first two.
func made(s *shelf, workers int, runs *atomic.Int64) *Job {
	return &Job{
		Build: func(n int64) (heat.Problem, []Setting, error) {
			if n == 7 {
				return heat.Problem{}, nil, errors.New("variant 7 cannot be built")
			}
			x := float64(n%38 + 1)
			return heat.Problem{Tolerance: x}, []Setting{{Path: "tolerance", Value: x}}, nil
		},
		Run: func(_ context.Context, p heat.Problem) (*heat.Result, error) {
			runs.Add(1)
			time.Sleep(time.Duration(int(p.Tolerance*7)%5) * time.Millisecond)
			switch p.Tolerance {
			case 10:
				panic("variant 10")
			case 20:
				return nil, errors.New("variant 20 cannot be computed")
			}
			return &heat.Result{History: history.History{Time: []float64{0}, Columns: []history.Column{{Name: "square", Values: []float64{p.Tolerance * p.Tolerance}}}}}, nil
		},
		Read:    func(r *Record) ([]float64, error) { return []float64{r.History.Columns[0].Values[0]}, nil },
		Model:   "made up",
		Store:   s,
		Workers: workers,
	}
}

func empty() *shelf { return &shelf{held: map[string]*Record{}} }

func worked(t *testing.T, j *Job) []Outcome {
	t.Helper()
	out, err := j.Work(context.Background(), 0, 40)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestOutcomesAreThoseOfTheDesignForAnyNumberOfWorkers(t *testing.T) {
	var runs atomic.Int64
	one := worked(t, made(empty(), 1, &runs))
	for i, o := range one {
		x := float64(i%38 + 1)
		switch {
		case i == 7:
			if o.Failure != "variant 7 cannot be built" || o.Key != "" {
				t.Errorf("variant 7: %+v", o)
			}
		case x == 10 || x == 20:
			if !strings.Contains(o.Failure, fmt.Sprint("variant ", x)) {
				t.Errorf("variant %d: %+v", i, o)
			}
		case o.Failure != "" || len(o.Values) != 1 || o.Values[0] != x*x:
			t.Errorf("variant %d: %+v", i, o)
		}
	}
	if runs.Load() != 37 { // 40 less the one that cannot be built and two twins
		t.Errorf("%d runs", runs.Load())
	}
	for _, workers := range []int{2, 5} {
		if many := worked(t, made(empty(), workers, &runs)); !reflect.DeepEqual(one, many) {
			t.Errorf("%d workers: %+v, one worker: %+v", workers, many, one)
		}
	}
}

func TestNothingIsComputedTwice(t *testing.T) {
	var runs atomic.Int64
	s := empty()
	first := worked(t, made(s, 2, &runs))
	runs.Store(0)
	var last Progress
	j := made(s, 2, &runs)
	j.Progress = func(p Progress) { last = p }
	if again := worked(t, j); !reflect.DeepEqual(first, again) {
		t.Errorf("again: %+v, first: %+v", again, first)
	}
	if runs.Load() != 0 {
		t.Errorf("%d runs", runs.Load())
	}
	if want := (Progress{Done: 40, Known: 39, Failed: 3, Total: 40}); last != want {
		t.Errorf("progress is %+v, want %+v", last, want)
	}
}

func TestStoppedWorkGoesOnWhereItWas(t *testing.T) {
	var runs atomic.Int64
	want := worked(t, made(empty(), 1, &runs))
	s := empty()
	ctx, stop := context.WithCancel(context.Background())
	j := made(s, 2, &runs)
	j.Progress = func(p Progress) {
		if p.Done == 15 {
			stop()
		}
	}
	if _, err := j.Work(ctx, 0, 40); !errors.Is(err, context.Canceled) {
		t.Fatalf("it ends with %v", err)
	}
	held := maps.Clone(s.held)
	if len(held) < 10 || len(held) > 25 {
		t.Errorf("%d records are held", len(held))
	}
	runs.Store(0)
	if got := worked(t, made(s, 2, &runs)); !reflect.DeepEqual(got, want) {
		t.Errorf("gone on: %+v, undisturbed: %+v", got, want)
	}
	if n := int(runs.Load()); n != 37-len(held) {
		t.Errorf("%d runs after %d records", n, len(held))
	}
}

func TestAStoreThatIsFullAndAResponseThatIsNotThereEndTheWork(t *testing.T) {
	var runs atomic.Int64
	s := empty()
	s.full = true
	if _, err := made(s, 2, &runs).Work(context.Background(), 0, 40); !errors.Is(err, errFull) {
		t.Errorf("it ends with %v", err)
	}
	missing := errors.New("no such entry")
	j := made(empty(), 2, &runs)
	j.Read = func(*Record) ([]float64, error) { return nil, missing }
	if _, err := j.Work(context.Background(), 0, 40); !errors.Is(err, missing) {
		t.Errorf("it ends with %v", err)
	}
}

// TestATaskThatNobodyEndsIsSetAside: a queue hands it out a fourth time, and the others' outcomes are as ever.
func TestATaskThatNobodyEndsIsSetAside(t *testing.T) {
	var runs atomic.Int64
	s, q := empty(), &losing{Shared: NewShared(4), key: func() string {
		p, _, _ := made(nil, 1, nil).Build(5)
		return Key(&p, "made up")
	}()}
	j := made(s, 2, &runs)
	j.Queue = q
	for i, o := range worked(t, j) {
		if (i == 5) != (o.Failure == AsideText) {
			t.Errorf("variant %d: %+v", i, o)
		}
	}
	if q.lost != MostTries || s.held[q.key] != nil {
		t.Errorf("it was handed out %d times; recorded is %+v", q.lost, s.held[q.key])
	}
}

// losing is a queue of which one task's worker dies each time.
type losing struct {
	*Shared
	key  string
	mu   sync.Mutex
	lost int
}

func (q *losing) Next(ctx context.Context) (Lease, error) {
	for {
		l, err := q.Shared.Next(ctx)
		if err != nil || l.Key != q.key || l.Try > MostTries {
			return l, err
		}
		q.mu.Lock()
		q.lost++
		q.mu.Unlock()
		q.Release(l)
	}
}

// TestWhatOthersRunArrives has a worker elsewhere run all variants, some twice, and hand in some that nobody asked for.
func TestWhatOthersRunArrives(t *testing.T) {
	var runs atomic.Int64
	want := worked(t, made(empty(), 1, &runs))
	s, q := empty(), &elsewhere{Shared: NewShared(4), made: made(nil, 1, &runs)}
	j := made(s, 1, &runs)
	j.Queue, j.Workers = q, -1
	if got := worked(t, j); !reflect.DeepEqual(got, want) {
		t.Errorf("elsewhere: %+v, here: %+v", got, want)
	}
	if s.held["unasked"] == nil {
		t.Error("what arrived unasked was not kept")
	}
}

type elsewhere struct {
	*Shared
	made *Job
	held []Arrival
	n    int
}

func (q *elsewhere) Arrived(ctx context.Context) (Arrival, error) {
	if q.n++; q.n == 3 {
		return Arrival{Key: "unasked", Record: &Record{Failure: "x"}}, nil
	}
	if len(q.held) > 0 && q.n%4 == 0 {
		return q.held[0], nil
	}
	l, err := q.Next(ctx)
	if err != nil {
		return Arrival{}, err
	}
	p, settings, _ := q.made.Build(l.Number)
	r, err := Compute(ctx, q.made.Run, p, 0)
	if err == nil {
		r.Settings = settings
	}
	q.held = append(q.held, Arrival{Key: l.Key, Record: r, Seconds: 1})
	return q.held[len(q.held)-1], err
}

// TestAVariantThatNeverEndsCostsItsLimit: with a longer limit, or none, it is run again; with the same it is known.
func TestAVariantThatNeverEndsCostsItsLimit(t *testing.T) {
	s := empty()
	var runs atomic.Int64
	work := func(limit float64, ends bool) (Outcome, Progress) {
		var last Progress
		j := made(s, 2, &runs)
		run := j.Run
		j.Limit, j.Progress = limit, func(p Progress) { last = p }
		j.Run = func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
			if p.Tolerance == 3 && !ends {
				<-ctx.Done()
				return &heat.Result{}, fmt.Errorf("at 0 s: %w", ctx.Err())
			}
			return run(ctx, p)
		}
		return worked(t, j)[2], last
	}
	for i, one := range []struct {
		limit float64
		ends  bool
		runs  int64
		want  string
	}{
		{0.25, false, 1, "it was not done within its time limit of 0.25 s"},
		{0.25, true, 0, "it was not done within its time limit of 0.25 s"},
		{0.5, false, 1, "it was not done within its time limit of 0.5 s"},
		{0, true, 1, ""},
		{0.25, false, 0, ""},
	} {
		o, last := work(one.limit, one.ends)
		if o.Failure != one.want || strings.Contains(o.Key, "within") != (one.want != "") || o.Key == "" || s.held[o.Key] == nil {
			t.Errorf("%d: %+v", i, o)
		}
		if n := last.Done - last.Known; i > 0 && n != one.runs+1 { // and the one that cannot be built
			t.Errorf("%d: %d runs", i, n-1)
		}
	}
}

// TestAClockThatJumpsChangesNoOutcome: times are told and kept apart; nothing is decided by them.
func TestAClockThatJumpsChangesNoOutcome(t *testing.T) {
	var runs atomic.Int64
	want := worked(t, made(empty(), 1, &runs))
	var mu sync.Mutex
	at := 0.0
	j := made(empty(), 3, &runs)
	j.Seconds = func() float64 {
		mu.Lock()
		defer mu.Unlock()
		at = 1e6 - 1.5*at
		return at
	}
	if got := worked(t, j); !reflect.DeepEqual(got, want) {
		t.Errorf("with jumps: %+v, without: %+v", got, want)
	}
}

func TestAFullQueueWaitsAndCanBeStopped(t *testing.T) {
	q := NewShared(1)
	if err := q.Submit(context.Background(), Task{}); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(context.Background(), 10*time.Millisecond)
	defer stop()
	if err := q.Submit(ctx, Task{Key: "another"}); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("a second task: %v", err)
	}
}
