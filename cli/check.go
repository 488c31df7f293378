package cli

import (
	"fmt"

	"emberbank/bench"
)

type checkCommand struct {
	Files   []string `arg:"" name:"file"`
	Upgrade bool
	JSON    bool `name:"json"`
}

func (k *checkCommand) wantsJSON() bool { return k.JSON }

// checkJSON is what `check --json` prints.
type checkJSON struct {
	OK       bool            `json:"ok"`
	Files    []checkFileJSON `json:"files"`
	Upgraded []upgradeJSON   `json:"upgraded,omitempty"`
	Problems []bench.Problem `json:"problems"`
}

type checkFileJSON struct {
	File string `json:"file"`
	OK   bool   `json:"ok"`
}

// upgradeJSON is a file that was brought up to the present schema.
type upgradeJSON struct {
	File    string   `json:"file"`
	KeptAs  string   `json:"kept_as"`
	Changes []string `json:"changes"`
}

func (k *checkCommand) run(c *call) error {
	doc := checkJSON{OK: true, Problems: []bench.Problem{}}
	seen := map[bench.Problem]bool{} // files that share a receiver share its mistakes: told once
	for _, arg := range k.Files {
		if err := c.ctx.Err(); err != nil {
			return err
		}
		at, err := locate(arg)
		if err != nil {
			return err
		}
		if k.Upgrade {
			done, err := upgrade(at, c.disk)
			for _, u := range done {
				doc.Upgraded = append(doc.Upgraded, upgradeJSON{u.file, u.keptAs, u.changes})
			}
			if err != nil {
				return err
			}
		}
		problems := bench.Check(at.fs(), at.name)
		entry := checkFileJSON{File: arg}
		entry.OK = !problems.Failed()
		doc.OK = doc.OK && entry.OK
		doc.Files = append(doc.Files, entry)
		for _, p := range at.named(problems) {
			if !seen[p] {
				seen[p] = true
				doc.Problems = append(doc.Problems, p)
			}
		}
	}
	if k.JSON {
		c.printJSON(doc)
	} else {
		for _, u := range doc.Upgraded {
			fmt.Fprintf(c.out, "%s is brought up to %s; the former file is kept as %s\n", u.File, bench.Version, u.KeptAs)
			for _, change := range u.Changes {
				fmt.Fprintf(c.out, "  %s\n", change)
			}
		}
		fmt.Fprint(c.out, bench.Problems(doc.Problems))
		fmt.Fprintln(c.out, verdict(doc.Problems, len(doc.Files)))
	}
	if !doc.OK {
		return &failure{code: ExitInput, said: true}
	}
	return nil
}

func verdict(problems bench.Problems, files int) string {
	bad := mistakes(problems)
	warnings := len(problems) - bad
	s := counted(files, "file") + " in order"
	if bad > 0 {
		s = counted(bad, "mistake")
	}
	if warnings > 0 {
		s += ", " + counted(warnings, "warning")
	}
	return s
}
