package kernel

import (
	"runtime"
	"sync/atomic"
	"testing"
)

// TestWhoSeesWhatIsPublishedSeesWhatWasWrittenBefore hands numbers from one goroutine to another and back.
func TestWhoSeesWhatIsPublishedSeesWhatWasWrittenBefore(t *testing.T) {
	var there, back atomic.Uint64
	var numbers [2]uint64
	const turns = 20000
	wait := func(at *atomic.Uint64, until uint64) {
		for at.Load() < until {
			runtime.Gosched()
		}
	}
	go func() {
		for i := uint64(1); i <= turns; i++ {
			wait(&there, i)
			numbers[1] = numbers[0] + 1
			Publish(&back, i)
		}
	}()
	for i := uint64(1); i <= turns; i++ {
		numbers[0] = 3 * i
		Publish(&there, i)
		wait(&back, i)
		if numbers[1] != 3*i+1 {
			t.Fatalf("turn %d: came back as %d", i, numbers[1])
		}
	}
}
