// Package light answers a file of kind light from beginning to end: it casts the rays that the file asks for, casts them again
// for each end of what is not known exactly, finds the right window where that is asked, and gathers what is told of it, for
// command line and page alike. It opens nothing by itself and prints nothing.
//
//	l, problems := bench.LoadLight(files, "light.yaml", bench.Options{})
//	answer, err := light.Answer(ctx, files, "light.yaml", l, light.How{})
//	fmt.Println(answer.Sentence())
package light

import (
	"context"
	"io/fs"

	"emberbank/account"
	"emberbank/aperture"
	"emberbank/bench"
	"emberbank/dish"
)

// How says how the rays are cast.
type How struct {
	Rays    int64      // at least so many; 0: until the error that the file wants is met
	Coarse  bool       // few rays on a coarse map, so that an answer is there soon; Rays means nothing then
	Threads int        // 0: one a core. Results do not hang on it.
	Step    func(Step) // told after each pass and each input; nil: nobody listens
}

// Step is how far a cast has got.
type Step struct {
	Rays          int64
	Error         float64 // 1, standard error of the power in the window so far
	Input, Inputs int     // uncertain inputs that were cast at both ends; Input is 0 while the file as it stands is cast
}

// A coarse cast: some 10⁵ rays leave about 0.1 % of the power and 5 % of the flux at its peak.
const (
	coarseRays = 1 << 16
	coarseBins = 32
)

// Answer casts a light that was read from a file. When ctx ends it gives up with an error that wraps the context's.
func Answer(ctx context.Context, files fs.FS, name string, l *bench.Light, how How) (*account.Light, error) {
	step := how.Step
	if step == nil {
		step = func(Step) {}
	}
	opt := dish.Options{
		Rays: how.Rays, Error: l.Error, Seed: l.Seed, Threads: how.Threads,
		Progress: func(rays int64, e float64) { step(Step{Rays: rays, Error: e}) },
	}
	if how.Coarse {
		opt.Rays, opt.Bins = coarseRays, coarseBins
	}
	res, err := dish.Cast(ctx, &l.Dish, opt)
	if err != nil {
		return nil, err
	}
	out := &account.Light{Name: l.Name, Dish: &l.Dish, Result: res, Beam: l.Beam, Notes: l.Warnings, Coarse: how.Coarse}
	if rec := l.Receiver; rec != nil && rec.Window != nil {
		out.Axis = bench.AxisOn(rec.Window.Opening, &l.Dish)
	}
	if opt.Rays == 0 {
		out.Wanted = l.Error
	}
	if sides := l.Sides(files, name); len(sides) > 0 {
		told := Step{Rays: res.Rays, Error: res.Window.Error / res.Window.Value, Inputs: len(sides)}
		opt.Progress = func(done int64, _ float64) {
			told.Input = int(done)
			step(told)
		}
		if out.Carried, err = dish.Carry(ctx, &l.Dish, res, sides, opt); err != nil {
			return nil, err
		}
	}
	if l.Right != nil {
		answer, err := aperture.Find(l.Ask(res, out.Carried))
		if err != nil {
			return nil, err
		}
		out.Right = &account.RightWindow{Shape: l.RightShape(), Size: l.Dish.Window.Width, Answer: answer}
	}
	return out, nil
}
