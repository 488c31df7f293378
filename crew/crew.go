// Package crew spreads a study over machines: a queue between who offers variants and who runs them, on NATS JetStream.
//
// The server is either a part of the study's own process (server.go), which listens to nobody unless it is asked to, or one
// that stands elsewhere. What lies on it:
//
//	stream EMBERBANK_TASKS     a message for each variant to run, until it is run: emberbank.task.STUDY.VARIANT
//	stream EMBERBANK_RESULTS   a message for each record until the study has kept it: emberbank.result.STUDY.VARIANT
//	bucket EMBERBANK_STUDIES   what is offered and by which program; an entry lives for a minute and is renewed
//	bucket EMBERBANK_FILES     input files, by their content, and records too large for a message
//
// Whoever takes a task says every few seconds that it is at it; when that stops the task is handed to another. A variant may
// so be run twice: the first record that is kept stays, and equal inputs give equal bytes. A task that was handed out three
// times in vain is set aside. A worker runs only what a program of the very same file and loops offers (programs differ in
// their last digits), and refuses to go on where there is nothing but others'.
//
// The queue is no record of anything: that is the study's folder. Whatever is lost here is submitted again.
//
// Left out: certificates of clients, and a choice on which servers of a cluster streams are kept.
package crew

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
	"syscall"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

const (
	tasks, results, studies, files = "EMBERBANK_TASKS", "EMBERBANK_RESULTS", "EMBERBANK_STUDIES", "EMBERBANK_FILES"
	taskSubject, resultSubject     = "emberbank.task.", "emberbank.result."

	// keptFor is how long a server keeps what nobody fetches.
	keptFor = 30 * 24 * time.Hour
	// offerLives is how long a study is seen that no longer says that it is there.
	offerLives = time.Minute
	// onTheLine is the largest record that goes as one message; a server takes 1 MiB where nothing else is set.
	onTheLine = 500_000
	// copies is on how many servers of a cluster a stream is kept, where there are so many.
	copies = 3
)

// Pace is how long a task stays with a worker that says nothing, and how often a worker speaks.
type Pace struct{ Silence, Beat time.Duration }

var (
	atHome = Pace{5 * time.Second, time.Second}      // within one process
	abroad = Pace{12 * time.Second, 3 * time.Second} // between machines
)

// Refused says why there is no joining, and what would mend it.
type Refused struct{ Why, Fix string }

func (r *Refused) Error() string { return r.Why }

// Link is a connection to a server.
type Link struct {
	conn *nats.Conn
	js   jetstream.JetStream
	pace Pace
	own  *Server // nil: it stands elsewhere

	patience time.Duration           // how long errors are borne
	well     context.Context         // ended with a cause when the server no longer works
	fail     context.CancelCauseFunc // ends it
}

// token makes a text one that may stand in a subject.
func token(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:10])
}

// lay makes sure that the streams and buckets are there.
func (l *Link) lay(ctx context.Context) error {
	n := 1
	if l.conn.ConnectedClusterName() != "" && len(l.conn.Servers()) >= copies {
		n = copies
	}
	stream := jetstream.StreamConfig{
		Name: tasks, Subjects: []string{taskSubject + ">"}, Retention: jetstream.WorkQueuePolicy, Storage: jetstream.FileStorage,
		Discard: jetstream.DiscardNew, DiscardNewPerSubject: true, MaxMsgsPerSubject: 1, MaxAge: keptFor, Replicas: n,
	}
	if _, err := l.js.CreateOrUpdateStream(ctx, stream); err != nil {
		return l.trouble("laying out the queue", err)
	}
	if l.closed() {
		return nil
	}
	stream.Name, stream.Subjects = results, []string{resultSubject + ">"}
	if _, err := l.js.CreateOrUpdateStream(ctx, stream); err != nil {
		return l.trouble("laying out the queue", err)
	}
	if _, err := l.js.CreateOrUpdateKeyValue(ctx, jetstream.KeyValueConfig{Bucket: studies, TTL: offerLives, Replicas: n}); err != nil {
		return l.trouble("laying out the queue", err)
	}
	if _, err := l.js.CreateOrUpdateObjectStore(ctx, jetstream.ObjectStoreConfig{Bucket: files, TTL: keptFor, Replicas: n}); err != nil {
		return l.trouble("laying out the queue", err)
	}
	return nil
}

// closed tells whether nobody else can join.
func (l *Link) closed() bool { return l.own != nil && !l.own.open }

// Close ends the connection, and a server of one's own with it.
func (l *Link) Close() {
	l.conn.Close()
	if l.own != nil {
		l.own.stop()
	}
}

// Address is where others join; "" where they cannot.
func (l *Link) Address() string {
	if l.own != nil {
		return l.own.address
	}
	return l.conn.ConnectedUrlRedacted()
}

// trouble words what a server answered.
func (l *Link) trouble(doing string, err error) error {
	var api *jetstream.APIError
	switch text := strings.ToLower(err.Error()); {
	case l.own != nil && l.own.isFull() || strings.Contains(text, "no space left") || errors.As(err, &api) && api.ErrorCode == noRoom:
		if l.own != nil {
			return fmt.Errorf("%s: %w", doing, syscall.ENOSPC)
		}
		return fmt.Errorf("%s: the disk of the queue's server is full: %w", doing, err)
	case errors.Is(err, jetstream.ErrJetStreamNotEnabled) || errors.Is(err, jetstream.ErrJetStreamNotEnabledForAccount) || errors.Is(err, nats.ErrNoResponders):
		return &Refused{Why: "the server keeps no streams", Fix: `switch JetStream on in its configuration, for the account that is used: "jetstream {store_dir: …}"`}
	}
	return fmt.Errorf("%s: %w", doing, err)
}

// noRoom is the server's number for "insufficient resources".
const noRoom = 10023

// there tells whether an error says that the subject has its message already.
func there(err error) bool {
	return err != nil && strings.Contains(err.Error(), "maximum messages per subject exceeded")
}

// pause waits, and tells whether the context lives.
func pause(ctx context.Context, d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-ctx.Done():
		return false
	}
}

// aTry is how long one try of a call may take, and slowest the rate, in bytes per second, at which a line is taken to carry
// what goes with it.
const (
	aTry    = 5 * time.Second
	slowest = 500_000
)

// until tries something until it succeeds or the context ends: servers come back. One that is there and answers nothing but
// errors is given up.
func (l *Link) until(ctx context.Context, do func(context.Context) error) error {
	return l.carry(ctx, 0, do)
}

// carry is until for a call with which so many bytes go. A call that a server which has gone leaves unanswered is so made again
// soon; a line that is slower than was taken gets twice the time at each try.
func (l *Link) carry(ctx context.Context, bytes int, do func(context.Context) error) error {
	ctx, well := l.whileWell(ctx)
	defer well()
	var bad spell
	defer bad.since.drop()
	least := time.Duration(float64(bytes) / slowest * float64(time.Second))
	for {
		one, stop := context.WithTimeout(ctx, aTry+least)
		err := do(one)
		if one.Err() != nil {
			least *= 2
		}
		stop()
		var refused *Refused
		if err == nil || errors.Is(err, syscall.ENOSPC) || errors.As(err, &refused) {
			return err
		}
		if worn := bad.lasts(l, err); worn != nil {
			return worn
		}
		if !pause(ctx, time.Second) {
			return context.Cause(ctx)
		}
	}
}
