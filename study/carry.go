package study

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"emberbank/heat"
	"emberbank/history"
)

// Input is an uncertain input: a number in the user's files that was written with a half-width.
type Input struct {
	Path  string  // where it stands, such as "receiver.tube.contact"
	Value float64 // SI
	Half  float64 // SI, half-width at 95 %

	Low, High float64 // SI, what is allowed there; where both are the same, nothing is known of it
}

// bounded tells whether it is known what is allowed.
func (in *Input) bounded() bool { return in.Low != in.High }

// Films is the path of an input that no file holds: every computed film inside a tube, at the part of its own spread
// that the value says. With a value of 0 and a half-width of 1 both ends of each film's band are run, all films in step;
// a film outside the range of its correlation then stands at half and at double or further.
const Films = "films in tubes"

// Loader yields the problem with some inputs set to other values, by their paths. An error means that the value
// is not allowed there.
type Loader func(override map[string]float64) (heat.Problem, error)

// Bands is the answer of Carry, in SI.
type Bands struct {
	Inputs    []Input
	Columns   []Band // one for each column of the base run's history
	Responses []Response
	Runs      int
	Notes     []string // where the assumptions are not met, in plain words

	reach []float64 // of each input, how far apart its two runs are; with one run, twice as far as that is from the value
}

// Band is the half-width at 95 % of one history column at each of the base run's output times; NaN where a run
// has no value.
type Band struct {
	Name     string
	Quantity history.Quantity
	Half     []float64
}

// Response is one quantity with its uncertainty and where it comes from.
type Response struct {
	Quantity Quantity
	Value    float64
	Half     float64 // at 95 %
	Parts    []Part  // one for each input, in the order of the inputs
}

// Part is what one input does to a response.
type Part struct {
	Path   string
	Effect float64 // change of the response when the input rises by its half-width
	Bend   float64 // mean departure of the two sides from the straight line; small where first order holds
	Share  float64 // of the response's variance; zero where nothing varies
}

// Carry carries the inputs' uncertainty to the results by the first-order law: with y+ and y− the results at an
// input's value plus and minus its half-width U,
//
//	u_i(y) = (y+ − y−)/2,   U(y)² = Σ u_i²
//
// Inputs are taken as independent, and all half-widths hold at 95 %. A side at which the files allow no value (an
// absorptance above one) is left out: the other side then counts alone, u_i = y+ − y0, and a note says so. Where neither
// side is allowed, both runs are made at the limits of what is, at x− and x+, and what they do is scaled,
//
//	u_i(y) = (y+ − y−) U/(x+ − x−)
//
// with a note; where one of these is refused too, for another reason, the other is scaled by its own distance. Where the two sides depart from a straight line by more than half the effect, a note says so too.
//
// Source: JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2 eq. 10 with 5.1.3 note 2
// (central differences at plus and minus the uncertainty).
func Carry(ctx context.Context, load Loader, inputs []Input, responses []Quantity, opt Options) (Bands, error) {
	b := Bands{Inputs: inputs}
	jobs, err := b.plan(load, inputs, opt.Base == nil)
	if err != nil {
		return b, err
	}
	b.Runs = len(jobs)
	if err := runAll(ctx, jobs, opt); err != nil {
		return b, err
	}
	base := opt.Base
	sides := make([][2]*heat.Result, len(inputs))
	for i := range jobs {
		if jobs[i].input < 0 {
			base = jobs[i].result
			continue
		}
		sides[jobs[i].input][jobs[i].side] = jobs[i].result
		if r := jobs[i].result; r.Stopped != "" {
			b.Notes = append(b.Notes, fmt.Sprintf("%s: that run ended before its time (%s)", jobs[i].name, r.Stopped))
		}
	}
	b.outside(base)
	b.bands(base, sides)
	return b, b.respond(base, sides, responses)
}

// outside notes how much heat passed through films that were outside the range of their correlations, where they are among the inputs.
func (b *Bands) outside(base *heat.Result) {
	if !slices.ContainsFunc(b.Inputs, func(in Input) bool { return in.Path == Films }) {
		return
	}
	var through []string
	factor := 0.0
	for i := 0; i < len(base.Films); {
		circuit, share := base.Films[i].Circuit, 0.0
		for ; i < len(base.Films) && base.Films[i].Circuit == circuit; i++ {
			share += base.Films[i].Share
			factor = math.Max(factor, base.Films[i].Factor)
		}
		through = append(through, fmt.Sprintf("%.2g %% of the heat of circuit %s", 100*share, circuit))
	}
	if len(through) > 0 {
		b.Notes = append(b.Notes, fmt.Sprintf("%s: %s passed through films outside the range of their correlations; their band is a factor of up to %.2g either way, an estimate and no measurement",
			Films, strings.Join(through, ", "), factor))
	}
}

