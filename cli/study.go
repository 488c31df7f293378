package cli

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/farm"
	"emberbank/heat"
	"emberbank/kernel"
	"emberbank/study"
)

type studyCommand struct {
	File    string `arg:""`
	Output  string `short:"o"`
	Workers int
	Yes     bool
	JSON    bool `name:"json"`
	Quiet   bool
}

func (k *studyCommand) wantsJSON() bool { return k.JSON }

// patience is how long, in seconds, a study may take without a question.
const patience = 3600

// outcomeName is the folder of a study's results within the study's own, beside its variants.
const outcomeName, variantsName = "outcome", "variants"

func (k *studyCommand) run(c *call) error {
	if k.Workers < 0 {
		return &failure{code: ExitUsage, message: fmt.Sprintf("--workers is %d", k.Workers), hint: "give 1 or more; 0, or none, means all cores"}
	}
	at, err := locate(k.File)
	if err != nil {
		return err
	}
	loaded, problems := bench.LoadStudy(at.fs(), at.name)
	if problems.Failed() {
		return &failure{code: ExitInput, problems: at.named(problems)}
	}
	dir := k.Output
	if dir == "" {
		dir = at.results()
	}
	if err := studyMayStandIn(dir); err != nil {
		return err
	}
	f, err := openAfterDeath(filepath.Join(dir, outcomeName), c.disk)
	if err != nil {
		return err
	}
	defer f.close()
	store, err := openVariants(filepath.Join(filepath.Dir(f.target), variantsName), c.disk)
	if err != nil {
		return err
	}
	defer func() { _ = os.Remove(store.dir) }() // refused unless it is empty
	job, err := k.job(at, loaded, store)
	if err != nil {
		return err
	}
	outcomes, err := k.work(c, loaded, job, store)
	if err != nil {
		return k.ended(c, err, loaded, store)
	}
	return k.place(c, f, loaded, outcomes)
}

// studyMayStandIn refuses a folder that holds something other than a study.
func studyMayStandIn(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil // it is not there yet, or opening it will tell
	}
	for _, e := range entries {
		if n := e.Name(); n != outcomeName && n != variantsName && !strings.HasPrefix(n, ".") {
			return &failure{code: ExitDisk, message: fmt.Sprintf("%s holds %s, which no study has written", fromHere(dir), n), hint: "choose another folder with -o"}
		}
	}
	return nil
}

// job is the study as farm runs it.
func (k *studyCommand) job(at place, s *bench.Study, store *variants) (*farm.Job, error) {
	loops, err := kernel.Named(os.Getenv(kernelChoice))
	if err != nil {
		return nil, &failure{code: ExitUsage, message: "reading " + kernelChoice, err: err, hint: "set " + kernelChoice + " to go or avx2, or leave it unset"}
	}
	program, err := programName(loops)
	if err != nil {
		return nil, err
	}
	quantities := make([]study.Quantity, len(s.Responses))
	for i, r := range s.Responses {
		quantities[i] = study.Quantity{Name: r.Read.Text, Of: r.Read.Of, Take: takes[r.Read.How], At: r.Read.At}
	}
	began := time.Now()
	return &farm.Job{
		Build: func(n int64) (heat.Problem, []farm.Setting, error) {
			x := make([]float64, len(s.Axes))
			s.Design.At(n, x)
			run, problems := bench.LoadRun(at.fs(), s.Run, s.Changes(x))
			if problems.Failed() {
				return heat.Problem{}, nil, fmt.Errorf("the run cannot be built: %s", firstMistake(problems))
			}
			run.Problem.Threads, run.Problem.Kernel = 1, loops
			return run.Problem, settingsOf(s, x), nil
		},
		Run: func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
			r, err := heat.Run(ctx, p)
			if r != nil {
				r.Fields, r.Profiles = nil, nil
			}
			return r, err
		},
		Read: func(r *farm.Record) ([]float64, error) {
			result := &heat.Result{History: r.History, Ledger: r.Ledger}
			values := make([]float64, len(quantities))
			for i, q := range quantities {
				if r.Stopped != "" && q.Take == study.AtTime && q.At > r.History.Time[len(r.History.Time)-1] {
					values[i] = math.NaN() // it ended before
					continue
				}
				v, err := q.Value(result)
				if err != nil {
					return nil, &failure{code: ExitInput, message: "reading the response " + s.Responses[i].Name, err: err, hint: "mend what it reads; what is computed is kept"}
				}
				values[i] = v
			}
			return values, nil
		},
		File: s.Run, Model: program, Store: store, Workers: threads(k.Workers),
		Seconds: func() float64 { return time.Since(began).Seconds() },
	}, nil
}

func firstMistake(ps bench.Problems) string {
	for _, p := range ps {
		if !p.Warning {
			return p.Place() + ": " + p.Message
		}
	}
	return ""
}

