package crew

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"emberbank/farm"

	"github.com/nats-io/nats.go/jetstream"
)

// Offer is a study that is offered.
type Offer struct {
	Name    string // as people know it
	Place   string // names the study among all: the folder of its results and the machine. A later start has the same
	Program string // who runs it has the same
	Run     string // the run file, among the files
	Files   *Seen  // what its variants are built from
}

// offered is what stands in the bucket of studies.
type offered struct {
	Name    string `json:"name"`
	Program string `json:"program"`
}

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
	stop      context.CancelFunc
	watch     sync.WaitGroup
}

var _ farm.Queue = (*Queue)(nil)

// Offer opens a study's queue, or takes over that of an earlier start.
func (l *Link) Offer(ctx context.Context, o Offer) (*Queue, error) {
	q := &Queue{link: l, offer: o, study: token(o.Place + "\n" + o.Program), changed: make(chan struct{}), lying: map[string]order{}}
	one, done := context.WithTimeout(ctx, 20*time.Second)
	defer done()
	var err error
	q.tasks, err = l.js.CreateOrUpdateConsumer(one, tasks, jetstream.ConsumerConfig{
		Durable: q.study, FilterSubject: taskSubject + q.study + ".*", AckPolicy: jetstream.AckExplicitPolicy,
		AckWait: l.pace.Silence, MaxDeliver: -1, MaxAckPending: 10000, MaxWaiting: 4096,
	})
	if err != nil {
		return nil, l.trouble("offering the study", err)
	}
	watch, stop := context.WithCancel(context.WithoutCancel(ctx))
	q.stop = stop
	q.asked = newPull(watch, q.tasks)
	if l.closed() {
		return q, nil
	}
	// A new one, so that what an earlier start had in hand when it died comes at once.
	if err := l.js.DeleteConsumer(one, results, q.study); err != nil && !errors.Is(err, jetstream.ErrConsumerNotFound) {
		stop()
		return nil, l.trouble("offering the study", err)
	}
	records, err := l.js.CreateOrUpdateConsumer(one, results, jetstream.ConsumerConfig{
		Durable: q.study, FilterSubject: resultSubject + q.study + ".*", AckPolicy: jetstream.AckExplicitPolicy,
		AckWait: time.Minute, MaxDeliver: -1,
	})
	if err == nil {
		q.come = newPull(watch, records)
		q.waits, err = q.left(one)
	}
	if err == nil {
		q.store, err = l.js.ObjectStore(one, files)
	}
	var kv jetstream.KeyValue
	if err == nil {
		kv, err = l.js.KeyValue(one, studies)
	}
	var entry []byte
	if err == nil {
		entry, err = json.Marshal(offered{o.Name, o.Program})
	}
	if err == nil {
		_, err = kv.Put(one, q.study, entry)
	}
	if err != nil {
		stop()
		return nil, l.trouble("offering the study", err)
	}
	q.watch.Go(func() { q.stay(watch, kv, entry) })
	return q, nil
}

// waiting are the ids of the study's messages in a stream.
func (q *Queue) waiting(ctx context.Context, stream, before string) (map[string]bool, error) {
	s, err := q.link.js.Stream(ctx, stream)
	if err != nil {
		return nil, err
	}
	before += q.study + "."
	info, err := s.Info(ctx, jetstream.WithSubjectFilter(before+"*"))
	if err != nil {
		return nil, err
	}
	ids := map[string]bool{}
	for subject := range info.State.Subjects {
		ids[strings.TrimSuffix(strings.TrimPrefix(subject, before), back)] = true
	}
	return ids, nil
}

// left are the ids that an earlier start has submitted: as tasks or, put there before they are taken from these, as results.
func (q *Queue) left(ctx context.Context) (map[string]bool, error) {
	asked, err := q.waiting(ctx, tasks, taskSubject)
	if err != nil {
		return nil, err
	}
	come, err := q.waiting(ctx, results, resultSubject)
	maps.Copy(asked, come)
	return asked, err
}

// renew submits again what a server has lost that broke down.
func (q *Queue) renew(ctx context.Context) error {
	q.mu.Lock()
	lying := maps.Clone(q.lying)
	q.mu.Unlock()
	there, err := q.left(ctx)
	if err != nil {
		return err
	}
	for id, o := range lying {
		q.mu.Lock()
		_, lies := q.lying[id]
		q.mu.Unlock()
		if !lies || there[id] {
			continue
		}
		if _, err := q.publish(ctx, o); err != nil {
			return err
		}
	}
	return nil
}

// stay says every now and then that the study is there, and asks how many are at it.
func (q *Queue) stay(ctx context.Context, kv jetstream.KeyValue, entry []byte) {
	for n := 1; pause(ctx, 2*time.Second); n++ {
		one, done := context.WithTimeout(ctx, 2*time.Second)
		if info, err := q.tasks.Info(one); err == nil {
			q.out.Store(int64(info.NumAckPending))
		}
		if n%10 == 0 {
			_, _ = kv.Put(one, q.study, entry) // the next will do
		}
		if n%30 == 0 {
			_ = q.renew(one) // likewise
		}
		done()
	}
}

