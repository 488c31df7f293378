package cli

import (
	"fmt"
	"math"
	"os"
	"path/filepath"

	"emberbank/balance"
	"emberbank/bench"
)

type compareCommand struct {
	Files  []string `arg:"" name:"file"`
	Shared bool
	JSON   bool `name:"json"`
}

func (k *compareCommand) wantsJSON() bool { return k.JSON }

// agreementJSON is one comparison in what `compare --json` prints.
type agreementJSON struct {
	Of     string   `json:"of"`
	A      string   `json:"a"`
	B      string   `json:"b"`
	Unit   string   `json:"unit"`
	Bound  *float64 `json:"agree_within"`
	Least  float64  `json:"differ_by_at_least"`
	Worth  float64  `json:"independent_points"`
	Memory float64  `json:"memory"`
	Text   string   `json:"text"`
}

func (k *compareCommand) run(c *call) error {
	files, err := trialsOf(k.Files)
	if err != nil {
		return err
	}
	if len(files) < 2 {
		return &failure{code: ExitInput, message: fmt.Sprintf("a comparison needs two trials, %d is given", len(files)), hint: "name two files of kind trial, or a folder that holds them"}
	}
	var ins []*balance.Input
	var yields []balance.Yield
	var lacking []string
	for _, file := range files {
		at, err := locate(file)
		if err != nil {
			return err
		}
		loaded, problems := bench.LoadTrial(at.fs(), at.name, bench.Options{})
		if problems.Failed() {
			return &failure{code: ExitInput, problems: at.named(problems)}
		}
		in, _ := balanceInput(loaded)
		for _, other := range ins {
			if other.Name == in.Name {
				in.Name += " (" + file + ")"
			}
		}
		ins = append(ins, &in)
		drained, err := balance.Yields(&in, balance.WettedArea(loaded.Receiver))
		if err != nil {
			lacking = append(lacking, err.Error())
		}
		yields = append(yields, drained...)
	}
	docs := []agreementJSON{}
	tell := func(of string, curves []balance.Curve, axes balance.Axes) {
		all, err := balance.Compare(curves, axes)
		if err != nil {
			lacking = append(lacking, err.Error())
			return
		}
		for i := range all {
			a := &all[i]
			bound := &a.Bound
			if math.IsInf(a.Bound, 0) || math.IsNaN(a.Bound) {
				bound = nil
			}
			docs = append(docs, agreementJSON{of, a.A, a.B, axes.Unit, bound, a.Least, a.Worth, a.Memory, a.Sentence})
			if !k.JSON {
				fmt.Fprintf(c.out, "%s and %s:\n  %s\n", a.A, a.B, a.Sentence)
			}
		}
		if len(all) > 1 && !k.JSON {
			_, _, s := balance.Worst(all, axes)
			fmt.Fprintf(c.out, "All together: %s\n", s)
		}
	}
	if curves, axes, err := balance.CoolingCurves(ins, k.Shared); err != nil {
		lacking = append(lacking, err.Error())
	} else {
		tell("cooling", curves, axes)
	}
	if len(yields) > 1 {
		curves, axes := balance.YieldCurves(yields, k.Shared)
		tell("heat to the water", curves, axes)
	}
	if k.JSON {
		c.printJSON(struct {
			Agreements []agreementJSON `json:"agreements"`
			Lacking    []string        `json:"lacking"`
		}{docs, append([]string{}, lacking...)})
		return nil
	}
	for _, s := range lacking {
		fmt.Fprintf(c.out, "Not compared: %s.\n", s)
	}
	return nil
}

// trialsOf returns the files that arguments name; a folder stands for the trials in it.
func trialsOf(args []string) ([]string, error) {
	var files []string
	for _, arg := range args {
		if st, err := os.Stat(arg); err != nil || !st.IsDir() {
			files = append(files, arg)
			continue
		}
		entries, err := os.ReadDir(arg)
		if err != nil {
			return nil, disk("reading "+arg, err)
		}
		for _, e := range entries {
			if ext := filepath.Ext(e.Name()); e.IsDir() || ext != ".yaml" && ext != ".yml" {
				continue
			}
			if kind, problems := bench.Kind(os.DirFS(arg), e.Name()); !problems.Failed() && kind == "trial" {
				files = append(files, filepath.Join(arg, e.Name()))
			}
		}
	}
	return files, nil
}
