package crew

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"time"

	"emberbank/farm"
	"emberbank/heat"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
	"github.com/nats-io/nuid"
)

// Worker runs what others offer.
type Worker struct {
	Link    *Link
	Program string // it runs what was offered by the same
	Workers int    // at a time
	Build   func(fsys fs.FS, run string, settings []farm.Setting) (heat.Problem, error)
	Run     func(ctx context.Context, p heat.Problem) (*heat.Result, error)
	Idle    time.Duration  // it ends when there was nothing to run for so long; 0: never
	Seconds func() float64 // s, of a clock that does not jump
	Told    func(Done)     // one call at a time; may be nil
}

// Done is a variant that was run, or how a worker stands.
type Done struct {
	Study   string // its name
	Key     string
	Failure string
	Seconds float64
}

// look is how often a worker looks what is offered, when it has nothing to do.
const look = 2 * time.Second

// labour is a worker under way.
type labour struct {
	*Worker
	store jetstream.ObjectStore
	kv    jetstream.KeyValue

	mu      sync.Mutex
	mine    []*source // by study
	bundles map[string]fs.FS
}

// source is a study that is offered by the same program.
type source struct {
	study, name string
	tasks       jetstream.Consumer
}

// Work runs what is offered until the context ends, there was nothing for as long as is said, or there is nothing but what
// other programs offer, which is refused.
func (w *Worker) Work(ctx context.Context) error {
	l := &labour{Worker: w, bundles: map[string]fs.FS{}}
	var err error
	if l.store, err = w.Link.js.ObjectStore(ctx, files); err == nil {
		l.kv, err = w.Link.js.KeyValue(ctx, studies)
	}
	if err == nil {
		err = l.look(ctx)
	}
	if err != nil {
		return err
	}
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	var wg sync.WaitGroup
	for i := range max(1, w.Workers) {
		wg.Go(func() {
			if err := l.one(ctx, i); err != nil {
				cancel(err)
			}
		})
	}
	wg.Wait()
	return context.Cause(ctx)
}

// look reads what is offered. What only others can run is refused.
func (l *labour) look(ctx context.Context) error {
	keys, err := l.kv.Keys(ctx)
	if err != nil && !errors.Is(err, jetstream.ErrNoKeysFound) {
		return err
	}
	slices.Sort(keys)
	var mine []*source
	var other *offered
	for _, k := range keys {
		e, err := l.kv.Get(ctx, k)
		if err != nil {
			continue // it has just gone
		}
		var o offered
		if json.Unmarshal(e.Value(), &o) != nil {
			continue
		}
		if o.Program != l.Program {
			other = &o
			continue
		}
		if c, err := l.js().Consumer(ctx, tasks, k); err == nil {
			mine = append(mine, &source{k, o.Name, c})
		}
	}
	if len(mine) == 0 && other != nil {
		return &Refused{
			fmt.Sprintf("the study %s is run by emberbank %s; this is emberbank %s, whose results may differ in their last digits", other.Name, other.Program, l.Program),
			"let the study and all its workers run the same file of the program on the same kind of processor; EMBERBANK_KERNEL=go on all makes the loops alike",
		}
	}
	l.mu.Lock()
	l.mine = mine
	l.mu.Unlock()
	return nil
}

func (l *labour) js() jetstream.JetStream { return l.Link.js }

// one takes tasks, from the studies in turn, and runs them.
func (l *labour) one(ctx context.Context, number int) error {
	busy := l.Seconds()
	for turn := number; ctx.Err() == nil; turn++ {
		l.mu.Lock()
		mine := l.mine
		l.mu.Unlock()
		var h *hold
		var from *source
		var err error
		wait := look / time.Duration(max(1, len(mine)))
		for k := range mine {
			from = mine[(turn+k)%len(mine)]
			if h, err = take(ctx, from.tasks, wait, l.pace(from)); h != nil || err != nil {
				break
			}
		}
		if h != nil {
			if err := l.run(ctx, from, h); err != nil {
				return err
			}
			busy = l.Seconds()
			continue
		}
		if err != nil || len(mine) == 0 {
			pause(ctx, look)
		}
		if l.Idle > 0 && l.Seconds()-busy >= l.Idle.Seconds() {
			return nil
		}
		if number == 0 || len(mine) > 0 && err != nil {
			one, done := context.WithTimeout(ctx, 5*time.Second)
			err := l.look(one)
			done()
			var refused *Refused
			if errors.As(err, &refused) {
				return err
			}
		}
	}
	return nil
}

