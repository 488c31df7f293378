package cli

import (
	"errors"
	"fmt"
	"time"

	"emberbank/verify"
)

type verifyCommand struct {
	Only string
	JSON bool `name:"json"`
}

func (v *verifyCommand) wantsJSON() bool { return v.JSON }

func (v *verifyCommand) run(c *call) error {
	bar := c.progress("verify", v.JSON)
	rows, err := c.outside(verify.Options{
		Only: v.Only, Clock: time.Now,
		Progress: func(done, total int, name string) {
			bar.at(float64(done)/float64(max(total, 1)), fmt.Sprintf("%d of %d cases, %s", done, total, name))
		},
	})
	bar.done()
	if errors.Is(err, verify.ErrNoTopic) {
		return &failure{code: ExitUsage, message: err.Error()}
	}
	if v.JSON && err == nil {
		c.printJSON(rows)
	}
	if !v.JSON {
		_ = verify.Print(c.out, rows) // watched
	}
	if err != nil {
		return &failure{code: ExitStopped, message: "stopped before all cases were computed", err: err}
	}
	return judged(rows)
}

// outside computes the outside checks.
func (c *call) outside(o verify.Options) ([]verify.Row, error) {
	if c.checks != nil {
		return c.checks(c.ctx, o)
	}
	return verify.Run(c.ctx, o)
}

// judged is the failure of rows of which one departs; the rows themselves are printed already.
func judged(rows []verify.Row) error {
	for _, r := range rows {
		if r.Verdict != verify.Agrees {
			return &failure{code: ExitFailed, said: true}
		}
	}
	return nil
}
