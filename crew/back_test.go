package crew

import (
	"context"
	"testing"
	"time"

	"emberbank/farm"

	"github.com/nats-io/nats.go/jetstream"
)

// hands is a worker of which every step is taken by the test, and the study whose task it takes: the only one.
func hands(t *testing.T) (l *Link, q *Queue, w *labour) {
	t.Helper()
	l, a := opened(t)
	ctx := context.Background()
	q, _ = offered1(t, l, empty())
	if err := q.Submit(ctx, farm.Task{Number: 3, Key: "the key"}); err != nil {
		t.Fatal(err)
	}
	other, err := Join(ctx, a)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(other.Close)
	w = &labour{Worker: &Worker{Link: other, Program: program}}
	if w.store, err = other.js.ObjectStore(ctx, files); err == nil {
		if w.kv, err = other.js.KeyValue(ctx, studies); err == nil {
			err = w.look(ctx)
		}
	}
	if err != nil || len(w.mine) != 1 {
		t.Fatalf("%d studies, %v", len(w.mine), err)
	}
	collect, stop := context.WithCancel(ctx)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		for collect.Err() == nil {
			if arrived, err := q.Arrived(collect); err == nil {
				t.Errorf("%+v arrives", arrived)
			}
		}
	}()
	t.Cleanup(func() {
		stop()
		<-ended
		q.Close(true)
	})
	return l, q, w
}

// taken is the task, which has to come soon: long before a study looks for what is lost.
func (l *labour) taken(t *testing.T) *hold {
	t.Helper()
	h, err := take(context.Background(), l.mine[0].tasks, 10*time.Second, abroad)
	if err != nil || h == nil {
		t.Fatalf("the task is lost, %v", err)
	}
	t.Cleanup(h.let)
	return h
}

// TestATaskThatIsHandedBackAtOnceIsNotLost: again and again, before the study has done with the last time.
func TestATaskThatIsHandedBackAtOnceIsNotLost(t *testing.T) {
	_, _, w := hands(t)
	ctx := context.Background()
	for range 100 {
		h := w.taken(t)
		if h.try != 1 {
			t.Fatalf("it is tried for the %d. time", h.try)
		}
		if err := w.handIn(ctx, w.mine[0], h, parcel{Key: h.Key, Again: &h.order}); err != nil {
			t.Fatal(err)
		}
		h.let()
	}
}

// TestATaskIsNotLostWithAWorkerThatIsSlowToLetGo: it has handed back its task, and ends it when another has it.
func TestATaskIsNotLostWithAWorkerThatIsSlowToLetGo(t *testing.T) {
	l, _, w := hands(t)
	ctx := context.Background()
	first := w.taken(t)
	slow := *first
	slow.msg = unended{first.msg}
	if err := w.handIn(ctx, w.mine[0], &slow, parcel{Key: slow.Key, Again: &slow.order}); err != nil {
		t.Fatal(err)
	}
	second := w.taken(t)
	end(ctx, first.msg)
	if st, err := l.js.Stream(ctx, tasks); err != nil || st.CachedInfo().State.Msgs != 1 {
		t.Errorf("the task is not there any more, %v", err)
	}
	if second.try != 1 {
		t.Errorf("it is tried for the %d. time", second.try)
	}
}

// unended is a message whose end does not reach the server.
type unended struct{ jetstream.Msg }

func (unended) DoubleAck(context.Context) error { return nil }

// TestATaskThatWasEndedMayBeSubmittedAtOnce: it is not taken for the one that was ended, also where an earlier start has left that.
func TestATaskThatWasEndedMayBeSubmittedAtOnce(t *testing.T) {
	ctx, stop := context.WithTimeout(context.Background(), atMost)
	defer stop()
	l, _ := opened(t)
	dead, _ := offered1(t, l, empty())
	task := farm.Task{Number: 3, Key: "the key"}
	if err := dead.Submit(ctx, task); err != nil {
		t.Fatal(err)
	}
	dead.stop()
	dead.watch.Wait()
	q, _ := offered1(t, l, empty())
	defer q.Close(true)
	for n := range 200 {
		lease, err := q.Next(ctx)
		if err != nil {
			t.Fatalf("after %d times the task is lost: %v", n, err)
		}
		if err := q.Complete(lease); err != nil {
			t.Fatal(err)
		}
		if err := q.Submit(ctx, task); err != nil {
			t.Fatal(err)
		}
	}
}
