package cli

import (
	"fmt"
	"time"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/plan"
	"emberbank/unit"
	"emberbank/web"
)

type planCommand struct {
	File    string `arg:""`
	Output  string `short:"o"`
	Threads int
	JSON    bool `name:"json"`
	Quiet   bool
}

func (k *planCommand) wantsJSON() bool { return k.JSON }

func (k *planCommand) run(c *call) error {
	var err error
	if k.Threads, err = c.limit(k.Threads, k.Quiet); err != nil {
		return err
	}
	at, err := locate(k.File)
	if err != nil {
		return err
	}
	loaded, problems := bench.LoadPlan(at.fs(), at.name)
	if problems.Failed() {
		return &failure{code: ExitInput, problems: at.named(problems)}
	}
	f, err := at.open(k.Output, c.disk)
	if err != nil {
		return err
	}
	defer f.close()
	bar := c.progress("plan", k.Quiet)
	began := time.Now()
	result, err := plan.Make(c.ctx, planProblem(at, loaded), plan.Options{
		Run: heat.Run, Workers: threads(k.Threads),
		Progress: func(stage string, done, total int) {
			bar.counted(0, web.Step{Text: fmt.Sprintf("%s, run %d of %d", stage, done, total), Done: int64(done), Total: int64(total)})
		},
	})
	bar.done()
	if err != nil {
		if c.ctx.Err() != nil {
			return &failure{code: ExitStopped, message: "stopped: a plan has no results before its end", hint: "start the same command again"}
		}
		return &failure{code: ExitInput, message: "the plan cannot be computed", err: err}
	}
	result.Notes = append(result.Notes, loaded.Warnings...)
	if err := account.WritePlan(sink{f}, result); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	placed, err := f.place(entriesOf(loaded.Inputs), false)
	if err != nil {
		return err
	}
	switch {
	case k.JSON:
		c.printJSON(struct {
			Results string           `json:"results"`
			Plan    account.PlanJSON `json:"plan"`
		}{placed, account.PlanDocument(result)})
	case !k.Quiet:
		_ = account.PlanText(c.out, result) // watched
		fmt.Fprintf(c.out, "Planned in %s. The results stand in %s\n", duration(time.Since(began).Seconds()), placed)
	}
	return nil
}

// errorsOf is the quantity whose errors are given in a kind of unit.
var errorsOf = map[unit.Dimension]history.Quantity{
	unit.TemperatureDifference: history.Temperature, unit.Power: history.HeatFlow, unit.MassFlow: history.MassFlow,
	unit.Pressure: history.Pressure, unit.Energy: history.Heat, unit.Length: history.Length, unit.Dimensionless: history.Fraction,
}

// planProblem turns what bench read into what plan takes.
func planProblem(at place, b *bench.Plan) plan.Problem {
	p := plan.Problem{
		Name: b.Name, Parameters: parametersOf(b.Parameters), Every: b.Every, MayCost: b.MayCost, Propose: b.Propose, Lattice: b.Lattice,
		Model: plan.ModelError{Over: b.Over, Alike: b.Alike, Lasts: b.Lasts, Size: map[history.Quantity]float64{}},
	}
	for _, s := range b.ModelError {
		p.Model.Size[errorsOf[s.Dimension]] = s.Value
	}
	for _, r := range b.Runs {
		p.Trials = append(p.Trials, plan.Trial{Name: r.Name, Load: matchLoader(at, r.File)})
	}
	sensors := func(list []bench.PlanSensor) (out []plan.Sensor) {
		for _, s := range list {
			out = append(out, plan.Sensor{
				Column: s.Column, Probe: s.Probe, Noise: s.Noise, Offset: s.Offset, Lasting: s.Lasting,
				Logger: s.Logger, Shared: b.Loggers[s.Logger].Value,
			})
		}
		return out
	}
	p.Sensors, p.More = sensors(b.Sensors), sensors(b.More)
	if b.Target != nil {
		p.Target = &plan.Target{Column: b.Target.Column, Reaches: b.Target.Reaches}
	}
	for _, l := range b.Longer {
		p.Changes = append(p.Changes, plan.Change{Longer: &plan.Longer{After: l.After, By: l.By}})
	}
	for _, l := range b.Flows {
		p.Changes = append(p.Changes, plan.Change{Flow: &plan.Flow{Circuit: l.Circuit, Value: l.Flow}})
	}
	for _, l := range b.Cover {
		p.Changes = append(p.Changes, plan.Change{Cover: &plan.Cover{Shut: l.Shut, From: l.From, To: l.To}})
	}
	return p
}
