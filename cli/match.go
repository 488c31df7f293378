package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"sync"
	"time"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/heat"
	"emberbank/match"
	"emberbank/unit"
	"emberbank/web"
)

type matchCommand struct {
	File     string `arg:""`
	Output   string `short:"o"`
	Accuracy bool
	Profiles bool
	Afresh   bool
	Threads  int
	JSON     bool `name:"json"`
	Quiet    bool
}

func (k *matchCommand) wantsJSON() bool { return k.JSON }

func (k *matchCommand) run(c *call) error {
	var err error
	if k.Threads, err = c.limit(k.Threads, k.Quiet); err != nil {
		return err
	}
	at, err := locate(k.File)
	if err != nil {
		return err
	}
	loaded, problems := bench.LoadMatch(at.fs(), at.name)
	if problems.Failed() {
		return &failure{code: ExitInput, problems: at.named(problems)}
	}
	f, err := at.open(k.Output, c.disk)
	if err != nil {
		return err
	}
	defer f.close()
	keep := &keeper{path: f.beside("resume"), key: matchKey(loaded, k), last: time.Now()}
	keep.load(k.Afresh)
	dried, dangers := leaveDrying(at, loaded)
	if held, _ := keep.memory.Runs(); held > 0 && !k.Quiet {
		fmt.Fprintf(c.err, "going on from an earlier start: %d runs are known\n", held)
	}
	bar := c.progress("match", k.Quiet)
	began := time.Now()
	result, err := match.Estimate(c.ctx, k.problem(at, loaded), match.Options{
		Run: heat.Run, Workers: threads(k.Threads), Rows: loaded.Rows, Starts: startsOf(loaded), Seed: uint64(loaded.Seed),
		Memory: keep.memory, Profiles: k.Profiles, Grid: loaded.Finer, Numeric: map[bool]match.Numeric{true: match.Refined}[k.Accuracy],
		Progress: func(stage string, runs int, cost float64) {
			bar.counted(0, web.Step{Text: fmt.Sprintf("%s, %d runs, half the sum of squares %.4g", stage, runs, cost), Done: int64(runs)})
			keep.now(30 * time.Second)
		},
	})
	bar.done()
	if result != nil {
		result.Cautions = dangers.sentences()
	}
	if err != nil {
		return k.stopped(c, keep, f, loaded, result, err)
	}
	result.Notes = append(append(result.Notes, dried...), loaded.Warnings...)
	if err := account.WriteMatch(sink{f}, loaded.Name, result); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	placed, err := f.place(entriesOf(loaded.Inputs), false)
	if err != nil {
		return err
	}
	keep.forget()
	switch {
	case k.JSON:
		c.printJSON(struct {
			Results string            `json:"results"`
			Match   account.MatchJSON `json:"match"`
		}{placed, account.MatchDocument(loaded.Name, result)})
	case !k.Quiet:
		_ = account.MatchText(c.out, loaded.Name, result) // watched
		fmt.Fprintf(c.out, "Matched in %s. The results stand in %s\n", duration(time.Since(began).Seconds()), placed)
	}
	return nil
}

// stopped keeps what is known of a match that did not end: its runs, and what it had found so far.
func (k *matchCommand) stopped(c *call, keep *keeper, f *folder, m *bench.Match, so *match.Result, err error) error {
	if c.ctx.Err() == nil {
		return &failure{code: ExitInput, message: "the match cannot be computed", err: err}
	}
	if saved := keep.now(0); saved != nil {
		return disk("keeping what is done in "+keep.path, saved)
	}
	held, _ := keep.memory.Runs()
	results, message := "", fmt.Sprintf("stopped: %d runs are kept in %s", held, keep.path)
	if so != nil {
		so.Notes = append(so.Notes, m.Warnings...)
		if err := account.WriteMatch(sink{f}, m.Name, so); err != nil {
			return disk("writing the results to "+f.target, err)
		}
		placed, err := f.place(entriesOf(m.Inputs), true)
		if err != nil {
			return err
		}
		results, message = placed, message+"; what was found so far, marked unfinished, stands in "+placed
	}
	return &failure{code: ExitStopped, message: message, results: results, hint: "start the same command again to go on from there; --afresh begins anew"}
}

