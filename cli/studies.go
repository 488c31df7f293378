package cli

import (
	"errors"
	"fmt"
	"math"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/study"
	"emberbank/survey"
)

// defaultQuantities are reported where the run file names none.
var defaultQuantities = [...]string{"block mean", "heat to passes"}

// study does what --accuracy and --uncertainty ask for.
func (r *runCommand) study(c *call, at place, loaded *bench.Run, base *heat.Result, info *account.Info) error {
	quantities, err := quantitiesOf(loaded.Accuracy, base)
	if err != nil {
		return err
	}
	if r.Accuracy {
		bar := c.progress("accuracy", r.Quiet)
		conv, err := study.Refine(c.ctx, loaded.Problem, quantities, study.Options{
			Run: heat.Run, Base: base,
			Progress: func(done, total int) { bar.at(0, fmt.Sprintf("%d of %d grids", done, total)) },
		})
		bar.done()
		if err != nil {
			return studyFailed("the accuracy", err)
		}
		info.Accuracy = &conv
	}
	if r.Uncertainty {
		inputs := uncertainInputs(loaded, base)
		if len(inputs) == 0 {
			return &failure{
				code: ExitInput, message: "no input is written with an uncertainty, so there is nothing to carry",
				hint: `write one as "380 ± 24 W/(m2 K)" (half-width at 95 %), or leave --uncertainty out`,
			}
		}
		bar := c.progress("uncertainty", r.Quiet)
		bands, err := study.Carry(c.ctx, r.loader(at), inputs, quantities, study.Options{
			Run: heat.Run, Base: base,
			Workers: threads(r.Threads),
			Progress: func(done, total int) {
				bar.at(float64(done)/float64(max(total, 1)), fmt.Sprintf("%d of %d runs", done, total))
			},
		})
		bar.done()
		if err != nil {
			return studyFailed("the uncertainty", err)
		}
		info.Uncertainty = &bands
	}
	return nil
}

func studyFailed(what string, err error) error {
	return &failure{code: ExitStopped, message: what + " could not be computed", err: err}
}

// loader reads the run again with other values of its uncertain inputs. Each of the runs of a study uses one
// thread, since they go side by side.
func (r *runCommand) loader(at place) study.Loader {
	return func(override map[string]float64) (heat.Problem, error) {
		loaded, problems := bench.LoadRun(at.fs(), at.name, withMore(r.base, override))
		if problems.Failed() {
			return heat.Problem{}, problems
		}
		p := loaded.Problem
		p.Threads = 1
		return p, nil
	}
}

// uncertainInputs lists what was written with ±, the spreads that the materials in use carry, and the films inside tubes
// where heat passed through any that was computed.
func uncertainInputs(loaded *bench.Run, base *heat.Result) []study.Input {
	var in []study.Input
	for _, u := range append(loaded.Uncertain[:len(loaded.Uncertain):len(loaded.Uncertain)], loaded.Spreads...) {
		low, high := u.Limits()
		in = append(in, study.Input{Path: u.Path, Value: u.Value, Half: u.Half, Low: low, High: high})
	}
	if base.FilmsUsed {
		in = append(in, study.Input{Path: study.Films, Half: 1})
	}
	return in
}

// quantitiesOf reads what a run file lists under "accuracy:", and checks each against the base run.
func quantitiesOf(texts []string, base *heat.Result) ([]study.Quantity, error) {
	if len(texts) == 0 {
		texts = defaultQuantities[:]
	}
	var out []study.Quantity
	for _, text := range texts {
		q, err := quantityOf(text, &base.History)
		if err == nil {
			var v float64
			if v, err = q.Value(base); err == nil && math.IsNaN(v) {
				err = errors.New("this run has no value of it")
			}
		}
		if err != nil {
			return nil, &failure{
				code: ExitInput, message: fmt.Sprintf("accuracy.of names %q", text), err: err,
				hint: `name a history column ("block mean"), its mean over time ("mean of heat to passes"), its value at a ` +
					`time ("block mean at 1 h"), a ledger entry ("ledger lost"), or in another way of those that docs/files.md lists`,
			}
		}
		out = append(out, q)
	}
	return out, nil
}

// quantityOf reads the name of a quantity of a run with this history.
func quantityOf(text string, h *history.History) (study.Quantity, error) {
	r, err := bench.ReadReading(text)
	if err != nil {
		return study.Quantity{}, err
	}
	if r.How.OfBuilt() {
		return study.Quantity{}, errors.New("it hangs on what is built alone, so neither cells nor steps change it")
	}
	if c := h.Column(r.Watch); c != nil {
		r, err = r.WithLevel(c.Quantity)
	}
	return survey.Quantity(r), err
}