// pace is that which the study has set.
func (l *labour) pace(s *source) Pace {
	wait := s.tasks.CachedInfo().Config.AckWait
	return Pace{wait, wait / 4}
}

// run runs a task and hands in what it gave.
func (l *labour) run(ctx context.Context, from *source, h *hold) error {
	defer h.let()
	p := parcel{Key: h.Key}
	began := l.Seconds()
	var problem heat.Problem
	var err error
	lost := h.try > farm.MostTries
	if !lost { // building may be what kills
		problem, err = l.problem(ctx, h)
	}
	switch {
	case lost:
		p.Aside = farm.AsideText
	case err == nil:
		if p.Record, err = farm.Compute(ctx, l.Run, problem, h.Limit); err == nil {
			p.Record.Run, p.Record.Settings = h.order.Run, h.Settings
		}
	case ctx.Err() == nil:
		p.Aside, err = "set aside: "+err.Error(), nil
	}
	if err != nil || ctx.Err() != nil && p.Record == nil { // it is stopped: others go on with it
		back, stop := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
		defer stop()
		p = parcel{Key: h.Key, Again: &h.order}
		if l.handIn(back, from, h, p) != nil {
			_ = h.msg.Nak()
		}
		return nil
	}
	p.Seconds = l.Seconds() - began
	// Who is stopped now still hands in what is done, if the server listens.
	hand, stop := context.WithCancel(context.WithoutCancel(ctx))
	defer stop()
	go func() {
		<-ctx.Done()
		pause(hand, 5*time.Second)
		stop()
	}()
	if err := l.Link.carry(hand, p.numbers(), func(ctx context.Context) error { return l.handIn(ctx, from, h, p) }); err != nil {
		_ = h.msg.Nak()
		return err
	}
	if l.Told != nil {
		d := Done{Study: from.name, Key: h.Key, Seconds: p.Seconds, Failure: p.Aside}
		if p.Record != nil {
			d.Failure = p.Record.Failure
		}
		l.mu.Lock()
		defer l.mu.Unlock()
		l.Told(d)
	}
	return nil
}

// problem builds the problem of a task, and makes sure that it is the one that was meant.
func (l *labour) problem(ctx context.Context, h *hold) (heat.Problem, error) {
	fsys, err := l.files(ctx, h.Files)
	if err != nil {
		return heat.Problem{}, err
	}
	p, err := l.Build(fsys, h.order.Run, h.Settings)
	if err == nil && farm.Key(&p, l.Program) != h.Key {
		err = errors.New("the worker builds another problem from it than the study, which is a mistake of the program")
	}
	return p, err
}

// files fetches the files that a task is built from; the last few stay at hand.
func (l *labour) files(ctx context.Context, name string) (fs.FS, error) {
	l.mu.Lock()
	fsys := l.bundles[name]
	l.mu.Unlock()
	if fsys != nil {
		return fsys, nil
	}
	raw, err := l.Link.fetchObject(ctx, l.store, name)
	if err == nil && raw == nil {
		err = &Refused{Why: "its input files are not on the server any more"}
	}
	if err != nil {
		return nil, err
	}
	if fsys, err = unbundle(raw); err != nil {
		return nil, err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.bundles) >= 8 {
		clear(l.bundles)
	}
	l.bundles[name] = fsys
	return fsys, nil
}

// handIn puts a parcel on the server and ends the task. What another has handed in stays.
func (l *labour) handIn(ctx context.Context, from *source, h *hold, p parcel) error {
	raw, err := pack(p)
	if err != nil {
		return err
	}
	text, err := json.Marshal(h.order)
	if err != nil {
		return fmt.Errorf("handing in a record: %w", err)
	}
	m := nats.NewMsg(resultSubject + from.study + "." + h.id())
	if p.Again != nil { // a word of its own: who runs it next shall find its place free
		m.Subject += back
	}
	m.Header.Set(orderHeader, string(text))
	m.Data = raw
	if len(raw) > onTheLine {
		object := strings.Join([]string{from.study, h.id(), nuid.Next()}, ".")
		if _, err := l.store.PutBytes(ctx, object, raw); err != nil {
			return l.Link.trouble("handing in a record", err)
		}
		m.Header.Set(objectHeader, object)
		m.Data = nil
	}
	_, err = l.js().PublishMsg(ctx, m)
	if object := m.Header.Get(objectHeader); err != nil && object != "" {
		_ = l.store.Delete(ctx, object)
	}
	if err != nil && !there(err) {
		return l.Link.trouble("handing in a record", err)
	}
	end(ctx, h.msg)
	return nil
}
