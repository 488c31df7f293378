package verify

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"testing/fstest"

	"emberbank/bench"
	"emberbank/heat"
	"emberbank/season"
)

// played is a season of a case, computed by its fast model and, where that is asked for, by the full one.
type played struct {
	out  *season.Outcome
	full *heat.Result
}

// play computes the season of a file; full tells whether the full model does too.
func (r *played) play(ctx context.Context, files fs.FS, name string, full bool) error {
	loaded, problems := bench.LoadSeason(files, name)
	if problems.Failed() {
		return fmt.Errorf("reading the season %s: %w", name, problems)
	}
	days := func(list []bench.SeasonDay, apart bool) (out []season.Day) {
		for _, d := range list {
			one := season.DayAt(d.Day, d.Block)
			one.FromSeason = apart && d.Default
			out = append(out, one)
		}
		return out
	}
	p := loaded.Run.Problem
	p.Threads = 1
	plan := season.Plan{From: days(loaded.Build, false), Apart: days(loaded.Apart, true)}
	var err error
	if _, r.out, err = season.Make(ctx, p, plan, p.Output[1]-p.Output[0], season.Options{Run: heat.Run}); err != nil {
		return fmt.Errorf("computing the season %s: %w", name, err)
	}
	if full {
		r.full, err = heat.Run(ctx, p)
	}
	return err
}

// The swing of the air: once a day, 10 K either way about 20 °C.
const (
	swingMean = 20.0
	swingHalf = 10.0
	perDay    = 144 // rows and knots
)

// knot is one point of the swing.
type knot struct{ Hour, DegC float64 }

// swing plays the season of air that swings.
func (r *played) swing(ctx context.Context) error {
	var gap struct{ Swing []knot }
	for i := range perDay + 1 {
		x := float64(i) / perDay
		gap.Swing = append(gap.Swing, knot{24 * x, swingMean + swingHalf*math.Sin(2*math.Pi*x)})
	}
	run, err := (&known{title: "air that swings", file: "seasons/swing-run.yaml"}).text(gap)
	if err != nil {
		return err
	}
	plan, err := files.ReadFile("cases/seasons/swing.yaml")
	if err != nil {
		return err
	}
	return r.play(ctx, fstest.MapFS{"swing.yaml": {Data: plan}, "swing-run.yaml": {Data: run}}, "swing.yaml", false)
}

// harmonic returns amplitude and lag (s) of the block's mean over the last day against the air.
func (r *played) harmonic() (amplitude, lag float64) {
	v := r.out.History.Column("block mean").Values
	v = v[len(v)-1-perDay : len(v)-1]
	var s, c float64
	for i, T := range v {
		x := 2 * math.Pi * float64(i) / perDay
		s, c = s+2*T*math.Sin(x)/perDay, c+2*T*math.Cos(x)/perDay
	}
	return math.Hypot(s, c), -math.Atan2(c, s) * 86400 / (2 * math.Pi)
}

// seasons hold the fast model for seasons against an exact solution, and against the full one.
func seasons() []known {
	const topic = "seasons"
	var lumped, small played
	of := func(p *played, f func(p *played) float64) func(*outcome) float64 {
		return asked(func() float64 { return f(p) })
	}
	const constant = 4 * 3600.0 // s, of the block
	x := 2 * math.Pi / 86400 * constant
	book := func(p *played) float64 {
		b := &p.out.Whole
		return math.Abs(b.Residual) / (b.Absorbed + b.Delivered + b.Lost)
	}
	const exact = "exact solution of m c dT/dt = h A (Ta − T) for air that swings as a sine: amplitude 1/√(1 + (ωτ)²), lag arctan(ωτ)/ω; lumped capacitance, Incropera et al., Fundamentals of Heat and Mass Transfer, chapter 5"
	const promise = "the full model of this program, which computes the same three days; no outside source"
	return []known{
		{topic: topic, title: "a block in air that swings, by the fast model", first: lumped.swing, rows: from(exact, "sixth day, time constant of 4 h; tolerance: a hundredth, for steps of ten minutes and tables",
			near("block in air that swings once a day by 10 K: amplitude", "K", swingHalf/math.Sqrt(1+x*x), 0.01, of(&lumped, func(p *played) float64 { a, _ := p.harmonic(); return a })),
			near("block in air that swings once a day: lag", "h", math.Atan(x)/x*constant/3600, 0.01, of(&lumped, func(p *played) float64 { _, lag := p.harmonic(); return lag / 3600 })))},
		{topic: topic, title: "a small receiver through three days, by both models", first: func(ctx context.Context) error {
			return small.play(ctx, files, "cases/seasons/small.yaml", true)
		}, rows: append(
			from(promise, "charged by the sun, melting, three loads of steam; 5 % of the heat and 5 K are what a season promises",
				bound("fast model against the full one, heat lost: off by", "1", AtMost, 0.05, of(&small, func(p *played) float64 { return math.Abs(p.out.Whole.Lost/p.full.Ledger.Lost - 1) })),
				bound("fast model against the full one, heat delivered: off by", "1", AtMost, 0.05, of(&small, func(p *played) float64 { return math.Abs(p.out.Whole.Delivered/p.full.Ledger.Carried - 1) })),
				bound("fast model against the full one, block's mean over an hour: off by", "K", AtMost, 5, of(&small, (*played).apart))),
			from("the first law", "what came in less what left less what is stored, as a share of all of it",
				bound("a season's books: left over", "1", AtMost, 1e-9, of(&small, book)))...)},
	}
}

// apart is the largest difference of the block's mean between both models, in K, as means over an hour.
func (r *played) apart() float64 {
	fast, full := r.out.History.Column("block mean").Values, r.full.History.Column("block mean").Values
	if len(fast) != len(full) {
		return math.NaN()
	}
	const hour = perDay / 24
	most := 0.0
	for i := hour; i <= len(full); i++ {
		sum := 0.0
		for k := i - hour; k < i; k++ {
			sum += (fast[k] - full[k]) / hour
		}
		most = math.Max(most, math.Abs(sum))
	}
	return most
}
