package crew

import (
	"context"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/fstest"
	"time"

	"emberbank/farm"
	"emberbank/heat"
	"emberbank/history"
)

const program = "0, file made up"

// shelf is a store in memory.
type shelf struct {
	mu   sync.Mutex
	held map[string]*farm.Record
}

func empty() *shelf { return &shelf{held: map[string]*farm.Record{}} }

func (s *shelf) Load(key string) (*farm.Record, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.held[key], nil
}

func (s *shelf) Save(key string, r *farm.Record, _ float64) (*farm.Record, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.held[key] == nil {
		s.held[key] = r
	}
	return s.held[key], nil
}

const variants = 24

// inputs is a run file that holds a number, read by every variant.
var inputs = fstest.MapFS{"bench/run.yaml": {Data: []byte("2")}, "bench/other.yaml": {Data: []byte("never read")}}

// build makes a problem of a file and one setting.
func build(fsys fs.FS, run string, set []farm.Setting) (heat.Problem, error) {
	raw, err := fs.ReadFile(fsys, run)
	if err != nil {
		return heat.Problem{}, err
	}
	x, err := strconv.ParseFloat(string(raw), 64)
	if err != nil || len(set) != 1 {
		return heat.Problem{}, errors.New("not what was sent")
	}
	return heat.Problem{Tolerance: x + set[0].Value}, nil
}

// run answers with a history; every sixth is some megabytes, and one cannot be computed.
func run(_ context.Context, p heat.Problem) (*heat.Result, error) {
	n := int(p.Tolerance)
	if n == 13 {
		return nil, errors.New("variant 13 cannot be computed")
	}
	r := &heat.Result{Ledger: heat.Ledger{Absorbed: p.Tolerance / 3, Lost: math.Copysign(0, -1), ByPass: []heat.Share{}}, Warnings: []string{"w"}}
	rows := 3
	if n%6 == 0 {
		rows = 200_000
	}
	c := history.Column{Name: "square, \"root\"", Quantity: history.Temperature}
	for i := range rows {
		r.History.Time = append(r.History.Time, float64(i))
		c.Values = append(c.Values, p.Tolerance*p.Tolerance+float64(i)/7)
	}
	c.Values[1] = math.NaN()
	c.Values[2] = math.Copysign(0, -1)
	r.History.Columns = []history.Column{c}
	return r, nil
}

func made(s *shelf, seen fs.FS) *farm.Job {
	return &farm.Job{
		Build: func(n int64) (heat.Problem, []farm.Setting, error) {
			set := []farm.Setting{{Path: "x", Value: float64(n) + 0.1}}
			p, err := build(seen, "bench/run.yaml", set)
			return p, set, err
		},
		Run:  run,
		Read: func(r *farm.Record) ([]float64, error) { return []float64{r.History.Columns[0].Values[0]}, nil },
		File: "bench/run.yaml", Model: program, Store: s,
	}
}

// undisturbed is what comes out in one process.
func undisturbed(t *testing.T) ([]farm.Outcome, *shelf) {
	t.Helper()
	s := empty()
	out, err := made(s, inputs).Work(context.Background(), 0, variants)
	if err != nil {
		t.Fatal(err)
	}
	return out, s
}

// same demands equal outcomes and records, to the bit.
func same(t *testing.T, out []farm.Outcome, s *shelf) {
	t.Helper()
	want, kept := undisturbed(t)
	if !reflect.DeepEqual(out, want) {
		t.Errorf("outcomes are %+v, undisturbed %+v", out, want)
	}
	for key := range kept.held {
		if got := s.held[key]; got == nil || string(bits(t, got)) != string(bits(t, kept.held[key])) {
			t.Errorf("record %s differs", key)
		}
	}
	if len(s.held) != len(kept.held) {
		t.Errorf("%d records, undisturbed %d", len(s.held), len(kept.held))
	}
}

