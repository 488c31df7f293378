package pages

import (
	"os"
	"regexp"
	"runtime"
	"strconv"
	"testing"
	"unsafe"
)

// The wish for large pages leaves nothing behind: the room that carried it is free again.
func TestLargePagesTakeNoMemoryByThemselves(t *testing.T) {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	ForARun()
	runtime.ReadMemStats(&after)
	if n := after.NumGC - before.NumGC; n != 1 {
		t.Errorf("the collector ran %d times, wanted 1", n)
	}
	if after.HeapAlloc > before.HeapAlloc+1<<20 {
		t.Errorf("%d bytes were alive before, %d after", before.HeapAlloc, after.HeapAlloc)
	}
}

// Where the system gives large pages to those who ask, the first page of the heap is one once this package is initialised.
func TestTheHeapBeginsInALargePage(t *testing.T) {
	enabled, err := os.ReadFile("/sys/kernel/mm/transparent_hugepage/enabled")
	if err != nil || !regexp.MustCompile(`\[(madvise|always)\]`).Match(enabled) {
		t.Skip("the system gives no large pages")
	}
	maps, err := os.ReadFile("/proc/self/smaps")
	if err != nil {
		t.Fatal(err)
	}
	at := uint64(uintptr(unsafe.Pointer(somewhere)))
	head := regexp.MustCompile(`(?m)^([0-9a-f]+)-([0-9a-f]+) .*$`)
	found := head.FindAllSubmatchIndex(maps, -1)
	for i, m := range found {
		from, _ := strconv.ParseUint(string(maps[m[2]:m[3]]), 16, 64)
		to, _ := strconv.ParseUint(string(maps[m[4]:m[5]]), 16, 64)
		if at < from || at >= to {
			continue
		}
		end := len(maps)
		if i+1 < len(found) {
			end = found[i+1][0]
		}
		if !regexp.MustCompile(`(?m)^AnonHugePages: +[1-9]`).Match(maps[m[0]:end]) {
			t.Logf("%s", maps[m[0]:end])
			t.Error("the heap's first memory is in small pages")
		}
		return
	}
	t.Error("the heap is nowhere in the process's memory")
}