func startsOf(m *bench.Match) int {
	if m.Starts == 0 {
		return -1 // none beside the given one
	}
	return max(m.Starts, 0)
}

// matchKey names what a memory belongs to: the inputs' bytes, the program and what decides on the rows.
func matchKey(m *bench.Match, k *matchCommand) string {
	h := sha256.New()
	fmt.Fprintln(h, Version, build, m.Rows)
	for _, in := range m.Inputs {
		fmt.Fprintln(h, in.Name, in.SHA256)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// problem turns what bench read into what match takes.
func (k *matchCommand) problem(at place, m *bench.Match) match.Problem {
	var p match.Problem
	p.Parameters = parametersOf(m.Parameters)
	for _, t := range m.Trials {
		one := match.Trial{Name: t.Name, Drying: t.Drying, Load: matchLoader(at, t.Run)}
		for _, s := range t.Leave {
			one.Leave = append(one.Leave, match.Phase{Name: s.Name, From: s.From, To: s.To})
		}
		for _, s := range t.Phases {
			one.Phases = append(one.Phases, match.Phase{Name: s.Name, From: s.From, To: s.To})
		}
		for _, col := range t.Columns {
			ch := match.Channel{Column: col.Column, Quantity: col.Quantity, Time: col.Time, Value: col.Value, Noise: col.Noise, Standing: col.Standing}
			for _, q := range col.Parts {
				ch.Parts = append(ch.Parts, match.Part{Group: q.Group, Constant: q.Constant, Relative: q.Relative, Zero: q.Zero, Larger: q.Larger})
			}
			one.Channels = append(one.Channels, ch)
		}
		if t.Aside {
			p.Aside = append(p.Aside, one)
		} else {
			p.Trials = append(p.Trials, one)
		}
	}
	return p
}

// parametersOf turns the parameters that bench read into those that match takes.
func parametersOf(list []bench.MatchParameter) (out []match.Parameter) {
	for _, q := range list {
		one := match.Parameter{
			Name: q.Name, Paths: q.Paths, Factor: q.Factor, Start: q.Start, Lower: q.Lower, Upper: q.Upper, Trials: q.Trials, Unit: q.Unit,
		}
		if conv, err := unit.Between(q.Dimension, q.Unit); err == nil {
			one.Zero = conv.ToSI(0)
			one.Size = conv.ToSI(1) - one.Zero
		}
		if q.PriorHalf > 0 {
			one.Prior = &match.Prior{Mean: q.Prior, SD: q.PriorHalf / 1.96}
		}
		out = append(out, one)
	}
	return out
}

// matchLoader reads a trial's run with other inputs. Paths that the run does not have are left to the runs that do.
func matchLoader(at place, name string) match.Loader {
	return func(s match.Settings) (heat.Problem, error) {
		loaded, problems := bench.LoadRun(at.fs(), name, bench.Options{Override: s.Values, Factor: s.Factors})
		if problems.Failed() {
			return heat.Problem{}, problems
		}
		return loaded.Problem, nil
	}
}

// keeper keeps the memory of a match beside its results while it runs.
type keeper struct {
	path, key string
	memory    *match.Memory
	mu        sync.Mutex
	last      time.Time
}

// load takes up what an earlier start of the same match has kept.
func (k *keeper) load(afresh bool) {
	k.memory = match.NewMemory(k.key)
	if afresh {
		return
	}
	raw, err := os.ReadFile(k.path)
	if err != nil {
		return
	}
	old := match.NewMemory("")
	if json.Unmarshal(raw, old) == nil && old.Key() == k.key {
		k.memory = old
	}
}

// now writes the memory if so much time has passed.
func (k *keeper) now(after time.Duration) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if time.Since(k.last) < after {
		return nil
	}
	k.last = time.Now()
	raw, err := json.Marshal(k.memory)
	if err != nil {
		return err
	}
	part := k.path + ".new"
	if err := os.WriteFile(part, raw, 0o666); err != nil {
		return err
	}
	return os.Rename(part, k.path)
}

func (k *keeper) forget() {
	if err := os.Remove(k.path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return // it will be found out of date
	}
}
