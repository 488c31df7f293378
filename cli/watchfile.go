package cli

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"time"
)

// grown follows one logger's file by looking at it now and then, which also works on network drives. It opens it for
// reading only, and on systems where an open file cannot be renamed it does not keep it open.
//
// Whether a file goes on where it stood is told by its content: its beginning and the last bytes before the place where
// reading stopped. So a file that is written anew at each save goes on like one that grows; one that is shorter, or holds
// something else there, is another one.
type grown struct {
	path         string
	source, file int
	at           int64  // bytes read
	head, tail   []byte // the first bytes, and the last ones before at
	info         os.FileInfo
	kept         *os.File // the file as it was, to read what came before it was renamed; nil
	last         float64  // s, when bytes came last
	fed          bool
	there        bool
	failed       string   // told already
	anew         int      // times that it began again
	was          []string // names under which what it held before stands now
}

const (
	headBytes = 4096
	tailBytes = 256
	pieces    = 1 << 20
)

// feeder takes what a file gives.
type feeder interface {
	Feed(source, file int, b []byte, since float64)
	Restart(source, file int)
}

// poll reads what is new. since the reader's start now seconds have gone by. It answers with a sentence where the file
// came, went, began anew or cannot be read.
func (g *grown) poll(now float64, to feeder) (told string) {
	st, err := os.Stat(g.path)
	if err != nil {
		switch {
		case !errors.Is(err, fs.ErrNotExist):
			return g.trouble(err)
		case g.there:
			g.there = false
			g.readKept(now, to)
			return "is gone; waiting for it"
		case g.failed == "" && !g.fed:
			g.failed = "missing"
			return "is not there yet; waiting for it"
		}
		return ""
	}
	if st.IsDir() {
		return g.trouble(errors.New("it is a folder"))
	}
	if g.there && st.Size() == g.at && st.ModTime().Equal(g.info.ModTime()) && os.SameFile(st, g.info) {
		return ""
	}
	f, err := os.Open(g.path)
	if err != nil {
		return g.trouble(err)
	}
	keep := false
	defer func() {
		if !keep {
			_ = f.Close()
		}
	}()
	if st, err = f.Stat(); err != nil {
		return g.trouble(err)
	}
	if back := g.failed; back != "" {
		g.failed = ""
		told = "is there and is read"
	} else if g.fed && !g.there {
		told = "is there again"
	}
	if g.at > 0 && !g.goesOn(f, st.Size()) {
		if g.info != nil && !os.SameFile(st, g.info) {
			g.readKept(now, to)
			if was := g.renamed(); was != "" {
				g.was = append(g.was, was)
			}
		}
		if st.Size() == 0 { // emptied: what follows will tell
			g.info, g.there = st, true
			return told
		}
		to.Restart(g.source, g.file)
		g.at, g.head, g.tail = 0, nil, nil
		if g.anew++; g.anew == 1 {
			told = "began anew (rotated, truncated or written again): it is followed on, rows that were seen count once"
		}
	}
	g.info, g.there = st, true
	if err := g.read(f, now, to); err != nil {
		return g.trouble(err)
	}
	if runtime.GOOS != "windows" { // there it could not be renamed meanwhile
		keep = true
		if g.kept != nil {
			_ = g.kept.Close()
		}
		g.kept = f
	}
	return told
}

func (g *grown) trouble(err error) string {
	why := plain(err).Error()
	if g.failed == why {
		return ""
	}
	g.failed = why
	return "cannot be read: " + why
}

// goesOn tells whether a file of that size has what was read before at the same place.
func (g *grown) goesOn(f io.ReaderAt, size int64) bool {
	if size < g.at {
		return false
	}
	same := func(want []byte, at int64) bool {
		got := make([]byte, len(want))
		_, err := f.ReadAt(got, at)
		return err == nil && bytes.Equal(got, want)
	}
	return same(g.head, 0) && same(g.tail, g.at-int64(len(g.tail)))
}

// read takes a file from where reading stopped to its end.
func (g *grown) read(f io.ReaderAt, now float64, to feeder) error {
	since := math.NaN()
	if g.fed {
		since = now - g.last
	}
	buf := make([]byte, pieces)
	for {
		n, err := f.ReadAt(buf, g.at)
		if n > 0 {
			b := buf[:n]
			if room := headBytes - len(g.head); room > 0 && g.at == int64(len(g.head)) {
				g.head = append(g.head, b[:min(room, n)]...)
			}
			g.tail = append(g.tail, b[max(0, n-tailBytes):]...)
			g.tail = g.tail[max(0, len(g.tail)-tailBytes):]
			g.at += int64(n)
			g.last, g.fed = now, true
			to.Feed(g.source, g.file, b, since)
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// renamed is the name beside the file's own under which what was read before stands now, "" where none is found.
func (g *grown) renamed() string {
	list, err := os.ReadDir(filepath.Dir(g.path))
	if err != nil {
		return ""
	}
	for _, e := range list {
		if st, err := e.Info(); err == nil && e.Name() != filepath.Base(g.path) && os.SameFile(st, g.info) {
			return e.Name()
		}
	}
	return ""
}

// readKept reads what came to a file between the last look and its being renamed.
func (g *grown) readKept(now float64, to feeder) {
	if g.kept == nil {
		return
	}
	if st, err := g.kept.Stat(); err == nil && g.goesOn(g.kept, st.Size()) {
		_ = g.read(g.kept, now, to)
	}
	_ = g.kept.Close()
	g.kept = nil
}

// peek is how long ago a file that is not yet read was last written, in s.
func (g *grown) peek() float64 {
	st, err := os.Stat(g.path)
	if err != nil {
		return 0
	}
	return max(time.Since(st.ModTime()).Seconds(), 0)
}

func (g *grown) close() {
	if g.kept != nil {
		_ = g.kept.Close()
		g.kept = nil
	}
}
