package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"emberbank/crew"
	"emberbank/farm"
	"emberbank/heat"
	"emberbank/kernel"
	"emberbank/survey"
)

type workCommand struct {
	Join    string `required:""`
	Secret  string
	Trust   string
	Workers int
	Idle    string
	JSON    bool `name:"json"`
	Quiet   bool
}

func (k *workCommand) wantsJSON() bool { return k.JSON }

// workJSON is what `work --json` prints at its end.
type workJSON struct {
	Ran       int     `json:"ran"`
	Failed    int     `json:"failed"` // of them
	Computing float64 `json:"computing_s"`
}

func (k *workCommand) run(c *call) error {
	if k.Workers < 0 {
		return &failure{code: ExitUsage, message: fmt.Sprintf("--workers is %d", k.Workers), hint: "give 1 or more; 0, or none, means all cores"}
	}
	seconds, err := period("--idle", k.Idle)
	if err != nil {
		return err
	}
	idle := time.Duration(seconds * float64(time.Second))
	loops, err := kernel.Named(os.Getenv(kernelChoice))
	if err != nil {
		return &failure{code: ExitUsage, message: "reading " + kernelChoice, err: err, hint: "set " + kernelChoice + " to " + kernel.Names() + ", or leave it unset"}
	}
	program, err := programName(loops)
	if err != nil {
		return err
	}
	link, err := k.join(c, idle)
	if err != nil {
		return queueTrouble(err)
	}
	defer link.Close()
	bar := c.logged("work", k.Quiet || k.JSON)
	var done workJSON
	began := time.Now()
	w := &crew.Worker{
		Link: link, Program: program, Workers: threads(k.Workers), Idle: idle, Run: survey.Run,
		Build: func(files fs.FS, run string, set []farm.Setting) (heat.Problem, error) {
			built, err := survey.Build(files, run, set)
			if err != nil {
				return heat.Problem{}, err
			}
			built.Problem.Threads, built.Problem.Kernel = 1, loops
			return built.Problem, nil
		},
		Seconds: func() float64 { return time.Since(began).Seconds() },
		Told: func(d crew.Done) {
			done.Ran++
			done.Computing += d.Seconds
			if d.Failure != "" {
				done.Failed++
			}
			bar.at(0, done.text()+", now of "+d.Study)
		},
	}
	err = w.Work(c.ctx)
	bar.done()
	if c.ctx.Err() != nil {
		return &failure{code: ExitStopped, message: "stopped: " + done.text() + "; what was under way is handed back"}
	}
	if err != nil {
		return queueTrouble(err)
	}
	switch {
	case k.JSON:
		c.printJSON(done)
	case !k.Quiet:
		fmt.Fprintln(c.out, done.text())
	}
	return nil
}

func (d *workJSON) text() string {
	text := counted(d.Ran, "variant") + " run"
	if d.Failed > 0 {
		text += fmt.Sprintf(", %d failed", d.Failed)
	}
	return text
}

// join connects to the queue. One that is not there yet is waited for, as long as there may be nothing to do.
func (k *workCommand) join(c *call, idle time.Duration) (*crew.Link, error) {
	access, err := c.access(k.Join, k.Secret, k.Trust, k.Quiet || k.JSON)
	if err != nil {
		return nil, err
	}
	ctx, stop := c.ctx, context.CancelFunc(func() {})
	if idle > 0 {
		ctx, stop = context.WithTimeout(c.ctx, idle)
	}
	defer stop()
	for first := true; ; first = false {
		link, err := crew.Join(c.ctx, access)
		var away *crew.Unreached
		if err == nil || !errors.As(err, &away) {
			return link, err
		}
		if first {
			access.Told(err.Error() + "; waiting for it")
		}
		select {
		case <-ctx.Done():
			return nil, err
		case <-time.After(time.Second):
		}
	}
}
