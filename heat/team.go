package heat

import (
	"runtime"
	"sync"
)

// team shares the planes of a sweep among a fixed number of goroutines. Every sum is kept plane by plane and
// added in the order of the planes, so that results do not depend on the number of workers.
type team struct {
	workers int
	planes  int
	work    []chan func(k0, k1 int)
	done    sync.WaitGroup
}

func newTeam(threads, planes int) *team {
	if threads <= 0 {
		threads = runtime.GOMAXPROCS(0)
	}
	t := &team{workers: max(1, min(threads, planes)), planes: planes}
	for w := 1; w < t.workers; w++ {
		ch := make(chan func(k0, k1 int))
		t.work = append(t.work, ch)
		k0, k1 := t.span(w)
		go func() {
			for f := range ch {
				f(k0, k1)
				t.done.Done()
			}
		}()
	}
	return t
}

func (t *team) span(w int) (k0, k1 int) {
	return w * t.planes / t.workers, (w + 1) * t.planes / t.workers
}

// run calls f once for each span of planes and returns when all are done.
func (t *team) run(f func(k0, k1 int)) {
	t.done.Add(len(t.work))
	for _, ch := range t.work {
		ch <- f
	}
	f(t.span(0))
	t.done.Wait()
}

func (t *team) stop() {
	for _, ch := range t.work {
		close(ch)
	}
}
