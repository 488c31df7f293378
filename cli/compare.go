package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"emberbank/balance"
	"emberbank/bench"
	"emberbank/dossier"
)

type compareCommand struct {
	Files  []string `arg:"" name:"file"`
	Output string   `short:"o"`
	Shared bool
	JSON   bool `name:"json"`
	Quiet  bool
}

func (k *compareCommand) wantsJSON() bool { return k.JSON }

func (k *compareCommand) run(c *call) error {
	files, err := trialsOf(k.Files)
	if err != nil {
		return err
	}
	if len(files) < 2 {
		return &failure{code: ExitInput, message: fmt.Sprintf("a comparison needs two trials, %d is given", len(files)), hint: "name two files of kind trial, or a folder that holds them"}
	}
	target := k.Output
	if target == "" {
		if target, err = resultsOfAll(files); err != nil {
			return err
		}
	}
	result, inputs, err := k.compared(files)
	if err != nil {
		return err
	}
	f, err := openToPlace(target, c.disk)
	if err != nil {
		return err
	}
	defer f.close()
	if err := dossier.WriteCompared(sink{f}, result); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	placed, err := f.place(inputs, false)
	if err != nil {
		return err
	}
	switch {
	case k.JSON:
		c.printJSON(dossier.ComparedJSON(result, placed))
	case !k.Quiet:
		_ = dossier.ComparedText(c.out, result) // watched
		fmt.Fprintf(c.out, "\nThe results stand in %s\n", placed)
	}
	return nil
}

// compared reads the trials and compares what they have in common.
func (k *compareCommand) compared(files []string) (*dossier.Compared, []manifestFile, error) {
	var ins []*balance.Input
	var yields []balance.Yield
	var inputs []manifestFile
	out := &dossier.Compared{Shared: k.Shared}
	for _, file := range files {
		at, err := locate(file)
		if err != nil {
			return nil, nil, err
		}
		loaded, problems := bench.LoadTrial(at.fs(), at.name, bench.Options{})
		if problems.Failed() {
			return nil, nil, &failure{code: ExitInput, problems: at.named(problems)}
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
			out.Lacking = append(out.Lacking, err.Error())
		}
		yields = append(yields, drained...)
		for _, i := range loaded.Inputs {
			one := manifestFile{Name: i.Name, SHA256: i.SHA256}
			if !slices.Contains(inputs, one) { // a receiver that trials share
				inputs = append(inputs, one)
			}
		}
	}
	out.Title = ins[0].Name + " and " + ins[1].Name
	if len(ins) > 2 {
		out.Title = fmt.Sprintf("%d trials", len(ins))
	}
	add := func(of string, curves []balance.Curve, axes balance.Axes) {
		all, err := balance.Compare(curves, axes)
		if err != nil {
			out.Lacking = append(out.Lacking, strings.Split(err.Error(), "\n")...)
		}
		if len(all) == 0 {
			return
		}
		out.All = append(out.All, dossier.Comparison{Of: of, Axes: axes, Curves: curves, Agreements: all})
	}
	if curves, axes, err := balance.CoolingCurves(ins, k.Shared); err != nil {
		out.Lacking = append(out.Lacking, err.Error())
	} else {
		add("cooling", curves, axes)
	}
	if len(yields) > 1 {
		curves, axes := balance.YieldCurves(yields, k.Shared)
		add("heat to the water", curves, axes)
	}
	if maps, err := balance.FitMap(yields, balance.MapOptions{Seed: 1}); err == nil {
		out.Maps = []dossier.Mapped{{Name: "all trials together", Of: "trials", Maps: maps, Yields: yields}}
	}
	return out, inputs, nil
}

// resultsOfAll returns the folder that takes the results of a comparison where nothing else is said: beside the first
// trial, results/ and the files' names.
func resultsOfAll(files []string) (string, error) {
	at, err := locate(files[0])
	if err != nil {
		return "", err
	}
	var stems []string
	for _, file := range files[:min(3, len(files))] {
		base := filepath.Base(file)
		stems = append(stems, strings.TrimSuffix(base, filepath.Ext(base)))
	}
	name := strings.Join(stems, "-and-")
	if more := len(files) - len(stems); more > 0 {
		name += fmt.Sprintf("-and-%d-more", more)
	}
	return filepath.Join(filepath.Dir(at.path(at.name)), "results", safeName(name)), nil
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
