package crew

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// Headers of a result's message.
const (
	objectHeader = "Emberbank-Object" // where the record lies, if it is large
	orderHeader  = "Emberbank-Order"  // what was to be run
)

// back ends the word of a task that is handed back.
const back = "-back"

// hold is a task in the hands of a worker, which says so until it lets go.
type hold struct {
	order
	msg jetstream.Msg
	try int
	let context.CancelFunc
}

// fetch waits for one message; nil without an error: none came. What the server sends in the last moment still has a second to
// arrive, and what is on its way to who no longer waits is handed back: it would count as tried, and come again late.
func fetch(ctx context.Context, c jetstream.Consumer, wait time.Duration) (jetstream.Msg, error) {
	batch, err := c.Fetch(1, jetstream.FetchMaxWait(wait))
	if err != nil {
		return nil, err
	}
	select {
	case m := <-batch.Messages():
		if m != nil {
			return m, nil
		}
	case <-ctx.Done():
		go func() {
			for m := range batch.Messages() {
				_ = m.Nak() // else it comes again by itself
			}
		}()
		return nil, nil
	}
	if err := batch.Error(); err != nil && !errors.Is(err, nats.ErrTimeout) {
		return nil, err
	}
	return nil, nil
}

// take waits for one task and holds it; nil without an error: none came.
func take(ctx context.Context, c jetstream.Consumer, wait time.Duration, pace Pace) (*hold, error) {
	m, err := fetch(ctx, c, wait)
	if m == nil || err != nil {
		return nil, err
	}
	return holdOf(m, pace), nil
}

// holdOf holds a task; nil where nobody can read it: its study submits it again.
func holdOf(m jetstream.Msg, pace Pace) *hold {
	h := &hold{msg: m}
	about, err := m.Metadata()
	if err == nil {
		err = json.Unmarshal(m.Data(), &h.order)
	}
	if err != nil {
		_ = m.Term()
		return nil
	}
	h.try = int(about.NumDelivered)
	h.let = beat(context.Background(), m, pace)
	return h
}

// beat says every now and then that a message is in hand, until it is let go or the context ends.
func beat(ctx context.Context, m jetstream.Msg, pace Pace) (let context.CancelFunc) {
	held, let := context.WithCancel(ctx)
	go func() {
		for pause(held, pace.Beat) {
			_ = m.InProgress() // the next may get through
		}
	}()
	return let
}

// fetchObject brings the bytes of an object; nil without an error: it is not there, or not whole.
func (l *Link) fetchObject(ctx context.Context, store jetstream.ObjectStore, name string) (raw []byte, err error) {
	size := 0
	missing := func(err error) bool {
		return errors.Is(err, jetstream.ErrObjectNotFound) || errors.Is(err, jetstream.ErrDigestMismatch)
	}
	err = l.until(ctx, func(ctx context.Context) error {
		info, err := store.GetInfo(ctx, name)
		if err == nil {
			size = int(info.Size)
		} else if missing(err) {
			err = nil
		}
		return err
	})
	if err != nil || size == 0 {
		return nil, err
	}
	err = l.carry(ctx, size, func(ctx context.Context) (err error) {
		if raw, err = store.GetBytes(ctx, name); missing(err) {
			raw, err = nil, nil
		}
		return err
	})
	return raw, err
}

// end takes a message off its stream, and waits a while for the server's word. A server that was killed may have forgotten
// that it handed the message out, and says nothing: then it hands it out once more, which changes nothing.
func end(ctx context.Context, m jetstream.Msg) {
	one, stop := context.WithTimeout(ctx, 2*time.Second)
	defer stop()
	_ = m.DoubleAck(one)
}

// erase takes off a stream what lies there under a subject, if anything does.
func (l *Link) erase(ctx context.Context, stream, subject string) error {
	s, err := l.js.Stream(ctx, stream)
	for tries := 0; err == nil && tries < 2; tries++ { // another may have taken it off just before
		var m *jetstream.RawStreamMsg
		m, err = s.GetLastMsgForSubject(ctx, subject)
		if errors.Is(err, jetstream.ErrMsgNotFound) {
			return nil
		}
		if err == nil && s.DeleteMsg(ctx, m.Sequence) == nil {
			return nil
		}
	}
	if err == nil {
		err = errors.New("a message does not go")
	}
	return err
}