// Close ends the queue. A study that is done leaves nothing; one that was stopped leaves the records that workers still
// hand in, for a later start.
func (q *Queue) Close(done bool) {
	q.stop()
	q.watch.Wait()
	if q.link.closed() {
		return
	}
	ctx, stop := context.WithTimeout(context.Background(), 10*time.Second)
	defer stop()
	// What fails here is old after some days, and thrown away by the server.
	if s, err := q.link.js.Stream(ctx, tasks); err == nil {
		_ = s.Purge(ctx, jetstream.WithPurgeSubject(taskSubject+q.study+".*"))
	}
	if kv, err := q.link.js.KeyValue(ctx, studies); err == nil {
		_ = kv.Delete(ctx, q.study)
	}
	if !done {
		return
	}
	_ = q.link.js.DeleteConsumer(ctx, tasks, q.study)
	if s, err := q.link.js.Stream(ctx, results); err == nil {
		_ = s.Purge(ctx, jetstream.WithPurgeSubject(resultSubject+q.study+".*"))
	}
	_ = q.link.js.DeleteConsumer(ctx, results, q.study)
	if all, err := q.store.List(ctx); err == nil {
		for _, o := range all {
			if strings.HasPrefix(o.Name, q.study+".") {
				_ = q.store.Delete(ctx, o.Name)
			}
		}
	}
}

// Submit adds a task.
func (q *Queue) Submit(ctx context.Context, t farm.Task) error {
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
	_, err := q.publish(ctx, o)
	return err
}

// publish puts a task into the queue, with the files that it is built from, unless it lies there.
func (q *Queue) publish(ctx context.Context, o order) (lies bool, err error) {
	if !q.link.closed() {
		if o.Files, err = q.sendFiles(ctx); err != nil {
			return false, err
		}
	}
	text, err := json.Marshal(o)
	if err != nil {
		return false, fmt.Errorf("submitting a variant: %w", err)
	}
	err = until(ctx, func(ctx context.Context) error {
		_, err := q.link.js.Publish(ctx, taskSubject+q.study+"."+o.id(), text)
		if lies = there(err); err != nil && !lies {
			return q.link.trouble("submitting a variant", err)
		}
		return nil
	})
	return lies, err
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
	err = until(ctx, func(ctx context.Context) error {
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
	q.mu.Lock()
	defer q.mu.Unlock()
	if _, lay := q.lying[id]; lay {
		delete(q.lying, id)
		close(q.changed)
		q.changed = make(chan struct{})
	}
}

// Next waits for a task to be run in this process.
func (q *Queue) Next(ctx context.Context) (farm.Lease, error) {
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

// Complete ends a task. Where the word is lost the task comes again, and is found to be done.
func (q *Queue) Complete(l farm.Lease) error {
	h := l.Handle.(*hold)
	h.let()
	q.here.Add(-1)
	_ = h.msg.Ack()
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
	if q.link.closed() {
		<-ctx.Done()
	}
	for {
		m, err := q.come.next(ctx)
		if err != nil {
			return farm.Arrival{}, err
		}
		p, object, err := q.open(ctx, m)
		if err != nil {
			if ctx.Err() == nil {
				_ = m.Nak()
				pause(ctx, time.Second)
			}
			continue
		}
		keep := func() { q.kept(ctx, m, object) }
		if p.Again != nil {
			q.again(ctx, m, p.Again, keep)
			continue
		}
		return farm.Arrival{Key: p.Key, Record: p.Record, Aside: p.Aside, Seconds: p.Seconds, Keep: keep}, nil
	}
}

// again puts a task back into the queue. Where it still lies there its worker has not let go yet, or has died while it did,
// and then it comes again by itself.
func (q *Queue) again(ctx context.Context, m jetstream.Msg, o *order, keep func()) {
	lies, err := q.publish(ctx, *o)
	about, wrong := m.Metadata()
	switch {
	case err != nil:
		_ = m.Nak()
	case lies && wrong == nil && about.NumDelivered < 10:
		_ = m.NakWithDelay(500 * time.Millisecond)
	default:
		keep()
	}
}

// open unpacks a message of the results, or the object that it names. An error means that it may be tried again.
func (q *Queue) open(ctx context.Context, m jetstream.Msg) (p parcel, object string, err error) {
	raw := m.Data()
	if object = m.Headers().Get(objectHeader); object != "" {
		one, done := context.WithTimeout(ctx, time.Minute)
		defer done()
		if raw, err = q.store.GetBytes(one, object); err != nil {
			raw = nil
			if !lost(err) {
				return p, object, err
			}
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