type job struct {
	name    string
	input   int // -1: the base run
	side    int // 0: below, 1: above
	problem heat.Problem
	result  *heat.Result
	err     error
}

// plan lists the runs: the base where it is asked for, then each input below and above.
func (b *Bands) plan(load Loader, inputs []Input, withBase bool) ([]job, error) {
	var jobs []job
	if withBase {
		p, err := load(nil)
		if err != nil {
			return nil, fmt.Errorf("carrying uncertainty: reading the inputs as they are: %w", err)
		}
		jobs = append(jobs, job{name: "base run", input: -1, problem: p})
	}
	b.reach = make([]float64, len(inputs))
	for i, in := range inputs {
		sides, refused := sidesOf(load, in, [2]float64{in.Value - in.Half, in.Value + in.Half})
		b.reach[i] = 2 * in.Half
		if len(sides) == 0 && in.bounded() {
			at := [2]float64{max(in.Value-in.Half, in.Low), min(in.Value+in.Half, in.High)}
			sides, refused = sidesOf(load, in, at)
			switch len(sides) {
			case 2:
				b.reach[i] = at[1] - at[0]
				b.Notes = append(b.Notes, fmt.Sprintf("%s: its half-width reaches beyond what is allowed on both sides; it was run at both limits, and what that does is scaled to the half-width", in.Path))
			case 1:
				b.reach[i] = 2 * math.Abs(at[sides[0].side]-in.Value)
				b.Notes = append(b.Notes, fmt.Sprintf("%s: its half-width reaches beyond what is allowed; it was run as far as is allowed, and what that does is scaled to the half-width", in.Path))
				if b.reach[i] < leastReach*2*in.Half {
					sides = nil
				}
			}
		}
		switch {
		case len(sides) == 0:
			return nil, fmt.Errorf("carrying uncertainty: %s is allowed neither below nor above its value: %w",
				in.Path, errors.Join(refused[0], refused[1]))
		case refused[0] != nil:
			b.Notes = append(b.Notes, in.Path+" minus its half-width is not allowed: only the side above counts")
		case refused[1] != nil:
			b.Notes = append(b.Notes, in.Path+" plus its half-width is not allowed: only the side below counts")
		}
		for k := range sides {
			sides[k].input = i
		}
		jobs = append(jobs, sides...)
	}
	for i := range jobs {
		jobs[i].problem.FieldTimes = nil
		jobs[i].problem.Progress = nil
	}
	return jobs, nil
}

// leastReach is which part of its half-width an input has to be moved at the least for its effect to be scaled from that: less would
// scale errors of computing.
const leastReach = 0.05

// sidesOf are the runs with an input at two values, below and above its own, as far as they are allowed, and why one is not.
func sidesOf(load Loader, in Input, at [2]float64) (jobs []job, refused [2]error) {
	for side := range at {
		override := map[string]float64{in.Path: at[side]}
		if in.Path == Films {
			override = nil
		}
		p, err := load(override)
		if in.Path == Films {
			p.Films = at[side]
		}
		if err != nil {
			refused[side] = err
			continue
		}
		name := fmt.Sprintf("%s %s its half-width", in.Path, [2]string{"minus", "plus"}[side])
		jobs = append(jobs, job{name: name, side: side, problem: p})
	}
	return jobs, refused
}

// runAll computes the jobs with opt.Workers at a time. The first error in the order of the jobs is returned, and
// none is begun after one.
func runAll(ctx context.Context, jobs []job, opt Options) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var (
		mu   sync.Mutex
		done int
		wg   sync.WaitGroup
	)
	next := make(chan int)
	opt.progress(0, len(jobs))
	for range max(1, min(opt.Workers, len(jobs))) {
		wg.Go(func() {
			for i := range next {
				j := &jobs[i]
				j.result, j.err = opt.Run(ctx, j.problem)
				if j.err == nil && j.result == nil {
					j.err = errors.New("it gave no result")
				}
				if j.err != nil {
					cancel()
					continue
				}
				j.result.Fields = nil
				j.problem = heat.Problem{} // its grid lines and tables may be large
				mu.Lock()
				done++
				opt.progress(done, len(jobs))
				mu.Unlock()
			}
		})
	}
