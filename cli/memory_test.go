package cli

import (
	"runtime"
	"testing"
)

// The wish for large pages leaves nothing behind: the room that carried it is free again.
func TestLargePagesTakeNoMemoryByThemselves(t *testing.T) {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	largePages()
	runtime.ReadMemStats(&after)
	if n := after.NumGC - before.NumGC; runtime.GOOS == "linux" && n != 1 {
		t.Errorf("the collector ran %d times, wanted 1", n)
	}
	if after.HeapAlloc > before.HeapAlloc+1<<20 {
		t.Errorf("%d bytes were alive before, %d after", before.HeapAlloc, after.HeapAlloc)
	}
}
