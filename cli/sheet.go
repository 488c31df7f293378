package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"emberbank/account"
	"emberbank/heat"
	"emberbank/kernel"
	"emberbank/shelf"
	"emberbank/unit"
)

// mostSections is how many variants stand on one sheet.
const mostSections = 24

// sheet computes some variants of a study again and draws sections through them side by side:
//
//	results/STUDY/opened/sections-1-4-12/sections-21600.svg
func (k *studyCommand) sheet(c *call) error {
	if len(k.Sections) > mostSections {
		return &failure{code: ExitUsage, message: fmt.Sprintf("--sections names %d variants", len(k.Sections)), hint: fmt.Sprintf("name %d at the most", mostSections)}
	}
	moment, err := k.momentOf()
	if err != nil {
		return err
	}
	dir, at, err := studyResults(k.File, "--sections")
	if err != nil {
		return err
	}
	d, err := readStudy(dir)
	if err != nil {
		return err
	}
	target := k.Output
	if target == "" {
		target = filepath.Join(dir, openedName, "sections"+numbered(k.Sections))
	}
	f, err := openToPlace(target, c.disk)
	if err != nil {
		return err
	}
	defer f.close()
	var all []account.Computed
	var inputs []shelf.Entry
	for i, n := range k.Sections {
		o, err := findVariant(dir, d, n)
		if err != nil {
			return err
		}
		files, loaded, _, err := o.load(at)
		if err != nil {
			return err
		}
		p := loaded.Problem
		if p.Kernel, err = kernel.Named(os.Getenv(kernelChoice)); err != nil {
			return &failure{code: ExitUsage, message: "reading " + kernelChoice, err: err, hint: "set " + kernelChoice + " to " + kernel.Names() + ", or leave it unset"}
		}
		name := fmt.Sprintf("variant %d: %s", o.number, strings.Join(unbrokenAll(o.settings), ", "))
		r, err := k.again(c, p, moment, fmt.Sprintf("variant %d, %d of %d", o.number, i+1, len(k.Sections)))
		if err != nil {
			return fmt.Errorf("%s of %s: %w", name, files.shown(files.name), err)
		}
		all = append(all, account.Computed{Name: name, Receiver: &loaded.Problem.Receiver, Result: r, Colours: account.ColoursOf(loaded.Temperatures, &p, r)})
		if i == 0 {
			inputs = entriesOf(loaded.Inputs)
		}
	}
	return k.placeSheet(c, f, d.Name, all, inputs)
}

// momentOf reads --moment; below 0: it is not given.
func (k *studyCommand) momentOf() (float64, error) {
	if k.Moment == "" {
		return -1, nil
	}
	q, err := unit.Parse(k.Moment, unit.Time)
	if err != nil || q.Value < 0 {
		return 0, &failure{code: ExitUsage, message: fmt.Sprintf("--moment is %q", k.Moment), err: err, hint: `give a time from the start, such as "6 h"`}
	}
	return q.Value, nil
}

// again computes a variant with fields at the moment, else when the run keeps them, else at its end.
func (k *studyCommand) again(c *call, p heat.Problem, moment float64, doing string) (*heat.Result, error) {
	p.Threads = k.Workers
	switch {
	case moment > p.Until && !p.Steady:
		return nil, &failure{code: ExitUsage, message: fmt.Sprintf("--moment is %s, and the run ends after %s", duration(moment), duration(p.Until)), hint: "name a time within the run"}
	case moment >= 0:
		p.FieldTimes = []float64{moment}
	case len(p.FieldTimes) == 0:
		p.FieldTimes = []float64{p.Until}
	}
	p.ProfileTimes = nil
	bar := c.progress(doing, k.Quiet)
	p.Progress = func(t float64) {
		if p.Until > 0 && !p.Steady {
			bar.at(t/p.Until, duration(t)+" of "+duration(p.Until))
		}
	}
	r, err := heat.Run(c.ctx, p)
	bar.done()
	if c.ctx.Err() != nil {
		return nil, &failure{code: ExitStopped, message: "stopped; no sheet was written"}
	}
	if err != nil {
		return nil, &failure{code: ExitInput, message: "the run cannot be computed", err: err}
	}
	r.Profiles = nil
	return r, nil
}

// placeSheet writes the sheets and says where they stand.
func (k *studyCommand) placeSheet(c *call, f *folder, study string, all []account.Computed, inputs []shelf.Entry) error {
	names, err := account.WriteSheets(sink{f}, study+": sections", all)
	if err != nil {
		return disk("writing the sheet to "+f.target, err)
	}
	if len(names) == 0 {
		return &failure{code: ExitInput, message: "every one of these variants ended before that moment", hint: "name an earlier one with --moment"}
	}
	placed, err := f.place(inputs, false)
	if err != nil {
		return err
	}
	switch {
	case k.JSON:
		c.printJSON(struct {
			Results  string   `json:"results"`
			Pictures []string `json:"pictures"`
		}{placed, names})
	case !k.Quiet:
		for _, n := range names {
			fmt.Fprintln(c.out, filepath.Join(placed, n))
		}
	}
	return nil
}

func numbered(all []int64) string {
	s := ""
	for _, n := range all {
		s += "-" + strconv.FormatInt(n, 10)
	}
	return s
}

// unbrokenAll keeps numbers and their units on one line.
func unbrokenAll(all []string) []string {
	out := make([]string, len(all))
	for i, s := range all {
		out[i] = strings.ReplaceAll(s, " ", "\u00a0")
	}
	return out
}
