package cli

import (
	"runtime"
	"runtime/debug"
	"testing"

	"emberbank/pages"
)

// The wish for large pages leaves nothing behind: the room that carried it is free again.
func TestLargePagesTakeNoMemoryByThemselves(t *testing.T) {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	largePages()
	runtime.ReadMemStats(&after)
	if n := after.NumGC - before.NumGC; pages.Known && n != 1 {
		t.Errorf("the collector ran %d times, wanted 1", n)
	}
	if after.HeapAlloc > before.HeapAlloc+1<<20 {
		t.Errorf("%d bytes were alive before, %d after", before.HeapAlloc, after.HeapAlloc)
	}
}

// Memory is made ready beside what goes on: the collector's pace is then what it was, and waiting twice, or at once, is as good.
func TestMemoryIsReadyAndThePaceAsItWas(t *testing.T) {
	before := debug.SetGCPercent(321)
	defer debug.SetGCPercent(before)
	wait := ready()
	kept := make([][]byte, 0, 64)
	for range cap(kept) {
		kept = append(kept, make([]byte, 1<<16))
	}
	wait()
	wait()
	if at := debug.SetGCPercent(321); at != 321 {
		t.Errorf("the collector's pace is %d, it was 321", at)
	}
	runtime.KeepAlive(kept)
}
