package cli

import (
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// openMark begins the names of the hidden files by which programs that have a bench open say so, each with a file of its own.
const openMark = ".open-"

// openedBy is what a mark tells of who has made it.
type openedBy struct {
	pid      int
	host, at string
}

// markOpen says in a bench's folder that this program has it open, and returns who else has. The mark is no lock: files are
// written whole and never over another's edit, so that two programs do no harm, but each computes for itself. What killed
// programs of this machine have left is taken away. A folder that cannot be written to gets no mark.
func markOpen(dir string, at net.Addr) (others []openedBy, unmark func()) {
	unmark = func() {}
	entries, _ := os.ReadDir(dir) // a folder that cannot be read is told of elsewhere
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), openMark) || !e.Type().IsRegular() {
			continue
		}
		name := filepath.Join(dir, e.Name())
		switch by, ok := readOpened(name); {
		case !ok: // it is none of ours
		case by.gone():
			_ = os.Remove(name)
		default:
			others = append(others, by)
		}
	}
	f, err := os.CreateTemp(dir, openMark+"*")
	if err != nil {
		return others, unmark
	}
	unmark = func() { _ = os.Remove(f.Name()) }
	host, _ := os.Hostname() // an unknown name is never taken for this machine's
	_, err = fmt.Fprintf(f, "process %d\nmachine %s\nat %s\n", os.Getpid(), host, at)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		unmark()
		unmark = func() {}
	}
	return others, unmark
}

// readOpened reads a mark; false: it says something else.
func readOpened(name string) (by openedBy, ok bool) {
	raw, err := os.ReadFile(name)
	if err != nil {
		return by, false
	}
	n, _ := fmt.Sscanf(string(raw), "process %d\nmachine %s\nat %s\n", &by.pid, &by.host, &by.at)
	return by, n == 3
}

// here tells whether the program runs on this machine.
func (by openedBy) here() bool {
	here, err := os.Hostname()
	return err == nil && by.host == here
}

// gone tells whether the program runs no longer: its process has ended, or nobody answers where it served.
func (by openedBy) gone() bool {
	if !by.here() {
		return false
	}
	if !alive(by.pid) {
		return true
	}
	c, err := net.DialTimeout("tcp", by.at, time.Second)
	if err == nil {
		_ = c.Close()
	}
	return err != nil
}

func (by openedBy) String() string {
	if by.here() {
		return fmt.Sprintf("process %d at %s", by.pid, by.at)
	}
	return fmt.Sprintf("process %d on %s, if that still runs", by.pid, by.host)
}
