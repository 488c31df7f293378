package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"

	"emberbank/bench"
)

// failure is an error with its exit code and, where there is one, a hint on what to do.
type failure struct {
	code     int
	message  string
	hint     string
	problems bench.Problems
	err      error  // behind it, may be nil
	said     bool   // already printed by the command
	asks     string // a question that --yes would have answered
	results  string // the folder of what was found before it was stopped
}

func (f *failure) Error() string {
	switch {
	case len(f.problems) > 0:
		return f.problems.Error()
	case f.err == nil:
		return f.message
	case f.message == "":
		return plain(f.err).Error()
	}
	return f.message + ": " + plain(f.err).Error()
}

func (f *failure) Unwrap() error { return f.err }

// disk is an error of reading or writing the disk; doing says what was done, such as "writing results/a".
func disk(doing string, err error) error {
	return &failure{code: ExitDisk, message: doing, err: err, hint: diskHint(err)}
}

func diskHint(err error) string {
	switch {
	case isDiskFull(err):
		return "make room or choose another disk with -o; nothing half-written was left behind"
	case errors.Is(err, fs.ErrPermission):
		return "choose a folder that you may write to"
	}
	return ""
}

// isDiskFull tells whether an error says that the disk, or one's share of it, is full.
func isDiskFull(err error) bool {
	const (
		diskFull       = syscall.Errno(112) // Windows: ERROR_DISK_FULL
		handleDiskFull = syscall.Errno(39)  // Windows: ERROR_HANDLE_DISK_FULL
	)
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) {
		return true
	}
	return onWindows && (errors.Is(err, diskFull) || errors.Is(err, handleDiskFull))
}

// plain takes the path off an error of the file system where the message around it has told the path, and words
// a full disk the same way on every system.
func plain(err error) error {
	if isDiskFull(err) {
		return errors.New("the disk is full")
	}
	var pe *fs.PathError
	if errors.As(err, &pe) && err == error(pe) {
		return pe.Err
	}
	return err
}

// report prints an error in the way that was asked for and returns the exit code.
func (c *call) report(err error, asJSON bool) int {
	if err == nil {
		return ExitDone
	}
	var f *failure
	if !errors.As(err, &f) {
		f = &failure{code: ExitStopped, err: err}
		if errors.Is(err, context.Canceled) {
			f = &failure{code: ExitStopped, message: "stopped before the end"}
		}
	}
	if f.said {
		return f.code
	}
	if asJSON {
		c.printJSON(errorDocument(f))
		return f.code
	}
	if len(f.problems) > 0 {
		fmt.Fprint(c.err, f.problems)
		return f.code
	}
	fmt.Fprintf(c.err, "error: %s\n", f.Error())
	if f.hint != "" {
		fmt.Fprintf(c.err, "  fix: %s\n", f.hint)
	}
	return f.code
}

// errorJSON is a failed command as JSON, in the words of the text.
type errorJSON struct {
	Error    string          `json:"error"`
	Fix      string          `json:"fix,omitempty"`
	Exit     int             `json:"exit"`
	Problems []bench.Problem `json:"problems,omitempty"`
}

func errorDocument(f *failure) errorJSON {
	d := errorJSON{Error: f.Error(), Fix: f.hint, Exit: f.code, Problems: f.problems}
	if n := mistakes(f.problems); n > 0 {
		d.Error = counted(n, "mistake") + " in the input"
	}
	return d
}

func mistakes(ps bench.Problems) int {
	n := 0
	for _, p := range ps {
		if !p.Warning {
			n++
		}
	}
	return n
}

// counted writes a number with its noun, "1 mistake" or "3 mistakes".
func counted(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}

// printJSON prints one document on the standard output.
func (c *call) printJSON(v any) {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if !c.lines {
		e.SetIndent("", "  ")
	}
	if err := e.Encode(v); err != nil {
		panic(fmt.Sprintf("cli: a document that JSON cannot hold: %v", err))
	}
	_, _ = c.out.Write([]byte(b.String())) // watched
}
