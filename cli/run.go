package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/heat"
	"emberbank/kernel"
	"emberbank/shelf"
	"emberbank/study"
	"emberbank/yield"
)

type runCommand struct {
	File        string `arg:""`
	Output      string `short:"o"`
	Accuracy    bool
	Uncertainty bool
	Circuits    bool
	Match       string
	Variant     int64
	Threads     int
	JSON        bool `name:"json"`
	Quiet       bool

	matched *matched
	opened  *opened
	base    bench.Options // what stands in place of the files' numbers
}

func (r *runCommand) wantsJSON() bool { return r.JSON }

// kernelChoice is the variable of the environment that names the hottest loops to compute with; without it the fastest
// that the processor runs are taken.
const kernelChoice = "EMBERBANK_KERNEL"

// runJSON is what `run --json` prints.
type runJSON struct {
	Results string          `json:"results"` // the folder
	Exit    int             `json:"exit"`
	Summary json.RawMessage `json:"summary"` // summary.json in that folder
}

func (r *runCommand) run(c *call) error {
	var err error
	if r.Threads, err = c.limit(r.Threads, r.Quiet); err != nil {
		return err
	}
	if !r.Accuracy && !r.Uncertainty { // a study leaves whole runs behind
		collectLess()
	}
	memory := ready()
	defer memory()
	if r.Variant == 0 {
		if at, err := locate(r.File); err == nil && seasonFile(at) {
			memory()
			return r.runSeason(c, at)
		}
	}
	at, loaded, err := r.load(c)
	if err != nil {
		return err
	}
	if p := &loaded.Problem; r.Circuits && (p.Duty.Load == nil || p.Steady) { // told before it is computed for nothing
		return &failure{code: ExitUsage, message: "--circuits tells what open circuits can give a load over time, but the run has none", hint: "add a load to the duty, or leave the flag out"}
	}
	f, err := at.open(r.Output, c.disk)
	if err != nil {
		return err
	}
	defer f.close()
	memory()
	return r.compute(c, at, loaded, f)
}

// load finds and reads the run file.
func (r *runCommand) load(c *call) (place, *bench.Run, error) {
	if r.Variant != 0 {
		return r.loadVariant()
	}
	at, err := locate(r.File)
	if err != nil {
		return at, nil, err
	}
	if at.folder {
		b, problems := bench.LoadBench(at.fs())
		if problems.Failed() {
			return at, nil, &failure{code: ExitInput, problems: at.named(problems)}
		}
		if len(b.Runs) == 0 {
			return at, nil, &failure{code: ExitInput, message: at.shown(at.name) + " names no run", hint: `add "runs: [FILE]"`}
		}
		at.name = b.Runs[0]
	}
	if r.matched, err = readMatched(r.Match); err != nil {
		return at, nil, err
	}
	r.base = r.matched.changes()
	loaded, problems := bench.LoadRun(at.fs(), at.name, r.base)
	if problems.Failed() {
		return at, nil, &failure{code: ExitInput, problems: at.named(problems)}
	}
	return at, loaded, r.prepare(loaded)
}

// prepare says how the problem is computed.
func (r *runCommand) prepare(loaded *bench.Run) error {
	loaded.Problem.Threads = r.Threads
	loops, err := kernel.Named(os.Getenv(kernelChoice))
	if err != nil {
		return &failure{code: ExitUsage, message: "reading " + kernelChoice, err: err, hint: "set " + kernelChoice + " to " + kernel.Names() + ", or leave it unset"}
	}
	loaded.Problem.Kernel = loops
	return nil
}

