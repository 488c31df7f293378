package web

import (
	"context"
	"errors"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"time"

	"emberbank/bench"
)

// Task is what takes long, named as on the command line.
type Task struct {
	Verb string `json:"verb" enum:"study,match,plan,trial,run" doc:"the command; run computes a season where the file is one"`
	File string `json:"file" minLength:"1" maxLength:"300" doc:"of the bench, with forward slashes"`
	Yes  bool   `json:"yes,omitempty" doc:"begin without a question, however long it takes"`
	// Circuits goes with run.
	Circuits bool `json:"circuits,omitempty" doc:"a run also finds what each number of open circuits can give, and for how long"`
	// Args are those of the command that renews a result, as shelf.Kept has them; none: verb and file say it all. No request states them.
	Args []string `json:"-"`
	// Checked are the rows of the outside checks, as verify prints them, where this program has computed them already; for a dossier.
	Checked []byte `json:"-"`
}

// Step is how far a task has got. What is not known is left at zero.
type Step struct {
	Text    string  `json:"text,omitempty" doc:"what is going on, in words"`
	Done    int64   `json:"done"`
	Total   int64   `json:"total"`
	Known   int64   `json:"known" doc:"the part of what is done that was computed before"`
	Running int64   `json:"running"`
	Failed  int64   `json:"failed"`
	Left    float64 `json:"left_s" doc:"wall time that is left, about; 0: not known"`
	Best    string  `json:"best,omitempty" doc:"so far, in words"`
}

// Point is a variant of a study that has its outcome.
type Point struct {
	Number  int64      `json:"number" doc:"from 1, as the table counts"`
	Values  []*float64 `json:"values" doc:"of the axes, then of the responses, in the units of the columns; null: none"`
	Meets   bool       `json:"meets_the_constraints"`
	Failure string     `json:"failure,omitempty"`
}

// Listener hears how far a task has got. Calls may come from several goroutines.
type Listener struct {
	Step     func(Step)
	Estimate func(text string) // what the whole will take, once that is known
	Point    func(Point)
}

// Work does a task as the command line does it: by the same command, with the same files. It returns the folder of the
// results relative to the bench, with forward slashes. When ctx ends, it keeps what is done as Ctrl-C does. Its error is
// a *Trouble where there is more to say than a text.
type Work func(ctx context.Context, t Task, tell Listener) (results string, err error)

// Trouble is why a task has no results, or none that are whole.
type Trouble struct {
	Message  string
	Fix      string
	Problems bench.Problems
	Results  string // of what was found before it was stopped; "": none
	Asks     bool   // Message is a question, which Task.Yes answers
}

func (t *Trouble) Error() string { return t.Message }

// States of a job besides those of a run.
const (
	waiting = "waiting" // for others to end
	asking  = "asking"  // whether to go on
)

// Job is where a task stands.
type Job struct {
	Task
	Step
	State    string          `json:"state" enum:"waiting,computing,asking,done,stopped,mistaken,failed"`
	Estimate string          `json:"estimate,omitempty" doc:"what the whole takes, in words, once that is known"`
	Message  string          `json:"message,omitempty" doc:"why there are no results, or the question"`
	Fix      string          `json:"fix,omitempty"`
	Problems []bench.Problem `json:"problems"`
	Results  string          `json:"results,omitempty" doc:"their folder in the bench"`
	Points   int             `json:"points" doc:"variants that have their outcome, which /api/jobs/points tells"`
	Turn     int             `json:"turn" doc:"grows each time that it is started"`
	Spent    float64         `json:"spent_s" doc:"wall time since it was started"`
}

// jobsAtOnce is how many tasks are computed at a time; each uses all cores by itself.
const jobsAtOnce = 2

// jobs are the tasks that were started while the program runs: one for each file.
type jobs struct {
	desk *Desk
	work Work
	room chan struct{} // one place for each that is computed
	mu   sync.Mutex
	all  map[string]*job
	shut bool
	wait sync.WaitGroup
}

type job struct {
	mu     sync.Mutex
	now    Job
	points []Point
	began  time.Time
	told   time.Time
	stop   context.CancelFunc
	begun  bool
}

var (
	errNoWork = errors.New("this server computes runs only")
	errBusy   = errors.New("something else is being computed from this file; stop it first")
	errTask   = errors.New("only .yaml files of the bench, outside the results, can be computed")
	errNoJob  = errors.New("nothing was started from this file")
)

