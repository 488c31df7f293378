package pages

import (
	"os"
	"regexp"
	"strconv"
	"syscall"
	"testing"
	"unsafe"
)

// granted skips a test where the system gives no large pages, or has none to give: it asks for some without this package.
func granted(t *testing.T) {
	t.Helper()
	control, err := syscall.Mmap(-1, 0, 16*Large, syscall.PROT_READ|syscall.PROT_WRITE, syscall.MAP_PRIVATE|syscall.MAP_ANON)
	if err != nil {
		t.Skip(err)
	}
	defer func() { _ = syscall.Munmap(control) }()
	_ = syscall.Madvise(control, syscall.MADV_HUGEPAGE)
	for i := 0; i < len(control); i += 4096 {
		control[i] = 1
	}
	if largeIn(t, unsafe.Pointer(&control[0]), len(control)) < 15*Large {
		t.Skip("the system gives no large pages, or has none")
	}
}

// largeIn returns how many bytes of large pages those parts of the process's memory have that hold some of so many bytes at a place.
func largeIn(t *testing.T, at unsafe.Pointer, bytes int) int {
	t.Helper()
	maps, err := os.ReadFile("/proc/self/smaps")
	if err != nil {
		t.Skip(err)
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
	granted(t)
	if !gather(uintptr(unsafe.Pointer(somewhere))) {
		t.Skip("the system makes no large page of what is there already")
	}
	if largeIn(t, unsafe.Pointer(somewhere), len(somewhere)) == 0 {
		t.Error("the heap's first memory is in small pages")
	}
}

func TestWhatIsAskedForComesInLargePages(t *testing.T) {
	granted(t)
	room := make([]byte, 16*Large)
	if !Ask(room) {
		t.Fatal("the wish was not heard")
	}
	for i := range room {
		room[i] = 1
	}
	if got, want := largeIn(t, unsafe.Pointer(&room[0]), len(room)), 15*Large; got < want {
		t.Errorf("of %d bytes %d are in large pages, wanted %d", len(room), got, want)
	}
}
