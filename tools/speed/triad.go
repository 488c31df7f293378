package main

import (
	"runtime"
	"sync"
	"time"

	"emberbank/kernel"
)

// triadTime is how long one measurement of the triad lasts, about, and triadTries how many are made: the best counts,
// since a yardstick says what the machine can do, and other work only ever takes from it.
const (
	triadTime  = 20 * time.Millisecond
	triadTries = 5
)

// triad returns the bandwidth, in B/s, of a = b + s c by the fastest kernel, over arrays that together hold bytes and
// are shared among threads: each has its own part, which stays in its own cache where it fits. Threads start together
// and do not wait for one another between passes, so the yardstick is a kind one to no program that must.
func triad(bytes, threads int) float64 {
	n := bytes / triadBytes / threads
	loop := kernel.Best().Triad
	parts := make([][3][]float64, threads)
	for i := range parts {
		// One piece of memory; a few cache lines between the arrays, so that no three entries share a place in the cache.
		room := largePages(3*n + 2*136)
		parts[i] = [3][]float64{room[:n], room[n+136 : 2*n+136], room[2*n+272:]}
		for k := range n {
			parts[i][1][k], parts[i][2][k] = float64(k), 1
		}
	}
	best := 0.0
	for passes, tries := 1, 0; tries < triadTries; {
		took := together(threads, func(i int) {
			p := &parts[i]
			for range passes {
				loop(p[0], p[1], p[2], 3)
			}
		})
		if took < triadTime/2 && tries == 0 { // too short to measure; also warms the cache up
			passes = max(2*passes, int(float64(passes)*float64(triadTime)/float64(took+time.Microsecond)))
			continue
		}
		tries++
		best = max(best, float64(triadBytes*n*threads*passes)/took.Seconds())
	}
	return best
}

// together calls f once on each of some threads, all at the same time, and returns how long it took.
func together(threads int, f func(i int)) time.Duration {
	var ready, done sync.WaitGroup
	start := make(chan struct{})
	ready.Add(threads)
	for i := range threads {
		done.Go(func() {
			runtime.LockOSThread()
			defer runtime.UnlockOSThread()
			ready.Done()
			<-start
			f(i)
		})
	}
	ready.Wait()
	began := time.Now()
	close(start)
	done.Wait()
	return time.Since(began)
}
