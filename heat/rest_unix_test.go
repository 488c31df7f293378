//go:build unix

package heat

import (
	"context"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"emberbank/kernel"
)

// used is the processor time that this process has taken.
func used(t *testing.T) time.Duration {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// Workers whose neighbour is set aside in the middle of a plane, in a train or a sweep, leave the processor to others meanwhile.
func TestWhoWaitsLongLeavesTheProcessor(t *testing.T) {
	const aside = time.Second
	for _, trains := range []bool{true, false} {
		run := func(aside time.Duration) time.Duration {
			p := freezing([3]int{7, 5, 14})
			p.Threads, p.Until = 2, 900
			set := *kernel.Best()
			calls := atomic.Int32{}
			wait := func() {
				if calls.Add(1) == 3000 {
					time.Sleep(aside)
				}
			}
			stage, flow := set.Stage, set.Flow
			set.Stage = func(w *kernel.Sweep, from, to int) {
				stage(w, from, to)
				wait()
			}
			set.Flow = func(w *kernel.Sweep, from, to int) {
				flow(w, from, to)
				wait()
			}
			p.Kernel = &set
			m, err := newMarch(&p)
			if err != nil {
				t.Fatal(err)
			}
			defer m.s.team.stop()
			if !trains {
				m.s.train.longest = 1
			}
			before := used(t)
			if _, err := m.run(context.Background()); err != nil {
				t.Fatal(err)
			}
			if calls.Load() < 3000 {
				t.Fatalf("%d calls: the case does not test what it should", calls.Load())
			}
			return used(t) - before
		}
		alone := run(0)
		if held := run(aside); held-alone > aside/2 {
			t.Errorf("trains %v: %v of processor time, %v where nobody is set aside for %v", trains, held, alone, aside)
		}
	}
}
