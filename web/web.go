// Package web serves a bench to a browser on the same machine: the page, and the interface under /api that the page
// itself uses. It calls the very functions that the command line calls and computes nothing of its own. An edit in the
// page is an edit in the file; an edit in the file shows in the page.
//
// Nobody gets in without the key in the link that the program prints (guard.go). Files are read and written within the
// bench's folder alone (files.go).
package web

import (
	"context"
	"net"
	"net/http"
	"os"
	"sync"

	"emberbank/bench"
	"emberbank/kernel"
)

// Desk is a bench that is served.
type Desk struct {
	root     *os.Root
	version  string
	loops    *kernel.Set
	threads  int
	began    string             // tells this start from others
	stop     context.CancelFunc // of the look at files
	runs     runs
	jobs     jobs
	casts    casts
	verified verified
	handed   handed
	kept     colours
	trials   trials
	tolds    tolds
	able     able
	follows  follows
	news     news
	sums     sums
	written  chan struct{} // tells the look at files that one was written
	writing  sync.Mutex    // of files: one after the other, so that no mark grows old between look and write
}

// Options are what a desk is opened with.
type Options struct {
	Version string
	Kernel  *kernel.Set // the hottest loops; nil: the fastest that the processor runs
	Threads int         // 0: all cores
	Work    Work        // what takes long; nil: runs only
	Follow  Follow      // follows a trial; nil: none is followed
}

// Open opens the desk of a bench's folder. Close ends what it computes.
func Open(root *os.Root, opt Options) *Desk {
	d := &Desk{root: root, version: opt.Version, loops: opt.Kernel, threads: opt.Threads, began: newKey(), written: make(chan struct{}, 1)}
	d.runs.desk, d.casts.desk = d, d
	d.follows.do = opt.Follow
	d.jobs = jobs{desk: d, work: opt.Work, room: make(chan struct{}, jobsAtOnce)}
	ctx, stop := context.WithCancel(context.Background())
	d.stop = stop
	d.runs.wait.Go(func() { d.watch(ctx) })
	return d
}

// Begin computes the bench's first run, which the page shows first, before anybody asks for it.
func (d *Desk) Begin() {
	if b, _ := bench.LoadBench(d.root.FS()); b != nil && len(b.Runs) > 0 {
		_, _ = d.runs.of(b.Runs[0]) // what stands against it is told to who asks
	}
}

// Close stops what is being computed and waits for it.
func (d *Desk) Close() {
	d.stop()
	d.follows.close()
	d.jobs.close()
	d.casts.close()
	d.runs.close()
}

// Access says who may ask.
type Access struct {
	Address net.Addr // at which the server listens
	Key     string   // in the link; see NewKey
	TLS     bool
	Names   []string // further hosts under which the server may be asked
}

// NewKey draws a key that cannot be guessed.
func NewKey() string { return newKey() }

// Handler answers requests.
func (d *Desk) Handler(a Access) http.Handler {
	mux := http.NewServeMux()
	d.api(mux)
	mux.HandleFunc("GET /bench/{name...}", d.shown)
	mux.Handle("/", pages())
	return newGuard(a.Address, a.Key, a.TLS, a.Names, mux)
}
