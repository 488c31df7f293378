package cli

import (
	"os"
	"runtime"
	"runtime/debug"

	"emberbank/pages"
)

// largeRoom is what is asked for in large pages: enough for a run of a million cells. Of that warmRoom, which small runs use, is
// taken from the system at once; what is not used of the rest never is. Measured on the small benchmark B1, whole process, 31 rounds
// in turn: warm rooms of 1, 6 and 16 MB 203, 202 and 210 ms.
const (
	largeRoom = 256 << 20
	warmRoom  = 6 << 20
)

// largePages has the first memory that a run asks for come in large pages, where the system gives them to those who
// ask: taking memory over page by page can cost a small run as much time as its computing. The rest of the heap begins so already: see
// package pages.
//
// The collector rests meanwhile: the room would set it going, and what is collected at the end would be collected twice. So two calls
// may not run at a time.
func largePages() {
	if !pages.Known {
		return
	}
	before := debug.SetGCPercent(-1)
	defer debug.SetGCPercent(before)
	room := make([]byte, largeRoom)
	if pages.Ask(room) {
		for at := 0; at < warmRoom; at += pages.Large {
			room[at] = 1
		}
	}
	runtime.KeepAlive(room)
	room = nil
	runtime.GC() // the room is free for what is asked for next
}

// ready has memory made ready beside what the caller goes on with, and returns what waits until it is. Nobody may set the
// collector's pace meanwhile.
func ready() (wait func()) {
	done := make(chan struct{})
	go func() {
		largePages()
		close(done)
	}()
	return func() { <-done }
}

// collectLess lets the heap grow to nine times what is alive before it is collected: a run asks for its memory when it
// is laid and hardly any later, so that little gathers, and a small one ends before anything need be collected. Who
// sets GOGC in the environment knows better.
func collectLess() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(800)
	}
}