func settingsOf(s *bench.Study, x []float64) (out []farm.Setting) {
	for _, c := range s.Settings(x) {
		out = append(out, farm.Setting(c))
	}
	return out
}

// work runs the first variant, says what all will take, asks where that is much, and runs the others.
func (k *studyCommand) work(c *call, s *bench.Study, job *farm.Job, store *variants) ([]farm.Outcome, error) {
	count := s.Design.Count()
	held := store.held()
	first, err := job.Work(c.ctx, 0, 1)
	if err != nil {
		return nil, err
	}
	seconds, size := store.cost(first[0].Key)
	expected := seconds * float64(count-1) / float64(min(int64(job.Workers), max(count-1, 1)))
	if !k.Quiet && !k.JSON {
		text := fmt.Sprintf("%s: %s. The first took %s: the others take about %s with %s, and all take %s on the disk.",
			s.Name, counted(int(count), "variant"), duration(seconds), duration(expected), counted(job.Workers, "worker"), bytesText(size*count))
		if held > 0 {
			text += fmt.Sprintf(" %s of an earlier start are kept; those of them that are asked for again take no time.", counted(held, "variant"))
		}
		fmt.Fprintln(c.err, text)
	}
	if err := k.ask(c, expected, count, size); err != nil {
		return nil, err
	}
	bar := c.progress(s.Name, k.Quiet)
	defer bar.done()
	job.Progress = func(p farm.Progress) {
		text := fmt.Sprintf("%d of %d done", p.Done+1, count)
		if p.Known > 0 {
			text += fmt.Sprintf(", %d of them known", p.Known)
		}
		if p.Failed > 0 {
			text += fmt.Sprintf(", %d failed", p.Failed)
		}
		if left := p.Total - p.Done; p.Done > p.Known && left > 0 { // what is known takes no time
			spent := time.Since(bar.began).Seconds()
			text += ", about " + duration(spent/float64(p.Done-p.Known)*float64(left)) + " left"
		}
		bar.at(0, text)
	}
	rest, err := job.Work(c.ctx, 1, count)
	return append(first, rest...), err
}

// ask lets a long study begin only when that is meant.
func (k *studyCommand) ask(c *call, expected float64, count, size int64) error {
	limit := c.patience
	if limit == 0 {
		limit = patience
	}
	if k.Yes || expected <= limit {
		return nil
	}
	what := fmt.Sprintf("%d variants would take about %s and %s on the disk", count, duration(expected), bytesText(size*count))
	if c.in != nil && !k.JSON {
		fmt.Fprintf(c.err, "%s. Go on? (yes or no) ", what)
		line, err := bufio.NewReader(c.in).ReadString('\n')
		if err != nil && err != io.EOF {
			return disk("reading the answer", err)
		}
		if a := strings.ToLower(strings.TrimSpace(line)); a == "y" || a == "yes" {
			return nil
		}
	}
	return &failure{code: ExitStopped, message: what + ", and were not begun", hint: "say --yes to begin them, or take fewer values or a coarser grid"}
}

// bytesText writes a size on the disk.
func bytesText(n int64) string {
	x, units := float64(n), []string{"B", "kB", "MB", "GB", "TB"}
	for x >= 1000 && len(units) > 1 {
		x, units = x/1000, units[1:]
	}
	return fmt.Sprintf("%.3g %s", x, units[0])
}

// ended words what stopped a study.
func (k *studyCommand) ended(c *call, err error, s *bench.Study, store *variants) error {
	if c.ctx.Err() == nil {
		return err
	}
	return &failure{
		code: ExitStopped, message: fmt.Sprintf("stopped: %s of %d are kept in %s", counted(store.held(), "variant"), s.Design.Count(), fromHere(store.dir)),
		hint: "start the same command again to go on from there",
	}
}

// place writes what came out and prints it.
func (k *studyCommand) place(c *call, f *folder, s *bench.Study, outcomes []farm.Outcome) error {
	v := variedOf(s, outcomes)
	if err := dossier.WriteStudy(sink{f}, v); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	var inputs []manifestFile
	for _, in := range s.Inputs {
		inputs = append(inputs, manifestFile{Name: in.Name, SHA256: in.SHA256})
	}
	placed, err := f.place(inputs, false)
	if err != nil {
		return err
	}
	if v.Failed() == len(v.Variants) {
		return &failure{code: ExitInput, message: "no variant has results: variant 1: " + v.Variants[0].Failure, hint: "compute the run by itself: emberbank run"}
	}
	switch {
	case k.JSON:
		c.printJSON(struct {
			Results string            `json:"results"`
			Study   dossier.StudyJSON `json:"study"`
		}{placed, dossier.StudyDocument(v)})
	case !k.Quiet:
		_ = dossier.StudyText(c.out, v) // watched
		fmt.Fprintf(c.out, "The results stand in %s\n", placed)
	}
	return nil
}
