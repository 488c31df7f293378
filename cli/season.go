package cli

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/heat"
	"emberbank/season"
	"emberbank/yield"
)

// seasonFile tells whether a place is a file of kind season.
func seasonFile(at place) bool {
	if at.folder {
		return false
	}
	kind, problems := bench.Kind(at.fs(), at.name)
	return !problems.Failed() && kind == "season"
}

// runSeason computes a season by its fast model and puts the results in place.
func (r *runCommand) runSeason(c *call, at place) error {
	if r.Accuracy || r.Uncertainty || r.Match != "" {
		return &failure{
			code: ExitUsage, message: "a season says its error by days of the full model: --accuracy, --uncertainty and --match do not go with it",
			hint: "leave them out; a run of a few days takes them",
		}
	}
	loaded, problems := bench.LoadSeason(at.fs(), at.name)
	if problems.Failed() {
		return &failure{code: ExitInput, problems: at.named(problems)}
	}
	f, err := at.open(r.Output, c.disk)
	if err != nil {
		return err
	}
	defer f.close()
	if err := r.prepare(loaded.Run); err != nil {
		return err
	}
	workers := threads(r.Threads)
	p := loaded.Run.Problem
	kept, err := newKeptDays(f, p.Kernel)
	if err != nil {
		return err
	}
	p.Threads = 1 // days are computed side by side
	bar := c.progress("season", r.Quiet)
	began := time.Now()
	marched := 0.0
	m, out, err := season.Make(c.ctx, p, daysOf(loaded), rowsOf(&p), season.Options{
		Run: heat.Run, Keep: kept, Key: kept.key, Layers: loaded.Layers, Shells: loaded.Shells, Workers: workers,
		Allowed: season.Allowance{Heat: loaded.Heat, Mean: loaded.BlockMean},
		March: func(do func() error) error {
			began := time.Now()
			err := do()
			marched = time.Since(began).Seconds()
			return err
		},
		Progress: func(what string, done, total int) {
			bar.at(float64(done)/float64(total), fmt.Sprintf("%d of %d: %s", done, total, what))
		},
	})
	bar.done()
	if c.ctx.Err() != nil {
		return &failure{code: ExitStopped, message: "stopped: a season has no results before its end", hint: "start the same command again"}
	}
	refused := errors.Is(err, season.ErrOutside)
	if err != nil && (!refused || m == nil) {
		return &failure{code: ExitInput, message: "the season cannot be computed", err: err}
	}
	s := seasonOf(loaded, m, out, err)
	s.Marched = marched
	if !refused {
		s.Yield = yield.Of(&p, m.Result(out))
	}
	if err := kept.write(f); err != nil {
		return err
	}
	if err := account.WriteSeason(sink{f}, s, usage(time.Since(began).Seconds(), workers)); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	placed, err := f.place(entriesOf(loaded.Inputs), false)
	if err != nil {
		return err
	}
	switch {
	case r.JSON:
		c.printJSON(struct {
			Results string `json:"results"`
			Season  any    `json:"season"`
		}{placed, account.SeasonDocument(s)})
	case !r.Quiet:
		_ = account.SeasonText(c.out, s) // watched
		if m.Kept > 0 {
			account.Paragraph(c.out, "", fmt.Sprintf("Of %d runs of the full model %d were taken from the results that stood there: nothing that they hang on has changed.", m.Runs+len(m.Checks), m.Kept))
		}
		fmt.Fprintf(c.out, "Computed in %s. The results stand in %s\n", duration(time.Since(began).Seconds()), placed)
	}
	if refused {
		return &failure{code: ExitInput, message: "no season was computed: " + s.Refused, hint: "the days apart stand in apart.csv; build from more or other days, allow more, or run the days in question in full", said: r.JSON}
	}
	return nil
}

// seasonOf gathers what account writes.
func seasonOf(loaded *bench.Season, m *season.Model, out *season.Outcome, err error) *account.Season {
	p := &loaded.Run.Problem
	var notes []string
	for _, n := range append(append([]string(nil), loaded.Warnings...), loaded.Run.Warnings...) { // the season's hold the run's too
		if !slices.Contains(notes, n) {
			notes = append(notes, n)
		}
	}
	s := &account.Season{
		Name: loaded.Name, Load: p.Duty.Load != nil, Steam: p.Duty.Load != nil && p.Duty.Load.Steam, Days: int(math.Round(p.Until / 86400)),
		Model: m, Outcome: out, Version: Version, Notes: notes, Paths: m.Paths(), Starts: loaded.Run.Starts,
	}
	for _, in := range loaded.Inputs {
		s.Inputs = append(s.Inputs, account.Input{Name: in.Name, SHA256: in.SHA256})
	}
	if err != nil {
		s.Outcome, s.Refused = nil, season.Why(err)
	}
	return s
}

// daysOf is which days are computed in full.
func daysOf(loaded *bench.Season) season.Plan {
	days := func(list []bench.SeasonDay, apart bool) (out []season.Day) {
		for _, d := range list {
			one := season.DayAt(d.Day, d.Block)
			one.Lasts = d.Lasts
			one.FromSeason = apart && d.Default
			out = append(out, one)
		}
		return out
	}
	return season.Plan{
		From: days(loaded.Build, false), Apart: days(loaded.Apart, true),
		FromCount: loaded.BuildN, ApartCount: loaded.ApartN,
	}
}

// rowsOf is the distance of the season's rows in s: that of the run's output, no shorter than a minute.
func rowsOf(p *heat.Problem) float64 {
	if len(p.Output) > 1 {
		return math.Max(60, p.Output[1]-p.Output[0])
	}
	return 3600
}
