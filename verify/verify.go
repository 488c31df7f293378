// Package verify holds the outside checks that a user can run on their own machine: cases whose answer is known
// from a published table, an exact solution or a standard, computed with this program and compared. Most cases
// are run files (see cases/) that go the way of every run: package bench reads them, package heat computes them,
// and the answer is taken from the history, the probes, the chain or the ledger. The rest asks properties and
// correlations directly.
//
// Rows come in a fixed order and all of them come: a case that cannot be read or computed gives rows that
// depart. Tolerances are those of the source where it states one; the others were set beforehand, with their
// reason beside them, and are not widened to let a row pass. Where no source has an answer and only the usage of
// the trade speaks, the row says "common practice, no source".
//
// Left out: cases that take longer than some seconds, such as convergence studies; those are tests.
//
//	rows, err := verify.Run(ctx, verify.Options{Only: "melting"})
//	verify.Print(os.Stdout, rows)
package verify

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"sync"
	"time"
)

// Options says what is checked and how.
type Options struct {
	Only    string // a topic, or a part of its name; "": all
	Threads int    // cases that are computed side by side; 0: one a core
	// Progress is called after each case with how many of all are done and the name of the one done; may be nil.
	// Calls do not overlap.
	Progress func(done, total int, name string)
	Clock    func() time.Time // for Row.Seconds; nil: seconds stay 0
}

// Verdicts of a row.
const (
	Agrees  = "agrees"
	Departs = "departs"
)

// Row is one value compared with its reference.
type Row struct {
	Name     string // what is compared
	Topic    string
	Source   string  // where the expected value comes from, and how far it was checked
	Unit     string  // of Expected and Computed, and of Tolerance where that is absolute
	Expected float64 // the reference; for AtMost and AtLeast the bound
	Computed float64 // by this program; NaN where it gave no value
	// Tolerance is what the two may differ: a share of Expected where Means is Relative; 0 for a bound.
	Tolerance float64
	Means     Means
	Verdict   string // Agrees or Departs
	Detail    string // what is computed, why this tolerance, and what went wrong if something did
	FromRun   bool   // went from a run file through the code of `run`
	Seconds   float64
}

// Means tells how expected and computed value are compared.
type Means string

// Ways of comparing.
const (
	Absolute Means = "absolute" // |computed - expected| <= tolerance
	Relative Means = "relative" // |computed - expected| <= tolerance · |expected|
	AtMost   Means = "at most"  // computed <= expected
	AtLeast  Means = "at least" // computed >= expected
)

// Difference returns computed less expected, in the row's unit.
func (r *Row) Difference() float64 { return r.Computed - r.Expected }

// judge sets the verdict. A value that is not a number departs.
func (r *Row) judge() {
	ok := false
	switch r.Means {
	case Absolute:
		ok = math.Abs(r.Difference()) <= r.Tolerance
	case Relative:
		ok = math.Abs(r.Difference()) <= r.Tolerance*math.Abs(r.Expected)
	case AtMost:
		ok = r.Computed <= r.Expected
	case AtLeast:
		ok = r.Computed >= r.Expected
	}
	r.Verdict = Departs
	if ok {
		r.Verdict = Agrees
	}
}

// ErrNoTopic is wrapped where Options.Only names no topic.
var ErrNoTopic = errors.New("no such topic")

// Topics returns the topics in the order of the rows.
func Topics() []string {
	var out []string
	for _, c := range cases() {
		if len(out) == 0 || out[len(out)-1] != c.topic {
			out = append(out, c.topic)
		}
	}
	return out
}

// Run computes the cases and compares. Rows that depart are no error: an error means that a topic is not known, or
// that ctx ended, in which case the rows of the cases done so far come with it.
func Run(ctx context.Context, opt Options) ([]Row, error) {
	var todo []known
	for _, c := range cases() {
		if strings.Contains(strings.ToLower(c.topic), strings.ToLower(strings.TrimSpace(opt.Only))) {
			todo = append(todo, c)
		}
	}
	if len(todo) == 0 {
		return nil, fmt.Errorf("%w: %q; there are: %s", ErrNoTopic, opt.Only, strings.Join(Topics(), ", "))
	}
	workers := opt.Threads
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	answers := make([][]Row, len(todo))
	next := make(chan int)
	var crew sync.WaitGroup
	var tell sync.Mutex
	done := 0
	for range min(workers, len(todo)) {
		crew.Go(func() {
			for i := range next {
				answers[i] = todo[i].answer(ctx, opt.Clock)
				tell.Lock()
				done++
				if opt.Progress != nil && ctx.Err() == nil {
					opt.Progress(done, len(todo), todo[i].title)
				}
				tell.Unlock()
			}
		})
	}
	for i := range todo {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	crew.Wait()
	var rows []Row
	for _, a := range answers {
		rows = append(rows, a...)
	}
	if err := ctx.Err(); err != nil {
		return rows, fmt.Errorf("comparing with references: %w", err)
	}
	return rows, nil
}
