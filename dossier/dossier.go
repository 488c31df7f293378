// Package dossier turns a run's result into files and into words: the history as CSV and Parquet, the ledger,
// the chain of resistances, the fields, the pictures, a summary, and the text that a terminal shows.
//
// It computes no heat. It opens no path either: files go into a Sink, which the caller provides; Folder makes one
// of an opened directory. Everything is written beside its place first and moved there when the whole is written,
// summary.json last, so that neither a full disk nor a lost machine leaves results that look whole.
//
// The same result gives the same bytes. Only performance.json and the one entry wall_seconds of summary.json
// depend on the machine's pace, and both come from the caller.
//
// Left out: documents with chapters, and results of measurements.
package dossier

import (
	"errors"
	"fmt"
	"io"
	"syscall"

	"emberbank/heat"
	"emberbank/receiver"
	"emberbank/study"
)

// Info is what a result does not know about itself.
type Info struct {
	Title       string // one line, such as "Charge of the demo block"
	Version     string // of the program
	Kernel      string // which kernels computed
	Inputs      []Input
	Sources     []Source
	Receiver    *receiver.Receiver // for the section picture; nil: none is drawn
	Accuracy    *study.Convergence // nil: not asked for
	Uncertainty *study.Bands       // nil: not asked for
	Performance Performance
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

// Sink takes files by name, with forward slashes, such as "fields/field-3600.vtr".
type Sink interface {
	// Create opens a new file beside the place of that name. The place itself stays as it is until Commit.
	Create(name string) (File, error)
	// Discard removes a file of an earlier run, or all that match a pattern as in path.Match; none is no error.
	Discard(pattern string) error
}

// File is a file being written.
type File interface {
	io.Writer
	Close() error  // ends the writing; all bytes are stored when it returns nil
	Commit() error // moves the closed file to its place
	Abort()        // removes it
}

// document is one file to write.
type document struct {
	name  string
	write func(w io.Writer) error
}

// Write puts all files of a result into the sink. On an error nothing of this run has its final name but files
// whose move had already gone well, and no summary.json stands beside them.
func Write(sink Sink, r *heat.Result, info Info) (err error) {
	docs, err := documents(r, info)
	if err != nil {
		return err
	}
	names := make([]string, len(docs))
	for i, d := range docs {
		names[i] = d.name
	}
	docs = append(docs, document{summaryName, func(w io.Writer) error { return writeSummary(w, r, info, names) }})

	var open []File
	defer func() {
		if err != nil {
			for _, f := range open {
				f.Abort()
			}
		}
	}()
	for _, d := range docs {
		f, err := sink.Create(d.name)
		if err != nil {
			return explain(d.name, err)
		}
		open = append(open, f)
		err = d.write(f)
		if closing := f.Close(); err == nil {
			err = closing
		}
		if err != nil {
			return explain(d.name, err)
		}
	}
	// From here on the place changes. What an earlier run left goes first, its summary before all else.
	for _, pattern := range []string{summaryName, "fields/field-*.vtr", "pictures/*.svg", "history-half-width.csv"} {
		if err := sink.Discard(pattern); err != nil {
			return fmt.Errorf("removing %s of an earlier run: %w", pattern, err)
		}
	}
	for i, f := range open {
		if err := f.Commit(); err != nil {
			return explain(docs[i].name, err)
		}
	}
	return nil
}

// explain says in one sentence what became of the results.
func explain(name string, err error) error {
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, diskFull) {
		return fmt.Errorf("writing %s: the disk is full, and this run's results are not kept; make room and run again: %w", name, err)
	}
	return fmt.Errorf("writing %s: %w; this run's results are not complete", name, err)
}

// diskFull is the code of a full disk on Windows, ERROR_DISK_FULL; no other system gives this number when writing.
const diskFull = syscall.Errno(112)

const summaryName = "summary.json"
