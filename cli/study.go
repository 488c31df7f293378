package cli

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/crew"
	"emberbank/farm"
	"emberbank/kernel"
	"emberbank/survey"
	"emberbank/web"
)

type studyCommand struct {
	File        string `arg:""`
	Output      string `short:"o"`
	Workers     int
	Open        string
	Join        string
	Secret      string
	Match       string
	Trust       string
	Certificate string
	Yes         bool
	JSON        bool `name:"json"`
	Quiet       bool

	Sections []int64 // variants whose sections are drawn on one sheet; the study is not run then
	Moment   string  // of the sheet
}

func (k *studyCommand) wantsJSON() bool { return k.JSON }

// patience is how long, in seconds, a study may take without a question.
const patience = 3600

// outcomeName is the folder of a study's results within the study's own, beside its variants, the files that they were
// computed from (keptinputs.go) and those that were opened (opened.go).
const outcomeName, variantsName = "outcome", "variants"

// paceName is the file of what the machine's pace decides, as a run's has it.
const paceName = "performance.json"

func (k *studyCommand) run(c *call) error {
	if k.Workers < 0 {
		return &failure{code: ExitUsage, message: fmt.Sprintf("--workers is %d", k.Workers), hint: "give 1 or more; 0, or none, means all cores"}
	}
	if len(k.Sections) > 0 {
		return k.sheet(c)
	}
	if k.Moment != "" {
		return &failure{code: ExitUsage, message: "--moment goes with --sections", hint: "say which variants are drawn: --sections 1,4"}
	}
	at, err := locate(k.File)
	if err != nil {
		return err
	}
	files := crew.Watch(at.fs())
	loaded, err := k.load(at, files)
	if err != nil {
		return err
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
	store.wanted = map[string]bool{}
	for _, r := range loaded.Responses {
		store.wanted[r.Read.Of], store.wanted[r.Read.Watch] = true, true
	}
	work, err := k.survey(c, files, loaded, store)
	if err != nil {
		return err
	}
	store.model = work.Job.Model
	if store.inputs, err = keepInputs(filepath.Dir(f.target), at, loaded.Inputs, c.disk); err != nil {
		return err
	}
	queue, err := k.queue(c, filepath.Dir(f.target), loaded, files, work)
	if err != nil {
		return err
	}
	bar := c.logged(loaded.Name, k.Quiet)
	work.Watch = func(p survey.Progress) {
		bar.counted(0, web.Step{
			Text: progressText(p), Done: p.Done, Total: p.Total, Known: p.Known, Running: p.Running, Failed: p.Failed, Left: p.Left, Best: p.Best,
		})
	}
	if c.tell.Point != nil {
		head := survey.Head(loaded)
		work.Seen = func(n int64, o account.Variant) { c.tell.Point(pointOf(n, head.Row(&o))) }
	}
	v, err := work.Work(c.ctx)
	bar.done()
	queue.close(err == nil)
	if err != nil {
		return k.ended(c, queueTrouble(err), loaded, store)
	}
	if err := writePace(f, &work.Job); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	return k.place(c, f, loaded, v)
}

// writePace writes how long a study took and where the time of this process's workers went, to a file of its own: it is
// another for each start.
func writePace(f *folder, j *farm.Job) error {
	t := j.Times
	raw, err := json.MarshalIndent(struct {
		Wall    float64 `json:"wall_s"`
		Workers int     `json:"workers"`
		Ran     float64 `json:"running_s"`
		Waited  float64 `json:"waiting_for_the_queue_s"`
		Built   float64 `json:"building_s"`
		Kept    float64 `json:"waiting_for_the_disk_s"`
	}{j.Seconds(), max(0, j.Workers), t.Ran, t.Waited, t.Built, t.Kept}, "", " ")
	if err != nil {
		return err
	}
	w, err := sink{f}.Create(paceName)
	if err != nil {
		return err
	}
	if _, err = w.Write(append(raw, '\n')); err == nil {
		err = w.Close()
	} else {
		_ = w.Close() // the first error counts
	}
	return err
}

// load reads the study, on top of a match where one is named.
func (k *studyCommand) load(at place, files fs.FS) (*bench.Study, error) {
	m, err := readMatched(k.Match)
	if err != nil {
		return nil, err
	}
	var under *bench.Options
	if m != nil {
		all := m.changes()
		under = &all
	}
	loaded, problems := bench.LoadStudyOver(files, at.name, under)
	if problems.Failed() {
		return nil, &failure{code: ExitInput, problems: at.named(problems)}
	}
	loaded.Warnings = append(m.notes(), loaded.Warnings...)
	return loaded, nil
}

// studyMayStandIn refuses a folder that holds something other than a study.
func studyMayStandIn(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil // it is not there yet, or opening it will tell
	}
	for _, e := range entries {
		if n := e.Name(); !slices.Contains([]string{outcomeName, variantsName, keptInputsName, openedName}, n) && !strings.HasPrefix(n, ".") {
			return &failure{code: ExitDisk, message: fmt.Sprintf("%s holds %s, which no study has written", fromHere(dir), n), hint: "choose another folder with -o"}
		}
	}
	return nil
}