// compute runs the problem and, where it was asked for, the studies around it, and puts the results in place.
func (r *runCommand) compute(c *call, at place, loaded *bench.Run, f *folder) error {
	p := loaded.Problem
	name := filepath.Base(f.target)
	bar := c.progress(name, r.Quiet)
	p.Progress = func(t float64) {
		if p.Until > 0 && !p.Steady {
			bar.at(t/p.Until, duration(t)+" of "+duration(p.Until))
		} else {
			bar.at(0, "steady state")
		}
	}
	began := time.Now()
	result, err := heat.Run(c.ctx, p)
	wall := time.Since(began).Seconds()
	bar.done()
	stopped, err := whatStopped(c.ctx, result, err)
	if err != nil {
		return err
	}
	result.Warnings = append(r.matched.tells(&p, result), doubts(loaded.Warnings, result.Warnings, result.Cautions)...)
	if !r.Uncertainty {
		nameTheFlag(result)
	}
	info := infoOf(loaded)
	info.Kernel = result.Kernel
	info.Colours = account.ColoursOf(loaded.Temperatures, &p, result)
	if r.opened != nil && !stopped {
		program, err := programName(p.Kernel)
		if err != nil {
			return err
		}
		var doubt []string
		info.Opened, doubt = r.opened.tells(&result.History, program)
		result.Warnings = append(doubt, result.Warnings...)
	}
	info.Yield = yield.Of(&p, result)
	info.Performance = usage(wall, threads(r.Threads))
	if !stopped && (r.Accuracy || r.Uncertainty) {
		if err := r.study(c, at, loaded, result, &info); err != nil {
			if c.ctx.Err() == nil {
				return err
			}
			stopped = true
			result.Stopped = "stopped by the user during the study; the run itself is whole"
		}
	}
	if r.Circuits && !stopped {
		if info.Circuits, err = r.circuits(c, p, result); err != nil {
			if c.ctx.Err() == nil {
				return err
			}
			stopped, result.Stopped = true, "stopped by the user while circuits were tried; the run itself is whole"
		}
	}
	info.Interrupted = stopped
	if err := account.Write(sink{f}, result, info); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	inputs := entriesOf(loaded.Inputs)
	if m := r.matched; m != nil {
		inputs = append(inputs, shelf.Entry{Name: inBench(at.root, m.path), SHA256: hashOfFile(m.path)})
	}
	placed, err := f.place(inputs, stopped)
	if err != nil {
		return err
	}
	return r.tell(c, placed, result, info, stopped)
}

// circuits finds what each number of the load's open circuits can give.
func (r *runCommand) circuits(c *call, p heat.Problem, result *heat.Result) (*study.Circuits, error) {
	hottest := 0.0
	for _, T := range result.History.Column("block mean").Values {
		hottest = max(hottest, T)
	}
	found, err := study.OfCircuits(c.ctx, p, result.Account.Serves, hottest)
	if err == nil && found == nil {
		result.Warnings = append(result.Warnings, "--circuits has nothing to tell: the load wants nothing, or the block never comes to a temperature that serves it")
	}
	return found, err
}

// whatStopped sorts how a run ended: whole, stopped with results so far, or not at all.
func whatStopped(ctx context.Context, result *heat.Result, err error) (stopped bool, fatal error) {
	switch {
	case err == nil && result != nil:
		return false, nil
	case result == nil || len(result.History.Time) == 0:
		if ctx.Err() != nil {
			return true, &failure{code: ExitStopped, message: "stopped before the first output time; nothing was written"}
		}
		if err == nil {
			err = errors.New("the run gave no result")
		}
		return true, &failure{code: ExitInput, message: "the run cannot be computed", err: err}
	case ctx.Err() != nil:
		result.Stopped = "stopped by the user"
	case result.Stopped == "":
		result.Stopped = err.Error()
	}
	return true, nil
}

// tell prints what came out and returns the failure of a run that was stopped.
func (r *runCommand) tell(c *call, placed string, result *heat.Result, info account.Info, stopped bool) error {
	code := ExitDone
	if stopped {
		code = ExitStopped
	}
	switch {
	case r.JSON:
		raw, err := os.ReadFile(filepath.Join(placed, "summary.json"))
		if err != nil {
			return disk("reading "+filepath.Join(placed, "summary.json"), err)
		}
		c.printJSON(runJSON{Results: placed, Exit: code, Summary: raw})
	case !r.Quiet:
		_ = account.Text(c.out, result, info, placed) // watched
		fmt.Fprintf(c.out, "Computed in %s.\n", duration(info.Performance.Wall))
	}
	if stopped && !r.JSON {
		fmt.Fprintf(c.err, "stopped: %s\n  what is done so far stands in %s\n", result.Stopped, placed)
	}
	if stopped {
		return &failure{code: ExitStopped, said: true}
	}
	return nil
}

// infoOf gathers what the results say about where they come from.
func infoOf(loaded *bench.Run) account.Info {
	info := account.Info{Title: loaded.Title, Version: Version, Receiver: &loaded.Problem.Receiver}
	for _, in := range loaded.Inputs {
		info.Inputs = append(info.Inputs, account.Input{Name: in.Name, SHA256: in.SHA256})
	}
	for _, s := range loaded.Sources {
		of, text, found := strings.Cut(s, ": ")
		if !found {
			of, text = "", s
		}
		info.Sources = append(info.Sources, account.Source{Of: of, Text: text, FromMemory: strings.Contains(text, "from memory")})
	}
	return info
}

// entriesOf are the files that were read, as a manifest names them.
func entriesOf(read []bench.Input) []shelf.Entry {
	var out []shelf.Entry
	for _, in := range read {
		out = append(out, shelf.Entry(in))
	}
	return out
}

// sink puts account's files into the folder in the making; they come to their place with the whole folder.
type sink struct{ f *folder }

func (s sink) Create(name string) (io.WriteCloser, error) {
	return s.f.create(name, account.Varies(name))
}
