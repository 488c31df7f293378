package cli

import (
	"fmt"
	"time"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/light"
)

type lightCommand struct {
	File    string `arg:""`
	Output  string `short:"o"`
	Rays    int64
	Threads int
	JSON    bool `name:"json"`
	Quiet   bool
}

func (k *lightCommand) wantsJSON() bool { return k.JSON }

// mostRays bounds what --rays may ask for.
const mostRays = 2_000_000_000

func (k *lightCommand) run(c *call) error {
	var err error
	if k.Threads, err = c.limit(k.Threads, k.Quiet); err != nil {
		return err
	}
	if k.Rays < 0 || k.Rays > mostRays {
		return &failure{code: ExitUsage, message: fmt.Sprintf("--rays is %d", k.Rays), hint: fmt.Sprintf("give 1 to %d; 0, or none, means as many as the wanted error asks for", mostRays)}
	}
	at, err := locate(k.File)
	if err != nil {
		return err
	}
	loaded, problems := bench.LoadLight(at.fs(), at.name, bench.Options{})
	if problems.Failed() {
		return &failure{code: ExitInput, problems: at.named(problems)}
	}
	f, err := at.open(k.Output, c.disk)
	if err != nil {
		return err
	}
	defer f.close()
	began := time.Now()
	answer, err := k.cast(c, at, loaded)
	if err != nil {
		if c.ctx.Err() != nil {
			return &failure{code: ExitStopped, message: "stopped: a cast has no results before its end", hint: "start the same command again, or ask for fewer rays"}
		}
		return &failure{code: ExitInput, message: "the rays cannot be cast", err: err}
	}
	if err := account.WriteLight(sink{f}, answer); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	placed, err := f.place(entriesOf(loaded.Inputs), false)
	if err != nil {
		return err
	}
	switch {
	case k.JSON:
		c.printJSON(struct {
			Results string            `json:"results"`
			Light   account.LightJSON `json:"light"`
		}{placed, account.LightDocument(answer)})
	case !k.Quiet:
		_ = account.LightText(c.out, answer) // watched
		fmt.Fprintf(c.out, "Cast in %s. The results stand in %s\n", duration(time.Since(began).Seconds()), placed)
	}
	return nil
}

// cast sends the rays, with how far they have got on the terminal.
func (k *lightCommand) cast(c *call, at place, l *bench.Light) (*account.Light, error) {
	bar := c.progress("light", k.Quiet)
	defer bar.done()
	return light.Answer(c.ctx, at.fs(), at.name, l, light.How{Rays: k.Rays, Threads: threads(k.Threads), Step: func(s light.Step) {
		if s.Inputs == 0 {
			bar.at(0, fmt.Sprintf("%d rays, error %.2g %%", s.Rays, 100*s.Error))
			return
		}
		bar.at(float64(s.Input)/float64(s.Inputs), fmt.Sprintf("uncertain input %d of %d", s.Input, s.Inputs))
	}})
}
