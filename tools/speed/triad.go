package main

import (
	"runtime"
	"sync"
	"time"

	"emberbank/kernel"
)

// triadTime is how long one measurement of the triad lasts, about.
const triadTime = 60 * time.Millisecond

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
	passes := 1
	for {
		took := together(threads, func(i int) {
			p := &parts[i]
			for range passes {
				loop(p[0], p[1], p[2], 3)
			}
		})
		if took > triadTime/2 {
			return float64(triadBytes*n*threads*passes) / took.Seconds()
		}
		passes = max(2*passes, int(float64(passes)*float64(triadTime)/float64(took+time.Microsecond)))
	}
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