func bits(t *testing.T, r *farm.Record) []byte {
	t.Helper()
	raw, err := pack(parcel{Record: r})
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// server is one that stands elsewhere, as far as a study can tell.
func opened(t *testing.T) (*Link, Access) {
	t.Helper()
	secret := []byte("crew:of the test\n")
	l, err := Serve(context.Background(), t.TempDir(), &Opening{Address: "127.0.0.1:0", Secret: secret})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(l.Close)
	return l, Access{Address: l.Address(), Secret: secret}
}

// quick is a pace for tests.
var quick = Pace{400 * time.Millisecond, 100 * time.Millisecond}

func offered1(t *testing.T, l *Link, s *shelf) (*Queue, *farm.Job) {
	t.Helper()
	seen := Watch(inputs)
	q, err := l.Offer(context.Background(), Offer{Name: "made up", Place: "here", Program: program, Run: "bench/run.yaml", Files: seen})
	if err != nil {
		t.Fatal(err)
	}
	j := made(s, seen)
	j.Queue, j.Workers = q, -1
	return q, j
}

// joined starts a worker that runs with f until the test ends or stop is called.
func joined(t *testing.T, a Access, f func(ctx context.Context, l *Link, p heat.Problem) (*heat.Result, error)) (stop func() error) {
	t.Helper()
	l, err := Join(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	began := time.Now()
	w := &Worker{
		Link: l, Program: program, Build: build, Seconds: func() float64 { return time.Since(began).Seconds() },
		Run: func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
			if f != nil {
				return f(ctx, l, p)
			}
			return run(ctx, p)
		},
	}
	go func() { ended <- w.Work(ctx) }()
	var once sync.Once
	var result error
	stop = func() error {
		once.Do(func() {
			cancel()
			result = <-ended
			l.Close()
		})
		return result
	}
	t.Cleanup(func() { _ = stop() })
	return stop
}

// atMost is after which time a study in a test is taken to stand still. It is far longer than one takes, on a machine with much
// else to do as well.
const atMost = 5 * time.Minute

func worked(t *testing.T, j *farm.Job) []farm.Outcome {
	t.Helper()
	ctx, stop := context.WithTimeout(context.Background(), atMost)
	defer stop()
	out, err := j.Work(ctx, 0, variants)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// begun has a job worked while the test goes on; what comes out is its outcomes, or none with an error said.
func begun(t *testing.T, j *farm.Job) <-chan []farm.Outcome {
	done := make(chan []farm.Outcome, 1)
	go func() {
		ctx, stop := context.WithTimeout(context.Background(), atMost)
		defer stop()
		out, err := j.Work(ctx, 0, variants)
		if err != nil {
			t.Error(err)
		}
		done <- out
	}()
	return done
}

// empties demands that a study which is done has left nothing on the server.
func empties(t *testing.T, l *Link) {
	t.Helper()
	ctx := context.Background()
	for _, name := range []string{tasks, results} {
		s, err := l.js.Stream(ctx, name)
		if err != nil {
			t.Fatal(err)
		}
		if i := s.CachedInfo().State; i.Msgs != 0 || i.Consumers != 0 {
			t.Errorf("%s holds %d messages and %d consumers", name, i.Msgs, i.Consumers)
		}
	}
	o, err := l.js.ObjectStore(ctx, files)
	if err != nil {
		t.Fatal(err)
	}
	if all, err := o.List(ctx); err == nil && len(all) > 0 {
		t.Errorf("%d objects are left", len(all))
	}
}

func TestWorkersElsewhereGiveTheSameRecords(t *testing.T) {
	l, a := opened(t)
	s := empty()
	q, j := offered1(t, l, s)
	var ran [2]atomic.Int64
	for i := range ran {
		joined(t, a, func(ctx context.Context, _ *Link, p heat.Problem) (*heat.Result, error) {
			ran[i].Add(1)
			return run(ctx, p)
		})
	}
	out := worked(t, j)
	same(t, out, s)
	q.Close(true)
	empties(t, l)
	if ran[0].Load() == 0 || ran[1].Load() == 0 || ran[0].Load()+ran[1].Load() != variants {
		t.Errorf("they ran %d and %d", ran[0].Load(), ran[1].Load())
	}
}

func TestWhoOffersMayRunVariantsToo(t *testing.T) {
	l, a := opened(t)
	s := empty()
	_, j := offered1(t, l, s)
	j.Workers = 1
	joined(t, a, nil)
	same(t, worked(t, j), s)
}

// TestALostWorkersVariantIsRunByAnother: one worker goes silent in the middle of a run, another comes later.
func TestALostWorkersVariantIsRunByAnother(t *testing.T) {
	l, a := opened(t)
	l.pace = quick
	s := empty()
	_, j := offered1(t, l, s)
	lost := make(chan struct{})
	joined(t, a, func(ctx context.Context, l *Link, p heat.Problem) (*heat.Result, error) {
		if int(p.Tolerance) == 9 {
			l.conn.Close()
			close(lost)
			<-ctx.Done()
		}
		return run(ctx, p)
	})
	go func() {
		<-lost
		joined(t, a, nil)
	}()
	same(t, worked(t, j), s)
}

// TestAVariantThatKillsItsWorkersIsSetAside: three are lost on it, and all others are done.
func TestAVariantThatKillsItsWorkersIsSetAside(t *testing.T) {
	l, a := opened(t)
	l.pace = quick
	s := empty()
	_, j := offered1(t, l, s)
	died := make(chan struct{}, 10)
	deaths := 0
	worker := func() {
		joined(t, a, func(ctx context.Context, l *Link, p heat.Problem) (*heat.Result, error) {
			if int(p.Tolerance) == 9 {
				l.conn.Close()
				died <- struct{}{}
				<-ctx.Done()
			}
			return run(ctx, p)
		})
	}
	worker()
	done := begun(t, j)
	for {
		select {
		case <-died:
			deaths++
			worker()
			continue
		case out := <-done:
			if len(out) != variants {
				t.Fatalf("it ends with %d outcomes after %d workers were lost", len(out), deaths)
			}
			for i, o := range out {
				if (i == 7) != (o.Failure == farm.AsideText) || i == 7 && o.Key != "" {
					t.Errorf("variant %d: %+v", i, o)
				}
			}
		}
		break
	}
	if deaths != farm.MostTries {
		t.Errorf("%d workers were lost", deaths)
	}
}

// TestAWorkerThatIsStoppedHandsBackWithoutLosingATry: five are stopped in the middle of the same variant, which a sixth runs.
func TestAWorkerThatIsStoppedHandsBackWithoutLosingATry(t *testing.T) {
	l, a := opened(t)
	s := empty()
	_, j := offered1(t, l, s)
	at := make(chan struct{}, 10)
	done := begun(t, j)
	for n := range farm.MostTries + 2 {
		w, err := Join(context.Background(), a)
		if err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithTimeout(context.Background(), atMost)
		defer stop()
		go func() {
			<-at
			stop()
		}()
		err = (&Worker{Link: w, Program: program, Build: build, Seconds: func() float64 { return 0 }, Run: func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
			if int(p.Tolerance) == 9 {
				at <- struct{}{}
				<-ctx.Done()
				return nil, ctx.Err()
			}
			return run(ctx, p)
		}}).Work(ctx)
		if !errors.Is(err, context.Canceled) {
			t.Fatalf("worker %d, which waits for the variant, ends with %v", n+1, err)
		}
		w.Close()
	}
	joined(t, a, nil)
	same(t, <-done, s)
}

// TestAKilledStudyIsTakenOver: its queue is closed by nobody. The records that workers handed in meanwhile are not run again.
func TestAKilledStudyIsTakenOver(t *testing.T) {
	l, a := opened(t)
	l.pace = quick
	s := empty()
	dead, j := offered1(t, l, s)
	ctx, kill := context.WithCancel(context.Background())
	var keep atomic.Int64
	j.Progress = func(p farm.Progress) {
		if keep.Store(p.Done); p.Done == 5 {
			kill()
		}
	}
	var ran atomic.Int64
	joined(t, a, func(ctx context.Context, _ *Link, p heat.Problem) (*heat.Result, error) {
		ran.Add(1)
		return run(ctx, p)
	})
	if _, err := j.Work(ctx, 0, variants); !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	dead.stop()
	again, err := Join(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	q, j := offered1(t, again, s)
	same(t, worked(t, j), s)
	q.Close(true)
	empties(t, l)
	if n := ran.Load(); n != variants {
		t.Errorf("%d runs", n)
	}
}

// TestAQueueOfOnesOwnIsTakenOverWithItsTries: a process that was killed by a variant three times does not try it again.
func TestAQueueOfOnesOwnIsTakenOverWithItsTries(t *testing.T) {
	dir := t.TempDir()
	ctx, stop := context.WithTimeout(context.Background(), atMost)
	defer stop()
	for try := 1; try <= farm.MostTries+1; try++ {
		l, err := Serve(ctx, dir, nil)
		if err != nil {
			t.Fatal(err)
		}
		if l.Address() != "" {
			t.Errorf("it listens at %s", l.Address())
		}
		l.pace = quick
		q, err := l.Offer(ctx, Offer{Place: "here", Program: program})
		if err != nil {
			t.Fatal(err)
		}
		if err := q.Submit(ctx, farm.Task{Number: 3, Key: "the key"}); err != nil {
			t.Fatal(err)
		}
		lease, err := q.Next(ctx)
		if err != nil || lease.Key != "the key" || lease.Try != try {
			t.Errorf("lease is %+v, %v; want try %d", lease, err, try)
		}
		lease.Handle.(*hold).let()
		l.Close()
	}
}

func TestAQueueThatCannotBeReadIsBegunAnew(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "jetstream"), []byte("a file where a folder should be"), 0o666); err != nil {
		t.Fatal(err)
	}
	l, err := Serve(context.Background(), dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	l.Close()
}

// TestWhatAServerHasLostIsSubmittedAgain takes the tasks off the server behind the study's back.
func TestWhatAServerHasLostIsSubmittedAgain(t *testing.T) {
	l, a := opened(t)
	s := empty()
	q, j := offered1(t, l, s)
	done := begun(t, j)
	ctx, stop := context.WithTimeout(context.Background(), atMost)
	defer stop()
	stream, err := l.js.Stream(ctx, tasks)
	if err != nil {
		t.Fatal(err)
	}
	for stream.CachedInfo().State.Msgs < variants {
		if _, err := stream.Info(ctx); err != nil {
			t.Fatalf("%d of %d tasks were submitted: %v", stream.CachedInfo().State.Msgs, variants, err)
		}
	}
	if err := stream.Purge(ctx); err != nil {
		t.Fatal(err)
	}
	if err := q.renew(ctx); err != nil {
		t.Fatal(err)
	}
	joined(t, a, nil)
	same(t, <-done, s)
}

func TestOtherProgramsAreRefusedByBothNames(t *testing.T) {
	l, a := opened(t)
	offered1(t, l, empty())
	w, err := Join(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	err = (&Worker{Link: w, Program: "0, file another"}).Work(context.Background())
	var refused *Refused
	if !errors.As(err, &refused) || !strings.Contains(refused.Why, program) || !strings.Contains(refused.Why, "0, file another") || refused.Fix == "" {
		t.Errorf("it ends with %v", err)
	}
}

func TestAWorkerWithNothingToDoEnds(t *testing.T) {
	_, a := opened(t)
	w, err := Join(context.Background(), a)
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close()
	began := time.Now()
	if err := (&Worker{Link: w, Program: program, Workers: 2, Idle: time.Second, Seconds: func() float64 { return time.Since(began).Seconds() }}).Work(context.Background()); err != nil {
		t.Error(err)
	}
}
