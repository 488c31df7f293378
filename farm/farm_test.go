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

func TestATaskIsTriedThriceAndThenSetAside(t *testing.T) {
	q := NewShared(2)
	ctx := context.Background()
	for n := range int64(2) {
		if err := q.Submit(ctx, Task{Number: n}); err != nil {
			t.Fatal(err)
		}
	}
	q.Close()
	var order []string
	for {
		l, err := q.Next(ctx)
		if err != nil {
			break
		}
		order = append(order, fmt.Sprint(l.Number, l.Try))
		if l.Number == 1 {
			q.Complete(l)
		} else if aside := q.Fail(l, errors.New("lost"), false); aside != (l.Try == MostTries) {
			t.Errorf("try %d: set aside %v", l.Try, aside)
		}
	}
	if got := strings.Join(order, ", "); got != "0 1, 1 1, 0 2, 0 3" {
		t.Errorf("the order is %s", got)
	}
}

func TestAFullQueueWaitsAndCanBeStopped(t *testing.T) {
	q := NewShared(1)
	if err := q.Submit(context.Background(), Task{}); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(context.Background(), 10*time.Millisecond)
	defer stop()
	if err := q.Submit(ctx, Task{}); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("a second task: %v", err)
	}
}