// start starts a task; one that goes on already goes on.
func (js *jobs) start(t Task) (Job, error) {
	if js.work == nil {
		return Job{}, errNoWork
	}
	if !mayOpen(t.File) || !describes(t.File) {
		return Job{}, errTask
	}
	if st, err := fs.Stat(js.desk.root.FS(), t.File); err != nil || !st.Mode().IsRegular() {
		return Job{}, errNoFile
	}
	return js.begin(t, js.work)
}

// begin starts work under the name of a task's file.
func (js *jobs) begin(t Task, work Work) (Job, error) {
	js.mu.Lock()
	defer js.mu.Unlock()
	if js.shut {
		return Job{}, errShut
	}
	j := js.all[t.File]
	if j == nil {
		j = &job{}
		if js.all == nil {
			js.all = map[string]*job{}
		}
		js.all[t.File] = j
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.begun {
		if j.now.Verb != t.Verb {
			return Job{}, errBusy
		}
		return j.now, nil
	}
	ctx, stop := context.WithCancel(context.Background())
	j.stop, j.begun, j.began, j.points = stop, true, time.Now(), nil
	j.now = Job{Task: t, State: waiting, Problems: []bench.Problem{}, Turn: j.now.Turn + 1}
	js.wait.Go(func() {
		defer stop()
		js.do(ctx, j, t, work)
	})
	return j.now, nil
}

// do waits for its turn, does the task and keeps how it ended.
func (js *jobs) do(ctx context.Context, j *job, t Task, work Work) {
	js.tell(j, true, func(*Job) {})
	results, err := "", ctx.Err()
	select {
	case js.room <- struct{}{}:
		js.tell(j, true, func(now *Job) { now.State = computing })
		results, err = work(ctx, t, Listener{
			Step:     func(s Step) { js.tell(j, false, func(now *Job) { now.Step = s }) },
			Estimate: func(text string) { js.tell(j, true, func(now *Job) { now.Estimate = text }) },
			Point: func(p Point) {
				js.tell(j, false, func(now *Job) { j.points = append(j.points, p); now.Points = len(j.points) })
			},
		})
		<-js.room
	case <-ctx.Done():
		err = ctx.Err()
	}
	js.tell(j, true, func(now *Job) {
		j.begun = false
		now.ended(results, err, ctx.Err() != nil)
	})
}

// ended takes in how the task ended.
func (now *Job) ended(results string, err error, halted bool) {
	now.Left, now.Running, now.Results = 0, 0, results
	if err == nil {
		now.State = done
		return
	}
	now.State, now.Message = failed, err.Error()
	var t *Trouble
	if errors.As(err, &t) {
		now.Fix, now.Results = t.Fix, t.Results
		now.Problems = append(now.Problems, t.Problems...)
		switch {
		case t.Asks:
			now.State = asking
		case len(t.Problems) > 0:
			now.State = mistaken
		}
	}
	if halted {
		now.State = stopped
	}
}

// tell changes where a job stands, and tells the pages of it: at once, or when they have not heard for a while.
func (js *jobs) tell(j *job, atOnce bool, change func(*Job)) {
	j.mu.Lock()
	defer j.mu.Unlock() // so that what is told last is what came last
	change(&j.now)
	if !atOnce && time.Since(j.told) < tellEvery {
		return
	}
	j.told = time.Now()
	js.desk.news.tell(j.standing())
}

// standing is a copy; the lock is held.
func (j *job) standing() Job {
	now := j.now
	if j.begun {
		now.Spent = time.Since(j.began).Seconds()
	}
	return now
}

// of returns the job of a file.
func (js *jobs) of(file string) (*job, error) {
	js.mu.Lock()
	defer js.mu.Unlock()
	if j := js.all[file]; j != nil {
		return j, nil
	}
	return nil, errNoJob
}

// list is where all stand, in the order of their files.
func (js *jobs) list() []Job {
	js.mu.Lock()
	defer js.mu.Unlock()
	out := []Job{}
	for _, j := range js.all {
		j.mu.Lock()
		out = append(out, j.standing())
		j.mu.Unlock()
	}
	slices.SortFunc(out, func(a, b Job) int { return strings.Compare(a.File, b.File) })
	return out
}

func (js *jobs) close() {
	js.mu.Lock()
	js.shut = true
	for _, j := range js.all {
		j.stop()
	}
	js.mu.Unlock()
	js.wait.Wait()
}
