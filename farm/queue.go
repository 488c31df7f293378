package farm

import (
	"context"
	"io"
	"sync"

	"emberbank/heat"
)

// Task is a variant to run.
type Task struct {
	Number int64 // in the design
	Key    string
	// Problem is at hand where who submits and who runs share their memory; nil: it is built by its number.
	Problem  *heat.Problem
	Settings []Setting
}

// Lease is a task in the hands of a worker, for the Try-th time, from 1.
type Lease struct {
	Task
	Try int
}

// Queue hands tasks to workers, each at least once: a task that a worker neither completed nor failed comes again.
type Queue interface {
	// Submit adds a task, and waits while the queue is full.
	Submit(ctx context.Context, t Task) error
	// Close says that no more are submitted.
	Close()
	// Next waits for a task; io.EOF: none is left.
	Next(ctx context.Context) (Lease, error)
	// Heartbeat says that the worker is still at it.
	Heartbeat(l Lease)
	Complete(l Lease)
	// Fail hands a task back. For good, or after MostTries, it is set aside, and Fail returns true.
	Fail(l Lease, cause error, forGood bool) (aside bool)
}

// MostTries is how often a task is tried before it is set aside.
const MostTries = 3

// Shared is the queue inside one process. A worker cannot be lost without the process, so no lease runs out.
type Shared struct {
	mu      sync.Mutex
	changed chan struct{} // closed at every change, then made anew
	waiting []Lease
	room    int
	out     int // tasks in the hands of workers
	closed  bool
	beats   int64
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
		if len(s.waiting) >= s.room {
			return false
		}
		s.waiting = append(s.waiting, Lease{Task: t, Try: 1})
		s.touch()
		return true
	})
}

// Close says that no more are submitted.
func (s *Shared) Close() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.closed = true
	s.touch()
}

// Next waits for a task.
func (s *Shared) Next(ctx context.Context) (l Lease, err error) {
	end := false
	err = s.until(ctx, func() bool {
		if len(s.waiting) == 0 {
			end = s.closed && s.out == 0
			return end
		}
		l, s.waiting = s.waiting[0], s.waiting[1:]
		s.out++
		s.touch()
		return true
	})
	if err == nil && end {
		err = io.EOF
	}
	return l, err
}

// Heartbeat counts.
func (s *Shared) Heartbeat(Lease) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.beats++
}

// Complete ends a task.
func (s *Shared) Complete(Lease) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.out--
	s.touch()
}

// Fail ends a task, or has it tried again behind those that wait.
func (s *Shared) Fail(l Lease, _ error, forGood bool) (aside bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.out--
	aside = forGood || l.Try >= MostTries
	if !aside {
		l.Try++
		s.waiting = append(s.waiting, l)
	}
	s.touch()
	return aside
}
