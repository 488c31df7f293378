package crew

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"slices"
	"sync"

	"emberbank/farm"
)

// spared is the queue of a study that nobody can join, with one in memory to spare: that takes over when the server refuses
// what it is given, leaves it unanswered, or hands out nothing of what waits. Tasks in hand stay there; those that wait are
// moved. A task may so be run twice, which changes nothing.
type spared struct {
	*Queue
	told func(string)

	mu     sync.Mutex
	memory *farm.Shared    // nil: the server keeps the queue
	hands  map[string]bool // ids of the server's tasks that are in hand
	last   span            // begun when a task was last submitted or handed out
}

// WithSpare returns the queue with one in memory to spare. That it was needed is told once. A queue that others can join
// has none: it is returned as it is.
func WithSpare(q *Queue, told func(string)) farm.Queue {
	if !q.link.closed() {
		return q
	}
	return &spared{Queue: q, told: told, hands: map[string]bool{}}
}

// spare is the queue in memory, if it has taken over.
func (s *spared) spare() *farm.Shared {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.memory
}

// turn lets the queue in memory take over.
func (s *spared) turn(why error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.memory != nil {
		return
	}
	s.Queue.mu.Lock()
	lying := maps.Clone(s.lying)
	s.Queue.mu.Unlock()
	maps.DeleteFunc(lying, func(id string, _ order) bool { return s.hands[id] })
	memory := farm.NewShared(room) // no more lie there
	for _, o := range slices.SortedFunc(maps.Values(lying), func(a, b order) int { return cmp.Compare(a.Number, b.Number) }) {
		_ = memory.Submit(context.Background(), farm.Task{Number: o.Number, Key: o.Key, Limit: o.Limit, Settings: o.Settings})
	}
	s.memory = memory
	s.link.fail(why)
	s.told("the queue goes on in memory alone: " + why.Error())
}

// touched notes that the queue has moved.
func (s *spared) touched() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.last.begin(s.link.patience)
}

// Submit adds a task.
func (s *spared) Submit(ctx context.Context, t farm.Task) error {
	if s.spare() == nil {
		s.touched()
		err := s.Queue.Submit(ctx, t)
		if err == nil || ctx.Err() != nil {
			s.touched()
			return err
		}
		s.turn(err)
	}
	return s.spare().Submit(ctx, t)
}

// Next waits for a task.
func (s *spared) Next(ctx context.Context) (farm.Lease, error) {
	for s.spare() == nil {
		one, stop := context.WithTimeout(ctx, s.link.patience/4)
		l, err := s.Queue.Next(one)
		stop()
		switch {
		case err == nil && s.take(l):
			return l, nil
		case err == nil:
		case ctx.Err() != nil:
			return farm.Lease{}, err
		case !errors.Is(err, context.DeadlineExceeded):
			s.turn(err)
		case s.stalled():
			s.turn(&Broken{true, errors.New("it hands out nothing")})
		}
	}
	return s.spare().Next(ctx)
}

// take notes that a task is in hand; false: it is in the queue in memory meanwhile.
func (s *spared) take(l farm.Lease) bool {
	h := l.Handle.(*hold)
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.memory != nil {
		h.let()
		return false
	}
	s.hands[h.id()] = true
	s.last.begin(s.link.patience)
	return true
}

// stalled tells whether tasks wait, and none has moved for too long.
func (s *spared) stalled() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.Queue.mu.Lock()
	defer s.Queue.mu.Unlock()
	return len(s.lying) > len(s.hands) && s.last.over()
}

// letGo notes that a task of the server's is no longer in hand.
func (s *spared) letGo(id string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.hands, id)
}

// Complete ends a task, of whichever queue it came from.
func (s *spared) Complete(l farm.Lease) error {
	h, served := l.Handle.(*hold)
	if !served {
		return s.spare().Complete(l)
	}
	defer s.letGo(h.id())
	return s.Queue.Complete(l)
}

// Release hands a task back, to the queue that is there now.
func (s *spared) Release(l farm.Lease) {
	h, served := l.Handle.(*hold)
	if served {
		s.Queue.Release(l)
		s.letGo(h.id())
	}
	if m := s.spare(); m != nil {
		l.Handle = nil
		m.Release(l)
	}
}

// Arrived waits for the end: nobody works elsewhere.
func (s *spared) Arrived(ctx context.Context) (farm.Arrival, error) {
	<-ctx.Done()
	return farm.Arrival{}, context.Cause(ctx)
}
