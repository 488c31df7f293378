package pages

import (
	"os"
	"regexp"
	"strconv"
	"testing"
	"unsafe"
)

// largeIn returns how many bytes of large pages those parts of the process's memory have that hold some of so many bytes at a place.
func largeIn(t *testing.T, at unsafe.Pointer, bytes int) int {
	enabled, err := os.ReadFile("/sys/kernel/mm/transparent_hugepage/enabled")
	if err != nil || !regexp.MustCompile(`\[(madvise|always)\]`).Match(enabled) {
		t.Skip("the system gives no large pages")
	}
	maps, err := os.ReadFile("/proc/self/smaps")
	if err != nil {
		t.Fatal(err)
	}
	part := regexp.MustCompile(`(?m)^([0-9a-f]+)-([0-9a-f]+) [^\n]*\n(?:[A-Z][^\n]*\n)*?AnonHugePages: +([0-9]+) kB`)
	kB, begin := 0, uint64(uintptr(at))
	for _, m := range part.FindAllSubmatch(maps, -1) {
		from, _ := strconv.ParseUint(string(m[1]), 16, 64)
		to, _ := strconv.ParseUint(string(m[2]), 16, 64)
		if begin < to && begin+uint64(bytes) > from {
			n, _ := strconv.Atoi(string(m[3]))
			kB += n
		}
	}
	return kB << 10
}

// Where the system gives large pages to those who ask, the heap begins in one once this package is initialised.
func TestTheHeapBeginsInALargePage(t *testing.T) {
	if !gather(uintptr(unsafe.Pointer(somewhere))) {
		t.Skip("the system makes no large page of what is there already")
	}
	if largeIn(t, unsafe.Pointer(somewhere), len(somewhere)) == 0 {
		t.Error("the heap's first memory is in small pages")
	}
}

func TestWhatIsAskedForComesInLargePages(t *testing.T) {
	room := make([]byte, 16*Large)
	if !Ask(room) {
		t.Skip("the system gives no large pages")
	}
	for i := range room {
		room[i] = 1
	}
	if got, want := largeIn(t, unsafe.Pointer(&room[0]), len(room)), 15*Large; got < want {
		t.Errorf("of %d bytes %d are in large pages, wanted %d", len(room), got, want)
	}
}
