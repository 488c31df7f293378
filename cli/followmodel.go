package cli

import (
	"math"
	"slices"

	"emberbank/bench"
	"emberbank/block"
	"emberbank/follow"
	"emberbank/heat"
	"emberbank/trial"
)

// serviceLimits are the service temperatures of the media in which the receiver's sensors sit: that of the part at a
// sensor's position, or the block's where none is given.
func serviceLimits(what *bench.Following) []follow.Limit {
	r := what.Receiver
	if r == nil {
		return nil
	}
	var out []follow.Limit
	for i := range what.Setup.Sources {
		for k := range what.Setup.Sources[i].Channels {
			c := &what.Setup.Sources[i].Channels[k]
			if c.Role != trial.Body {
				continue
			}
			medium := r.MediumAt((*block.Point)(c.Position))
			if medium < 0 {
				continue
			}
			m := &r.Media[medium]
			if m.ServiceLimit > 0 {
				out = append(out, follow.Limit{Of: c.Name, At: m.ServiceLimit, Why: "service temperature of " + m.Name, Source: m.ServiceSource})
			}
			if m.OxidationOnset > 0 {
				out = append(out, follow.Limit{Of: c.Name, At: m.OxidationOnset, Why: m.Name + " burns away in air from about here", Source: m.OxidationSource})
			}
		}
	}
	return out
}

// followModel makes the model that the description names; nil where it names none.
func followModel(at place, what *bench.Following, note func(string)) (*follow.Model, error) {
	if what.Run == "" {
		return nil, nil
	}
	var m *matched
	if what.Match != "" {
		var err error
		if m, err = readMatched(at.path(what.Match)); err != nil {
			return nil, err
		}
	}
	first, problems := bench.LoadRun(at.fs(), what.Run, m.changes())
	if problems.Failed() {
		return nil, &failure{code: ExitInput, problems: at.named(problems)}
	}
	out := &follow.Model{
		Run: heat.Run, Begins: what.Begins, AsStated: what.AsStated, Uptakes: map[string]float64{},
	}
	for _, u := range what.Uptakes {
		out.Uptakes[u.Of] = u.Factor
	}
	var moves []func(value float64) bench.Options
	if m != nil {
		moves = m.parameters(out)
		plain, problems := bench.LoadRun(at.fs(), what.Run, bench.Options{Override: m.changes().Override})
		if problems.Failed() {
			return nil, &failure{code: ExitInput, problems: at.named(problems)}
		}
		out.Stated = func(i int, v float64) (heat.Problem, error) {
			if i < 0 {
				return plain.Problem, nil
			}
			run, problems := bench.LoadRun(at.fs(), what.Run, bench.Options{Override: moves[i](v).Override})
			if problems.Failed() {
				return heat.Problem{}, problems
			}
			return run.Problem, nil
		}
		uptakes(out, what, lightOf(&first.Problem) != lightOf(&plain.Problem))
		out.Outside = func(p *heat.Problem, r *heat.Result) (outside []follow.Outside) {
			for _, d := range m.match.Envelope.Leaves(p, r) {
				outside = append(outside, follow.Outside{Name: d.Name, Direction: d.Direction, By: d.By, Unit: d.Unit, Sentence: d.Sentence})
			}
			return outside
		}
	} else {
		for _, u := range append(append([]bench.Uncertain(nil), first.Uncertain...), first.Spreads...) {
			out.Parameters = append(out.Parameters, follow.Parameter{Name: u.Path, Value: u.Value, SD: u.Half / 1.96})
			moves = append(moves, func(v float64) bench.Options { return bench.Options{Override: map[string]float64{u.Path: v}} })
		}
		out.Covariance = make([][]float64, len(moves))
		for i := range moves {
			out.Covariance[i] = make([]float64, len(moves))
			out.Covariance[i][i] = out.Parameters[i].SD * out.Parameters[i].SD
		}
		uptakes(out, what, false)
		if len(out.Parameters) == 0 && !(what.Within > 0) {
			note("no match is named, and the run's inputs carry no uncertainty: the band is that of the sensors alone")
		}
	}
	out.Load = func(i int, v float64) (heat.Problem, error) {
		if i < 0 {
			return first.Problem, nil
		}
		run, problems := bench.LoadRun(at.fs(), what.Run, moves[i](v))
		if problems.Failed() {
			return heat.Problem{}, problems
		}
		return run.Problem, nil
	}
	return out, nil
}

// lightOf is the largest power of a run's light.
func lightOf(p *heat.Problem) float64 {
	if p.Duty.Light == nil || p.Duty.Light.Power.Empty() {
		return 0
	}
	return slices.Max(p.Duty.Light.Power.V)
}

// uptakes adds what the description says of how well a source's uptake is known, where it drives the model and a match has not
// found the light already.
func uptakes(out *follow.Model, what *bench.Following, found bool) {
	if what.AsStated || found {
		return
	}
	for _, u := range what.Uptakes {
		if !(u.U > 0) {
			continue
		}
		sd := u.U * u.Factor
		n := len(out.Parameters)
		out.Parameters = append(out.Parameters, follow.Parameter{Name: "uptake of " + u.Of, Value: u.Factor, SD: sd, Uptake: u.Of})
		for i := range out.Covariance {
			out.Covariance[i] = append(out.Covariance[i], 0)
		}
		out.Covariance = append(out.Covariance, append(make([]float64, n), sd*sd))
	}
}

// parameters puts a match's parameters and departures into a model, and says how each is moved.
func (m *matched) parameters(out *follow.Model) []func(float64) bench.Options {
	var moves []func(float64) bench.Options
	var index []int
	for i, p := range m.match.Parameters {
		if len(p.Trials) > 0 || p.SD == nil {
			continue
		}
		index = append(index, i)
		out.Parameters = append(out.Parameters, follow.Parameter{Name: p.Name, Value: p.Value, SD: *p.SD})
		moves = append(moves, func(v float64) bench.Options {
			opt := m.changes()
			factors := map[string]float64{}
			for path, x := range opt.Factor {
				factors[path] = x
			}
			for _, path := range p.Paths {
				if p.Factor {
					factors[path] = v
				} else {
					opt.Override[path] = v
				}
			}
			opt.Factor = factors
			return opt
		})
	}
	for _, i := range index {
		row := make([]float64, 0, len(index))
		for _, j := range index {
			c := 0.0
			if i < len(m.match.Covariance) && j < len(m.match.Covariance[i]) {
				c = m.match.Covariance[i][j]
			}
			row = append(row, c)
		}
		out.Covariance = append(out.Covariance, row)
	}
	out.Departures = map[string]follow.Departing{}
	for _, n := range m.match.Noise {
		out.Departures[n.Column] = follow.Departing{White: n.White, Lasting: n.Lasting, Time: n.Time, Slow: math.Hypot(n.Slow, n.Common), SlowTime: n.SlowTime}
	}
	return moves
}
