package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/balance"
	"emberbank/bench"
	"emberbank/logbook"
	"emberbank/shelf"
)

type compareCommand struct {
	Files    []string `arg:"" name:"file"`
	Output   string   `short:"o"`
	Shared   bool
	Variants string
	Begins   string
	JSON     bool `name:"json"`
	Quiet    bool
}

func (k *compareCommand) wantsJSON() bool { return k.JSON }

func (k *compareCommand) run(c *call) error {
	two, err := k.sides()
	if err != nil {
		return err
	}
	if two != nil {
		return k.placeBeside(c, two)
	}
	files, err := trialsOf(k.Files)
	if err != nil {
		return err
	}
	if len(files) < 2 {
		return &failure{code: ExitInput, message: fmt.Sprintf("a comparison needs two trials, %d is given", len(files)), hint: whatIsCompared}
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
	if err := account.WriteCompared(sink{f}, result); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	placed, err := f.place(inputs, false)
	if err != nil {
		return err
	}
	switch {
	case k.JSON:
		c.printJSON(account.ComparedJSON(result, placed))
	case !k.Quiet:
		_ = account.ComparedText(c.out, result) // watched
		fmt.Fprintf(c.out, "\nThe results stand in %s\n", placed)
	}
	return nil
}

// together is two results side by side, with where they go and what they come from.
type together struct {
	*account.Beside
	target string
	inputs []shelf.Entry
}

// sides finds two runs, a run and a trial, or two variants of a study among the arguments; nil: they are trials.
func (k *compareCommand) sides() (*together, error) {
	begins, err := beginning(k.Begins)
	if err != nil {
		return nil, err
	}
	if k.Variants != "" {
		if len(k.Files) != 1 {
			return nil, &failure{code: ExitUsage, message: "--variants goes with one study", hint: "name the study's file or the folder of its results"}
		}
		both, err := variantSides(k.Files[0], k.Variants)
		if err != nil {
			return nil, err
		}
		return besideRuns(both[0], both[1]), nil
	}
	kinds := make([]string, len(k.Files))
	var runs, trials []int
	for i, arg := range k.Files {
		if kinds[i], err = kindOf(arg); err != nil {
			return nil, err
		}
		switch kinds[i] {
		case "run", "results":
			runs = append(runs, i)
		case "trial":
			trials = append(trials, i)
		case "folder":
		case "study":
			return nil, &failure{code: ExitInput, message: arg + " is a study", hint: "name two of its variants: emberbank compare " + shelf.Word(arg) + " --variants 1,2"}
		default:
			return nil, &failure{code: ExitInput, message: fmt.Sprintf("%s is of kind %q, which is not compared", arg, kinds[i]), hint: whatIsCompared}
		}
	}
	switch {
	case len(runs) == 0:
		return nil, nil
	case len(k.Files) != 2:
		return nil, &failure{code: ExitInput, message: fmt.Sprintf("%s with runs among them are given", counted(len(k.Files), "argument")), hint: whatIsCompared}
	case len(runs) == 2:
		a, err := runSide(k.Files[0], kinds[0])
		if err != nil {
			return nil, err
		}
		b, err := runSide(k.Files[1], kinds[1])
		if err != nil {
			return nil, err
		}
		return besideRuns(a, b), nil
	case len(trials) == 1:
		return besideRunAndTrial(k.Files[runs[0]], kinds[runs[0]], k.Files[trials[0]], begins)
	}
	return nil, &failure{code: ExitInput, message: "a run is compared with another run or with one trial", hint: whatIsCompared}
}

const whatIsCompared = "name two runs, a run and a trial, or two trials and more, each by its file or folder; of a study, two variants by --variants"

func besideRuns(a, b *side) *together {
	return &together{besideOf(a, b), besideTarget(a, b), sourcesOf(a, b)}
}

// sourcesOf are the results that two sides were read from.
func sourcesOf(sides ...*side) (inputs []shelf.Entry) {
	for _, s := range sides {
		if s.variant != nil {
			inputs = append(inputs, s.inputs...)
			continue
		}
		for _, name := range []string{"history.csv", "ledger.json"} {
			path := filepath.Join(s.dir, name)
			inputs = append(inputs, shelf.Entry{Name: inBench(s.files.root, path), SHA256: hashOfFile(path)})
		}
	}
	return inputs
}

func besideRunAndTrial(run, kind, file string, begins float64) (*together, error) {
	s, err := runSide(run, kind)
	if err != nil {
		return nil, err
	}
	at, err := locate(file)
	if err != nil {
		return nil, err
	}
	loaded, problems := bench.LoadTrial(at.fs(), at.name, bench.Options{})
	if problems.Failed() {
		return nil, &failure{code: ExitInput, problems: at.named(problems)}
	}
	r, err := besideTrial(loaded, s, begins)
	if err != nil {
		return nil, err
	}
	inputs := sourcesOf(s)
	for _, i := range loaded.Inputs {
		inputs = append(inputs, shelf.Entry{Name: i.Name, SHA256: i.SHA256})
	}
	own := at.results()
	return &together{r, filepath.Join(filepath.Dir(own), bench.SafeName(filepath.Base(own)+"-and-"+s.name)), inputs}, nil
}

// placeBeside writes what came out of two sides and prints it.
func (k *compareCommand) placeBeside(c *call, two *together) error {
	target := k.Output
	if target == "" {
		target = two.target
	}
	f, err := openToPlace(target, c.disk)
	if err != nil {
		return err
	}
	defer f.close()
	if err := account.WriteBeside(sink{f}, two.Beside); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	placed, err := f.place(two.inputs, false)
	if err != nil {
		return err
	}
	switch {
	case k.JSON:
		c.printJSON(account.BesideJSON(two.Beside, placed))
	case !k.Quiet:
		_ = account.BesideText(c.out, two.Beside) // watched
		if len(two.Maps) > 0 {
			fmt.Fprintln(c.out)
			_ = account.MapText(c.out, two.Maps)
		}
		fmt.Fprintf(c.out, "\nThe results stand in %s\n", placed)
	}
	return nil
}

// compared reads the trials and compares what they have in common.
func (k *compareCommand) compared(files []string) (*account.Compared, []shelf.Entry, error) {
	var ins []*balance.Input
	var yields []balance.Yield
	var inputs []shelf.Entry
	out := &account.Compared{Shared: k.Shared}
	for _, file := range files {
		at, err := locate(file)
		if err != nil {
			return nil, nil, err
		}
		loaded, problems := bench.LoadTrial(at.fs(), at.name, bench.Options{})
		if problems.Failed() {
			return nil, nil, &failure{code: ExitInput, problems: at.named(problems)}
		}
		in, _ := logbook.Input(loaded)
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
			one := shelf.Entry{Name: i.Name, SHA256: i.SHA256}
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
		out.All = append(out.All, account.Comparison{Of: of, Axes: axes, Curves: curves, Agreements: all})
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
		out.Maps = []account.Mapped{{Name: "all trials together", Of: "trials", Maps: maps, Yields: yields}}
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
	return filepath.Join(filepath.Dir(at.path(at.name)), "results", bench.SafeName(name)), nil
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
