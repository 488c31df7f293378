package cli

import (
	"os"
	"runtime/debug"

	"emberbank/pages"
)

// ready has memory made ready beside what the caller goes on with, and returns what waits until it is. Nobody may set the
// collector's pace meanwhile.
func ready() (wait func()) {
	done := make(chan struct{})
	go func() {
		pages.ForARun()
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