// survey is the study as it is run, with what it needs of this machine.
func (k *studyCommand) survey(c *call, files fs.FS, s *bench.Study, store *variants) (*survey.Survey, error) {
	loops, err := kernel.Named(os.Getenv(kernelChoice))
	if err != nil {
		return nil, &failure{code: ExitUsage, message: "reading " + kernelChoice, err: err, hint: "set " + kernelChoice + " to " + kernel.Names() + ", or leave it unset"}
	}
	program, err := programName(loops)
	if err != nil {
		return nil, err
	}
	began := time.Now()
	return &survey.Survey{
		Asked: s, Files: files, Loops: loops,
		Job: farm.Job{
			Model: program, Limit: s.Limit, Store: store, Workers: k.workers(),
			Seconds: func() float64 { return time.Since(began).Seconds() }, Times: &farm.Times{},
		},
		Cost:    store.cost,
		Consent: k.consent(c, s, store, max(1, k.workers())),
	}, nil
}

// consent says what a study will take, and asks where that is much.
func (k *studyCommand) consent(c *call, s *bench.Study, store *variants, workers int) func(survey.Estimate) error {
	held := store.held()
	return func(e survey.Estimate) error {
		kept, _ := sizeOf(filepath.Join(filepath.Dir(store.dir), keptInputsName))
		e.Size += kept + 8*diskBlock // the folders, the manifest, and what files leave free in their last blocks
		text := fmt.Sprintf("%s. The first took %s: the others take about %s with %s, and all take %s on the disk.",
			runsText(e), duration(e.First), duration(e.Rest), counted(workers, "worker"), bytesText(e.Size))
		if held > 0 {
			text += fmt.Sprintf(" Kept from an earlier start: %s; what is asked for again takes no time.", counted(held, "variant"))
		}
		if c.tell.Estimate != nil {
			c.tell.Estimate(text)
		}
		if !k.Quiet && !k.JSON {
			fmt.Fprintln(c.err, s.Name+": "+text)
		}
		return k.ask(c, e)
	}
}

// runsText says how much is run.
func runsText(e survey.Estimate) string {
	text := counted(int(e.Variants), "variant")
	var more []string
	if e.Carried > 0 {
		more = append(more, fmt.Sprintf("%d to carry the uncertainty of inputs", e.Carried))
	}
	if e.Edges > 0 {
		more = append(more, fmt.Sprintf("%d at the edges of what is as good as the best", e.Edges))
	}
	if e.Twins > 0 {
		more = append(more, fmt.Sprintf("%d on a finer grid", e.Twins))
	}
	if len(more) > 0 {
		text += " and " + counted(int(e.Carried+e.Edges+e.Twins), "run") + " more (" + strings.Join(more, ", ") + ")"
	}
	return text
}

// progressText is how far a study has got.
func progressText(p survey.Progress) string {
	text := fmt.Sprintf("%d of %d done", p.Done, p.Total)
	if p.Known > 0 {
		text += fmt.Sprintf(", %d of them known", p.Known)
	}
	if p.Failed > 0 {
		text += fmt.Sprintf(", %d failed", p.Failed)
	}
	if p.Running > 0 {
		text += fmt.Sprintf(", %d running", p.Running)
	}
	if p.Left > 0 {
		text += ", about " + duration(p.Left) + " left"
	}
	if p.Best != "" {
		text += "; so far " + p.Best
	}
	return text
}

// ask lets a long study begin only when that is meant.
func (k *studyCommand) ask(c *call, e survey.Estimate) error {
	limit := c.patience
	if limit == 0 {
		limit = patience
	}
	if k.Yes || e.Rest <= limit {
		return nil
	}
	what := fmt.Sprintf("%s would take about %s and %s on the disk", runsText(e), duration(e.Rest), bytesText(e.Size))
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
	return &failure{code: ExitStopped, message: what + ", and were not begun", asks: what, hint: "say --yes to begin them, or take fewer values or a coarser grid"}
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
	var wrong *survey.Mistake
	switch {
	case c.ctx.Err() != nil:
	case errors.As(err, &wrong):
		return &failure{code: ExitInput, message: wrong.Message, err: wrong.Err, hint: wrong.Fix}
	default:
		return err
	}
	return &failure{
		code: ExitStopped, message: fmt.Sprintf("stopped: %s of %d are kept in %s", counted(store.held(), "variant"), s.Count(), fromHere(store.dir)),
		hint: "start the same command again to go on from there",
	}
}

// place writes what came out and prints it.
func (k *studyCommand) place(c *call, f *folder, s *bench.Study, v *account.Varied) error {
	if err := account.WriteStudy(sink{f}, v); err != nil {
		return disk("writing the results to "+f.target, err)
	}
	placed, err := f.place(entriesOf(s.Inputs), false)
	if err != nil {
		return err
	}
	if n := len(v.Variants); n > 0 && v.Failed() == n {
		hint := "compute the run by itself: emberbank run"
		if s.Limit > 0 && strings.Contains(v.Variants[0].Failure, farm.LateText) {
			hint = `raise "time limit", or take a coarser grid`
		}
		return &failure{code: ExitInput, message: "no variant has results: variant 1: " + v.Variants[0].Failure, hint: hint}
	}
	switch {
	case k.JSON:
		c.printJSON(struct {
			Results string            `json:"results"`
			Study   account.StudyJSON `json:"study"`
		}{placed, account.StudyDocument(v)})
	case !k.Quiet:
		_ = account.StudyText(c.out, v) // watched
		fmt.Fprintf(c.out, "The results stand in %s\n", placed)
	}
	return nil
}
