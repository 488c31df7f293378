package farm

import (
	"context"
	"sync"
)

// Task is a variant to run: its number in the design and its key, and what a worker elsewhere builds it from.
type Task struct {
	Number   int64
	Key      string
	Limit    float64 // s, the time that the run may take; 0: any
	Settings []Setting
}

// Lease is a task in the hands of a worker, for the Try-th time, from 1.
type Lease struct {
	Task
	Try    int
	Handle any // the queue's own
}

// Arrival is what a worker elsewhere handed in.
type Arrival struct {
	Key     string
	Record  *Record // nil: the task was set aside, Aside says why
	Aside   string
	Seconds float64
	Keep    func() // says that it is kept, so that it does not arrive again; nil: nothing to be said
}

// Queue hands tasks to workers, each at least once: a task that a worker did not complete comes again. A task is known by
// its key and limit: one that waits already is not added again. It may hold tasks of an earlier start, and outlives a call of Work.
type Queue interface {
	// Submit adds a task, and waits while the queue is full.
	Submit(ctx context.Context, t Task) error
	// Next waits for a task to be run here. While the lease is held the queue takes the worker for alive.
	Next(ctx context.Context) (Lease, error)
	// Complete ends a task for good: its record is kept, or it is set aside. From then on it does not wait any more.
	Complete(l Lease) error
	// Release hands a task back that was not ended: it comes again.
	Release(l Lease)
	// Arrived waits for what a worker elsewhere has run.
	Arrived(ctx context.Context) (Arrival, error)
	// Elsewhere is how many tasks are in the hands of workers elsewhere.
	Elsewhere() int64
}

// MostTries is how often a task is tried before it is set aside. A task whose worker dies counts as tried: a variant may
// kill whoever runs it.
const MostTries = 3

// AsideText is the failure of a task that was tried so often.
const AsideText = "set aside: three times its worker was lost or could not go on"

// Shared is a queue within one process that keeps nothing.
type Shared struct {
	mu      sync.Mutex
	changed chan struct{} // closed at every change, then made anew
	waiting []Lease
	room    int
}

var _ Queue = (*Shared)(nil)

// NewShared returns a queue in which so many tasks may wait.
func NewShared(room int) *Shared {
	return &Shared{room: max(1, room), changed: make(chan struct{})}
}

// touch wakes who waits; the lock is held.
func (s *Shared) touch() {
	close(s.changed)
	s.changed = make(chan struct{})
}

// until waits until ready says so, which is asked with the lock held.
func (s *Shared) until(ctx context.Context, ready func() bool) error {
	for {
		s.mu.Lock()
		done, changed := ready(), s.changed
		s.mu.Unlock()
		if done {
			return nil
		}
		select {
		case <-changed:
		case <-ctx.Done():
			return context.Cause(ctx)
		}
	}
}

// Submit adds a task.
func (s *Shared) Submit(ctx context.Context, t Task) error {
	return s.until(ctx, func() bool {
		for _, l := range s.waiting {
			if l.Key == t.Key && l.Limit == t.Limit {
				return true
			}
		}
		if len(s.waiting) >= s.room {
			return false
		}
		s.waiting = append(s.waiting, Lease{Task: t, Try: 1})
		s.touch()
		return true
	})
}

// Next waits for a task.
func (s *Shared) Next(ctx context.Context) (l Lease, err error) {
	err = s.until(ctx, func() bool {
		if len(s.waiting) == 0 {
			return false
		}
		l, s.waiting = s.waiting[0], s.waiting[1:]
		s.touch()
		return true
	})
	return l, err
}

// Complete ends a task: it is in no list any more.
func (s *Shared) Complete(Lease) error { return nil }

// Release has a task tried again behind those that wait.
func (s *Shared) Release(l Lease) {
	s.mu.Lock()
	defer s.mu.Unlock()
	l.Try++
	s.waiting = append(s.waiting, l)
	s.touch()
}

// Arrived waits for the end: nobody works elsewhere.
func (s *Shared) Arrived(ctx context.Context) (Arrival, error) {
	<-ctx.Done()
	return Arrival{}, context.Cause(ctx)
}

// Elsewhere is none.
func (s *Shared) Elsewhere() int64 { return 0 }
