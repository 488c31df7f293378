package crew

import (
	"context"
	"errors"
	"time"
)

// Broken says that a queue's server is there, and no longer keeps or hands out what it should.
type Broken struct {
	Own bool // it is a part of this process
	Err error
}

func (b *Broken) Error() string { return "the queue's server no longer works: " + b.Err.Error() }

func (b *Broken) Unwrap() error { return b.Err }

const (
	// patienceHere is how long a server in this process may leave a call unanswered, or hand out nothing of what waits. It is
	// longer than a task stays with a worker that says nothing.
	patienceHere = 15 * time.Second
	// patienceAbroad is the same for one that others join, while the line to it stands. It is longer than a cluster needs to
	// agree on who leads.
	patienceAbroad = 2 * time.Minute
)

// whileWell is a context that ends with the server, too: its cause is then why.
func (l *Link) whileWell(ctx context.Context) (context.Context, context.CancelFunc) {
	one, cancel := context.WithCancelCause(ctx)
	stop := context.AfterFunc(l.well, func() { cancel(context.Cause(l.well)) })
	return one, func() {
		stop()
		cancel(nil)
	}
}

// spell is a time in which a server that can be reached answered nothing but errors.
type spell struct{ since span }

// span is a stretch of time that was begun, or none.
type span struct {
	left context.Context
	end  context.CancelFunc
}

func (s *span) begin(d time.Duration) {
	s.drop()
	s.left, s.end = context.WithTimeout(context.Background(), d)
}

func (s *span) drop() {
	if s.end != nil {
		s.end()
	}
	*s = span{}
}

func (s *span) over() bool { return s.left != nil && s.left.Err() != nil }

// lasts takes the outcome of a call. Its error says that there was no good one for longer than the link's patience. A server
// that is away is none that answers errors: it is waited for.
func (s *spell) lasts(l *Link, err error) error {
	switch {
	case err == nil || !l.conn.IsConnected():
		s.since.drop()
	case s.since.left == nil:
		s.since.begin(l.patience)
	case s.since.over():
		if errors.Is(err, context.DeadlineExceeded) {
			err = errors.New("it does not answer")
		}
		return &Broken{l.own != nil, err}
	}
	return nil
}
