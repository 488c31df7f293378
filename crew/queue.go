package crew

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"emberbank/farm"

	"github.com/nats-io/nats.go/jetstream"
)

// room is how many variants lie in the queue at most.
const room = 1000

// Queue is a study's own side of the queue.
type Queue struct {
	link  *Link
	offer Offer
	study string // its word in subjects
	tasks jetstream.Consumer
	asked *pull // tasks for this process
	come  *pull // records from elsewhere
	store jetstream.ObjectStore

	mu      sync.Mutex
	changed chan struct{}    // closed when there is room again, then made anew
	lying   map[string]order // by id, what was submitted and has not come back
	waits   map[string]bool  // ids that an earlier start has submitted, and no record of which was kept
	bundle  string           // the object that holds the input files

	here, out atomic.Int64 // leases in this process; in all
	ended     atomic.Int64 // tasks
	stop      context.CancelFunc
	watch     sync.WaitGroup
}

var _ farm.Queue = (*Queue)(nil)

// Submit adds a task.
func (q *Queue) Submit(ctx context.Context, t farm.Task) error {
	ctx, well := q.link.whileWell(ctx)
	defer well()
	o := order{Number: t.Number, Key: t.Key, Limit: t.Limit, Settings: t.Settings, Run: q.offer.Run}
	id := o.id()
	for {
		q.mu.Lock()
		changed, free := q.changed, len(q.lying) < room
		if free {
			q.lying[id] = o
		}
		come := q.waits[id]
		delete(q.waits, id)
		q.mu.Unlock()
		if come {
			return nil
		}
		if free {
			break
		}
		select {
		case <-changed:
		case <-ctx.Done():
			return context.Cause(ctx)
		}
	}
	return q.publish(ctx, o)
}

// publish puts a task into the queue, with the files that it is built from, unless it lies there.
func (q *Queue) publish(ctx context.Context, o order) (err error) {
	if !q.link.closed() {
		if o.Files, err = q.sendFiles(ctx); err != nil {
			return err
		}
	}
	text, err := json.Marshal(o)
	if err != nil {
		return fmt.Errorf("submitting a variant: %w", err)
	}
	return q.link.until(ctx, func(ctx context.Context) error {
		if _, err := q.link.js.Publish(ctx, taskSubject+q.study+"."+o.id(), text); err != nil && !there(err) {
			return q.link.trouble("submitting a variant", err)
		}
		return nil
	})
}

// sendFiles makes sure that the input files are on the server, and returns their object's name.
func (q *Queue) sendFiles(ctx context.Context) (string, error) {
	raw, err := q.offer.Files.bundle()
	if err != nil {
		return "", err
	}
	name := q.study + ".files." + token(string(raw))
	q.mu.Lock()
	known := q.bundle == name
	q.mu.Unlock()
	if known {
		return name, nil
	}
	err = q.link.carry(ctx, len(raw), func(ctx context.Context) error {
		if _, err := q.store.GetInfo(ctx, name); err == nil {
			return nil
		}
		if _, err := q.store.PutBytes(ctx, name, raw); err != nil {
			return q.link.trouble("sending the input files", err)
		}
		return nil
	})
	if err != nil {
		return "", err
	}
	q.mu.Lock()
	q.bundle = name
	q.mu.Unlock()
	return name, nil
}

// gone makes room for another task.
func (q *Queue) gone(id string) {
	q.ended.Add(1)
	q.mu.Lock()
	defer q.mu.Unlock()
	delete(q.waits, id)
	if _, lay := q.lying[id]; lay {
		delete(q.lying, id)
		close(q.changed)
		q.changed = make(chan struct{})
	}
}

// Next waits for a task to be run in this process.
func (q *Queue) Next(ctx context.Context) (farm.Lease, error) {
	ctx, well := q.link.whileWell(ctx)
	defer well()
	for {
		m, err := q.asked.next(ctx)
		if err != nil {
			return farm.Lease{}, err
		}
		if h := holdOf(m, q.link.pace); h != nil {
			q.here.Add(1)
			return farm.Lease{Task: farm.Task{Number: h.Number, Key: h.Key, Limit: h.Limit, Settings: h.Settings}, Try: h.try, Handle: h}, nil
		}
	}
}

