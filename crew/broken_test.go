package crew

import (
	"context"
	"errors"
	"testing"
	"time"

	"emberbank/farm"
)

// alone is a queue that nobody joins, the job of which runs in this process, and how often it was said that memory took over.
func alone(t *testing.T, s *shelf) (l *Link, q *Queue, j *farm.Job, told *int) {
	t.Helper()
	l, err := Serve(context.Background(), t.TempDir(), nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(l.Close)
	l.patience = 500 * time.Millisecond
	q, j = offered1(t, l, s)
	t.Cleanup(func() { q.Close(true) })
	told = new(int)
	j.Queue, j.Workers = WithSpare(q, func(string) { *told++ }), 2
	return l, q, j, told
}

// TestAServerThatFailsIsReplacedByMemory: it loses the stream of tasks, or the consumer by which they are handed out, before
// the study begins or in the middle, or says that it can write no more. Outcomes are the undisturbed ones.
func TestAServerThatFailsIsReplacedByMemory(t *testing.T) {
	ctx := context.Background()
	for name, fail := range map[string]func(l *Link, q *Queue) error{
		"stream":   func(l *Link, _ *Queue) error { return l.js.DeleteStream(ctx, tasks) },
		"consumer": func(l *Link, q *Queue) error { return l.js.DeleteConsumer(ctx, tasks, q.study) },
		"word": func(l *Link, _ *Queue) error {
			ear{l.own}.Errorf("Critical write error: %s", "file too large")
			return nil
		},
	} {
		for _, after := range []int64{0, 7} {
			s := empty()
			l, q, j, told := alone(t, s)
			failed := false
			j.Progress = func(p farm.Progress) {
				if !failed && p.Done >= after {
					failed = true
					if err := fail(l, q); err != nil {
						t.Error(err)
					}
				}
			}
			same(t, worked(t, j), s)
			if *told != 1 {
				t.Errorf("%s, after %d variants: told %d times", name, after, *told)
			}
		}
	}
}

func TestAQueueThatWorksIsNotReplaced(t *testing.T) {
	s := empty()
	_, q, j, told := alone(t, s)
	same(t, worked(t, j), s)
	if *told != 0 || q.ended.Load() != variants {
		t.Errorf("told %d times, %d variants went through the server", *told, q.ended.Load())
	}
}

// TestAServerElsewhereThatAnswersErrorsEndsTheStudy: nobody is at a variant, and what hands them out is gone.
func TestAServerElsewhereThatAnswersErrorsEndsTheStudy(t *testing.T) {
	_, a := opened(t)
	l, err := Join(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	l.patience = time.Second
	q, j := offered1(t, l, empty())
	defer q.Close(true)
	if err := l.js.DeleteConsumer(context.Background(), tasks, q.study); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(context.Background(), atMost)
	defer stop()
	_, err = j.Work(ctx, 0, variants)
	var broken *Broken
	if !errors.As(err, &broken) || broken.Own {
		t.Errorf("it ends with %v", err)
	}
}