feed:
	for i := range jobs {
		select {
		case next <- i:
		case <-ctx.Done():
			break feed
		}
	}
	close(next)
	wg.Wait()
	// A cancelled neighbour also shows an error: prefer the one that is not a cancellation.
	var cancelled error
	for i := range jobs {
		if err := jobs[i].err; err != nil {
			err = fmt.Errorf("carrying uncertainty: %s: %w", jobs[i].name, err)
			if !errors.Is(err, context.Canceled) {
				return err
			}
			if cancelled == nil {
				cancelled = err
			}
		}
	}
	if cancelled != nil {
		return cancelled
	}
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("carrying uncertainty: %w", err)
	}
	return nil
}

// effect returns the change for a rise of the input by its half-width, and the departure from a straight line,
// from the values below, at and above; a missing side is NaN and counts as straight. Where reach is
// less than twice the half-width, the effect is scaled.
func (b *Bands) effect(input int, below, at, above float64) (u, bend float64) {
	u, bend = (above-below)/2, (above+below)/2-at
	switch {
	case math.IsNaN(below):
		u, bend = above-at, 0
	case math.IsNaN(above):
		u, bend = at-below, 0
	}
	if full := 2 * b.Inputs[input].Half; b.reach[input] < full {
		u, bend = u*full/b.reach[input], 0
	}
	return u, bend
}

func (b *Bands) bands(base *heat.Result, sides [][2]*heat.Result) {
	for _, c := range base.History.Columns {
		band := Band{Name: c.Name, Quantity: c.Quantity, Half: make([]float64, len(c.Values))}
		for row, at := range c.Values {
			sum := 0.0
			for i, s := range sides {
				below, okBelow := cellOf(s[0], c.Name, row)
				above, okAbove := cellOf(s[1], c.Name, row)
				u, _ := b.effect(i, below, at, above)
				if !okBelow || !okAbove { // a run that was made has no such row: nothing can be said
					u = math.NaN()
				}
				sum += u * u
			}
			band.Half[row] = math.Sqrt(sum)
		}
		b.Columns = append(b.Columns, band)
	}
}

// cellOf returns a value of a column, NaN for a run that was not made, and false for one that has no such value.
func cellOf(r *heat.Result, name string, row int) (v float64, ok bool) {
	if r == nil {
		return math.NaN(), true
	}
	c := r.History.Column(name)
	if c == nil || row >= len(c.Values) || !isNumber(c.Values[row]) {
		return math.NaN(), false
	}
	return c.Values[row], true
}

func (b *Bands) respond(base *heat.Result, sides [][2]*heat.Result, responses []Quantity) error {
	for _, q := range responses {
		at, err := q.Value(base)
		if err != nil {
			return fmt.Errorf("carrying uncertainty: reading %q: %w", q.Name, err)
		}
		r := Response{Quantity: q, Value: at}
		sum := 0.0
		for i, s := range sides {
			v := [2]float64{math.NaN(), math.NaN()}
			for side, result := range s {
				if result == nil {
					continue
				}
				if v[side], err = q.Value(result); err != nil {
					return fmt.Errorf("carrying uncertainty: reading %q: %w", q.Name, err)
				}
			}
			p := Part{Path: b.Inputs[i].Path}
			p.Effect, p.Bend = b.effect(i, v[0], at, v[1])
			if math.Abs(p.Bend) > 0.5*math.Abs(p.Effect) && math.Abs(p.Bend) > 1e-9*math.Abs(at) {
				b.Notes = append(b.Notes, fmt.Sprintf("%s bends over the width of %s: the two sides depart from a "+
					"straight line by %.2g, the effect is %.2g; the band is a first-order one", q.Name, p.Path, p.Bend, p.Effect))
			}
			sum += p.Effect * p.Effect
			r.Parts = append(r.Parts, p)
		}
		r.Half = math.Sqrt(sum)
		if sum > 0 {
			for i := range r.Parts {
				r.Parts[i].Share = r.Parts[i].Effect * r.Parts[i].Effect / sum
			}
		}
		b.Responses = append(b.Responses, r)
	}
	return nil
}
