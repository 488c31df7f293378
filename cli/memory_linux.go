package cli

import (
	"runtime"
	"runtime/debug"
	"syscall"
	"unsafe"
)

// hugePage is the usual size of a large page, and largeRoom what is asked for in such pages: enough for a run of a million
// cells. Of that warmRoom, which small runs use, is taken from the system at once; what is not used of the rest never is. Measured on
// the small benchmark B1, whole process, 31 rounds in turn: warm rooms of 1, 6 and 16 MB 203, 202 and 210 ms.
const (
	hugePage  = 2 << 20
	largeRoom = 256 << 20
	warmRoom  = 6 << 20
)

// largePages has the first memory that a run asks for come in large pages, where the system gives them to those who
// ask: taking memory over page by page can cost a small run as much time as its computing.
//
// The collector rests meanwhile: the room would set it going, and what is collected at the end would be collected twice. So two calls
// may not run at a time.
func largePages() {
	before := debug.SetGCPercent(-1)
	defer debug.SetGCPercent(before)
	room := make([]byte, largeRoom)
	first := int(-uintptr(unsafe.Pointer(&room[0])) & (hugePage - 1))
	wish := room[first : first+(len(room)-first)&^(hugePage-1)]
	if syscall.Madvise(wish, syscall.MADV_HUGEPAGE) == nil { // a wish; its failure changes nothing
		for at := 0; at < warmRoom; at += hugePage {
			wish[at] = 1
		}
	}
	runtime.KeepAlive(room)
	room = nil
	runtime.GC() // the room is free for what is asked for next
}