// Complete ends a task, and waits for the server's word: one that is submitted before would be taken for this one. Where the
// word is lost the task comes again, and is found to be done.
func (q *Queue) Complete(l farm.Lease) error {
	h := l.Handle.(*hold)
	h.let()
	q.here.Add(-1)
	end(context.Background(), h.msg)
	q.gone(h.id())
	return nil
}

// Release hands a task back.
func (q *Queue) Release(l farm.Lease) {
	h := l.Handle.(*hold)
	h.let()
	q.here.Add(-1)
	_ = h.msg.Nak() // else it comes again by itself
}

// Elsewhere is how many tasks are in the hands of workers elsewhere, as of some seconds ago.
func (q *Queue) Elsewhere() int64 { return max(0, q.out.Load()-q.here.Load()) }

// Arrived waits for a record from elsewhere.
func (q *Queue) Arrived(ctx context.Context) (farm.Arrival, error) {
	awaited, well := q.link.whileWell(ctx)
	defer well()
	if q.link.closed() {
		<-awaited.Done()
		return farm.Arrival{}, context.Cause(awaited)
	}
	for {
		m, err := q.come.next(awaited)
		if err != nil {
			return farm.Arrival{}, err
		}
		let := beat(q.come.ctx, m, q.link.pace)
		p, object, err := q.open(ctx, m)
		if err != nil {
			let()
			if ctx.Err() == nil {
				_ = m.Nak()
				pause(ctx, time.Second)
			}
			continue
		}
		if p.Again != nil {
			let()
			if err := q.again(ctx, m, p.Again, object); err != nil {
				_ = m.Nak()
				pause(ctx, time.Second)
			}
			continue
		}
		keep := func() {
			let()
			q.kept(ctx, m, object)
		}
		return farm.Arrival{Key: p.Key, Record: p.Record, Aside: p.Aside, Seconds: p.Seconds, Keep: keep}, nil
	}
}

// again puts a task back into the queue: first whatever lies there of it is taken off, whether its worker lets go later, or
// never, and then the message that asks for it. So whoever is handed the new one finds the place free in which to hand it
// back, and nobody ends it with the old one. Where the task is lost between, it is submitted again as lost.
func (q *Queue) again(ctx context.Context, m jetstream.Msg, o *order, object string) error {
	err := q.link.until(ctx, func(ctx context.Context) error {
		if err := q.link.erase(ctx, tasks, taskSubject+q.study+"."+o.id()); err != nil {
			return err
		}
		return q.link.erase(ctx, results, m.Subject())
	})
	if err != nil {
		return err
	}
	if object != "" {
		_ = q.store.Delete(ctx, object) // else it goes when the study is done
	}
	return q.publish(ctx, *o)
}

// open unpacks a message of the results, or the object that it names. An error means that it may be tried again.
func (q *Queue) open(ctx context.Context, m jetstream.Msg) (p parcel, object string, err error) {
	raw := m.Data()
	if object = m.Headers().Get(objectHeader); object != "" {
		if raw, err = q.link.fetchObject(ctx, q.store, object); err != nil {
			return p, object, err
		}
	}
	if p, err = unpack(raw); err != nil { // it is run once more
		var o order
		if err := json.Unmarshal([]byte(m.Headers().Get(orderHeader)), &o); err != nil {
			return p, object, errTorn
		}
		p = parcel{Key: o.Key, Again: &o}
	}
	return p, object, nil
}

// kept takes a record off the server, and the task with it where it was handed out once more meanwhile.
func (q *Queue) kept(ctx context.Context, m jetstream.Msg, object string) {
	id := m.Subject()[strings.LastIndex(m.Subject(), ".")+1:]
	end(ctx, m)
	if object != "" {
		_ = q.store.Delete(ctx, object) // else it goes when the study is done
	}
	q.gone(id)
}
