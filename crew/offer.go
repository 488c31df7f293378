package crew

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"maps"
	"strings"
	"time"

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
		AckWait: l.pace.Silence, MaxDeliver: -1, // what was on its way here when a server went comes again so soon
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
		if err := q.publish(ctx, o); err != nil {
			return err
		}
	}
	return nil
}

// stay says every now and then that the study is there, and asks how many are at it.
func (q *Queue) stay(ctx context.Context, kv jetstream.KeyValue, entry []byte) {
	var read, write spell
	ended := int64(-1)
	for n := 1; pause(ctx, 2*time.Second); n++ {
		if now := q.ended.Load(); now != ended { // it gets on, whatever is answered
			ended = now
			read.since.drop()
			write.since.drop()
		}
		one, done := context.WithTimeout(ctx, 2*time.Second)
		info, err := q.tasks.Info(one)
		done()
		if err == nil {
			q.out.Store(int64(info.NumAckPending))
		}
		bad := read.lasts(q.link, err)
		if n%5 == 0 { // with time of its own: who leads there may be another, and workers see no study without its entry
			one, done := context.WithTimeout(ctx, aTry)
			_, err := kv.Put(one, q.study, entry) // the next will do
			done()
			bad = cmp.Or(bad, write.lasts(q.link, err))
		}
		if bad != nil {
			q.link.fail(bad)
		}
		if n%30 == 0 { // all may be lost, which takes longer than a word; an entry lives longer than both
			one, done := context.WithTimeout(ctx, 20*time.Second)
			_ = q.renew(one) // likewise
			done()
		}
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
