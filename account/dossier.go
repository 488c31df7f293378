// Package account turns a run's result into files and into words: the history as CSV and Parquet, the
// profiles along the circuits likewise, the ledger, the chain of resistances, the fields, the pictures, a summary, and the text that a terminal shows.
//
// It computes no heat. It opens no path either: files go into a Sink, which the caller provides and which moves
// them into place when all are written. summary.json comes last, so that a folder without it is no whole result.
//
// The same result gives the same bytes. Only performance.json and the entries wall_seconds and pace of summary.json
// depend on the machine's pace, and both come from the caller.
//
// Left out: documents with chapters, and results of measurements.
package account

import (
	"fmt"
	"io"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"emberbank/figure"
	"emberbank/heat"
	"emberbank/receiver"
	"emberbank/study"
	"emberbank/yield"
)

// Info is what a result does not know about itself.
type Info struct {
	Title       string // one line, such as "Charge of the demo block"
	Version     string // of the program
	Kernel      string // which kernels computed
	Inputs      []Input
	Sources     []Source
	Receiver    *receiver.Receiver // for the section picture; nil: none is drawn
	Colours     figure.Range       // of temperature, in pictures
	Accuracy    *study.Convergence // nil: not asked for
	Uncertainty *study.Bands       // nil: not asked for
	Opened      *OpenedVariant     // nil: it is no variant of a study
	Yield       *yield.Report      // nil: it has no load and is shorter than a day
	Circuits    *study.Circuits    // what each number of open circuits can give; nil: not asked for
	Performance Performance
	Interrupted bool // by the user or because it could not go on; a run that a rule ended is whole
}

// OpenedVariant says of which study a run is a variant that was computed again by itself.
type OpenedVariant struct {
	Study    string
	Number   int64 // from 1, as the study's table counts
	Key      string
	Settings []string // such as "wool 40 mm"
	Same     bool     // the history is the one that the study kept
	Said     []string // all that in sentences
}

// Input is a file that the run was computed from.
type Input struct {
	Name   string // as the user knows it, with forward slashes
	SHA256 string // of its bytes, hexadecimal
}

// Source is where a property or a correlation comes from.
type Source struct {
	Of         string // such as "tin" or "film in the tube"
	Text       string
	FromMemory bool // no document backs it
}

// Performance is how fast it went, measured by the caller.
type Performance struct {
	Wall       float64 // s
	CPU        float64 // s, all threads together; 0: unknown
	PeakMemory int64   // bytes; 0: unknown
	Threads    int     // 0: unknown
}

// Sink takes files by name, with forward slashes, such as "fields/field-3600.vtr"; several may be open at a time, each
// written by one goroutine. Close stores the file. Nothing that a sink took may get its final place before Write has
// returned without an error.
type Sink interface {
	Create(name string) (io.WriteCloser, error)
}

// Varies tells whether a file's bytes hang on the machine's pace: those of performance.json do, and those of
// summary.json in its entries wall_seconds and pace.
func Varies(name string) bool { return name == performanceName || name == summaryName }

// document is one file to write.
type document struct {
	name  string
	write func(w io.Writer) error
}

// Write puts all files of a result into the sink, side by side on all cores and the summary last. It ends at the first
// error, which names the file; the summary is then missing, and the caller throws the rest away.
func Write(sink Sink, r *heat.Result, info Info) error {
	soon, err := documents(r, info, nil)
	if err != nil {
		return err
	}
	writing := begin(sink, longestFirst(soon))
	maps := mapped(r, info) // takes as long as writing some of the files does
	docs, err := documents(r, info, maps)
	if err != nil {
		return err
	}
	var names []string
	var late []document
	for _, d := range docs {
		names = append(names, d.name)
		if !slices.ContainsFunc(soon, func(o document) bool { return o.name == d.name }) {
			late = append(late, d)
		}
	}
	mapping := begin(sink, late)
	for _, wait := range []func() error{writing, mapping} {
		if failed := wait(); err == nil {
			err = failed
		}
	}
	if err != nil {
		return err
	}
	last := document{summaryName, func(w io.Writer) error { return writeSummary(w, r, info, names) }}
	return last.into(sink)
}

// longestFirst puts the documents that usually take longest to write before the others, so that no core has one alone at the end, and the
// disk stores them while others are written.
func longestFirst(docs []document) []document {
	longest := []string{chainName + ".parquet", "pictures/history.svg", chainName + ".csv"}
	place := func(d document) int {
		if i := slices.Index(longest, d.name); i >= 0 {
			return i
		}
		return len(longest)
	}
	out := slices.Clone(docs)
	slices.SortStableFunc(out, func(a, b document) int { return place(a) - place(b) })
	return out
}

// begin has documents written side by side on all cores, no more of them after an error; wait returns the first one's error
// that failed, in their order.
func begin(sink Sink, docs []document) (wait func() error) {
	errs := make([]error, len(docs))
	var next atomic.Int64
	var writers sync.WaitGroup
	for range min(len(docs), runtime.GOMAXPROCS(0)) {
		writers.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(docs); i = int(next.Add(1)) - 1 {
				if errs[i] = docs[i].into(sink); errs[i] != nil {
					next.Store(int64(len(docs))) // nobody begins another
				}
			}
		})
	}
	return func() error {
		writers.Wait()
		for _, err := range errs {
			if err != nil {
				return err
			}
		}
		return nil
	}
}

// into writes the document into the sink.
func (d *document) into(sink Sink) error {
	f, err := sink.Create(d.name)
	if err != nil {
		return fmt.Errorf("writing %s: %w", d.name, err)
	}
	err = d.write(f)
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return fmt.Errorf("writing %s: %w", d.name, err)
	}
	return nil
}

// The files whose names matter to others.
const (
	summaryName     = "summary.json"
	performanceName = "performance.json"
	chainName       = "chain"
)
