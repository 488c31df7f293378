package cli

import (
	"errors"
	"fmt"
	"os"

	"emberbank/account"
	"emberbank/press"
	"emberbank/shelf"
)

// renewedJSON is a result that was computed anew before the dossier was composed.
type renewedJSON struct {
	Command string `json:"command"`
	Failed  string `json:"failed,omitempty"` // why it could not be
}

// renew computes what is missing, old or was stopped, each once and behind what it is computed from, and prints each command. One that
// fails is told and left: the dossier says what it lacks.
func (k *dossierCommand) renew(c *call) error {
	root := os.DirFS(k.root)
	err := shelf.Renew(func() ([]shelf.Kept, error) { return shelf.Of(root) }, func(one *shelf.Kept) error {
		if !k.JSON && !k.Quiet {
			fmt.Fprintln(c.out, one.Renew)
		}
		r := renewedJSON{Command: one.Renew}
		if _, err := c.commanded(k.root, one.Args); err != nil {
			if c.ctx.Err() != nil {
				return &failure{code: ExitStopped, message: "stopped while results were renewed", hint: "what was renewed stands; start the same command again for the others"}
			}
			r.Failed = err.Error()
			if !k.JSON && !k.Quiet {
				account.Paragraph(c.out, "  ", r.Failed)
			}
		}
		k.renewed = append(k.renewed, r)
		return nil
	})
	var told *failure
	if err != nil && !errors.As(err, &told) {
		return disk("looking for results in "+k.Dir, err)
	}
	return err
}

// faces are the TrueType faces that --font names, each looked at before anything is computed.
func (k *dossierCommand) faces() (all [][]byte, err error) {
	for _, name := range k.Font {
		raw, err := os.ReadFile(name)
		if err != nil {
			return nil, disk("reading "+name, err)
		}
		if err := press.Readable(raw); err != nil {
			return nil, &failure{code: ExitInput, message: "no face can be read from " + name, err: err, hint: "give a TrueType face that has the letters, as a rule a .ttf file"}
		}
		all = append(all, raw)
	}
	return all, nil
}
