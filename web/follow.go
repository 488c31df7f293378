package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"sync"
	"time"

	"emberbank/bench"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/sse"
)

// Follow follows a trial while its loggers write, as the command line does, and hands over each line that it prints as
// JSON, until ctx ends: then it writes the ordinary report as results. Its error is a *Trouble where there is more to say
// than a text.
type Follow func(ctx context.Context, file string, line func([]byte)) (results string, err error)

// Report is how a followed trial stands.
type Report struct {
	Kind     string           `json:"kind" enum:"report"`
	At       *float64         `json:"at_s" doc:"of the newest row"`
	Moment   string           `json:"moment" doc:"on the loggers' clock where that shows dates"`
	Channels []ReportChannel  `json:"channels"`
	Outside  []ReportedBeyond `json:"outside_envelope"`
}

// ReportChannel is what one channel says now, in its unit; null: not known.
type ReportChannel struct {
	Name      string           `json:"name"`
	Unit      string           `json:"unit"`
	Value     *float64         `json:"value"`
	At        *float64         `json:"at_s"`
	Age       *float64         `json:"age_s"`
	Lost      bool             `json:"lost"`
	Standing  bool             `json:"standing_still"`
	Rate      *float64         `json:"rate_per_s"`
	Predicted *float64         `json:"predicted"`
	Band      *float64         `json:"band" doc:"half-width at 95 % of what is predicted"`
	Mean      *float64         `json:"mean_difference"`
	Boundary  *float64         `json:"boundary" doc:"of the mean difference: beyond it the channel departs"`
	Departed  bool             `json:"departed"`
	Targets   []ReportedTarget `json:"targets,omitempty"`
}

// ReportedTarget is a reading that is waited for.
type ReportedTarget struct {
	Reaches float64  `json:"reaches"`
	Reached bool     `json:"reached"`
	Left    *float64 `json:"left_s"`
	Lower   *float64 `json:"lower_s"`
	Upper   *float64 `json:"upper_s"`
	By      string   `json:"by"`
}

// ReportedBeyond is what leaves the envelope in which the model was trusted.
type ReportedBeyond struct {
	Ahead bool   `json:"ahead"`
	Text  string `json:"text"`
}

// Said is something that happened while a trial was followed.
type Said struct {
	Kind    string   `json:"kind" enum:"note,notice,call" doc:"a call asks for somebody"`
	What    string   `json:"what,omitempty"`
	Moment  string   `json:"moment,omitempty"`
	At      *float64 `json:"at_s,omitempty"`
	Channel string   `json:"channel,omitempty"`
	Text    string   `json:"text"`
}

// Followed is where the following of a trial stands.
type Followed struct {
	Trial    string          `json:"trial"`
	State    string          `json:"state" enum:"computing,done,failed" doc:"computing: it is being followed"`
	Message  string          `json:"message,omitempty"`
	Problems []bench.Problem `json:"problems"`
	Results  string          `json:"results,omitempty" doc:"the report's folder, when it has ended"`
}

// What is kept of a followed trial for a page that comes later: the course thinned to so many reports, and what was said
// last.
const (
	keptReports = 1200
	keptSaid    = 300
)

// follows are the trials that are, or were, followed while the program runs.
type follows struct {
	do   Follow
	mu   sync.Mutex
	all  map[string]*followed
	shut bool
	wait sync.WaitGroup
}

type followed struct {
	mu      sync.Mutex
	now     Followed
	reports []Report // the last is the newest; the others at least `every` apart
	every   int      // of so many reports one is kept
	count   int
	said    []Said
	stop    context.CancelFunc
	told    chan struct{} // closed and made anew when something has come
	number  int           // of things said, those that are forgotten with them
}

var errNotFollowed = errors.New("this trial is not being followed")

func (d *Desk) followAPI(a huma.API) {
	huma.Post(a, "/api/trial/follow", d.postFollow, named("follow-trial", "Follow a trial while its loggers write; what is followed already goes on"))
	huma.Post(a, "/api/trial/follow/stop", d.postFollowStop, named("end-following", "End following a trial: its ordinary report is written as results"))
	sse.Register(a, huma.Operation{OperationID: "following", Method: http.MethodGet, Path: "/api/trial/following", Summary: "What a followed trial says, from its beginning, thinned, and on as it comes"},
		map[string]any{"standing": Followed{}, "report": Report{}, "said": Said{}}, d.following)
}

func (d *Desk) postFollow(_ context.Context, q *FileQuery) (*body[Followed], error) {
	if err := d.mayRead(q.Name); err != nil {
		return nil, refused(err)
	}
	f, err := d.follows.start(q.Name)
	if err != nil {
		return nil, refusedJob(err)
	}
	return &body[Followed]{f.standing()}, nil
}

func (d *Desk) postFollowStop(_ context.Context, q *FileQuery) (*body[Followed], error) {
	f := d.follows.of(q.Name)
	if f == nil {
		return nil, huma.Error404NotFound(errNotFollowed.Error())
	}
	f.stop()
	return &body[Followed]{f.standing()}, nil
}

func (fs *follows) of(name string) *followed {
	fs.mu.Lock()
	defer fs.mu.Unlock()
	return fs.all[name]
}

// start begins to follow; a trial that is followed already goes on.
func (fs *follows) start(name string) (*followed, error) {
	fs.mu.Lock()
	defer fs.mu.Unlock()
	switch old := fs.all[name]; {
	case fs.do == nil:
		return nil, errNoWork
	case fs.shut:
		return nil, errShut
	case old != nil && old.standing().State == computing:
		return old, nil
	}
	ctx, stop := context.WithCancel(context.Background())
	f := &followed{now: Followed{Trial: name, State: computing, Problems: []bench.Problem{}}, every: 1, stop: stop, told: make(chan struct{})}
	if fs.all == nil {
		fs.all = map[string]*followed{}
	}
	fs.all[name] = f
	fs.wait.Go(func() {
		defer stop()
		results, err := fs.do(ctx, name, f.take)
		f.ended(results, err)
	})
	return f, nil
}

func (fs *follows) close() {
	fs.mu.Lock()
	fs.shut = true
	for _, f := range fs.all {
		f.stop()
	}
	fs.mu.Unlock()
	fs.wait.Wait()
}

func (f *followed) standing() Followed {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.now
}

// take keeps a line that was printed.
func (f *followed) take(line []byte) {
	var kind struct {
		Kind string `json:"kind"`
	}
	if json.Unmarshal(line, &kind) != nil {
		return
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	switch kind.Kind {
	case "report":
		var r Report
		if json.Unmarshal(line, &r) == nil {
			f.report(r)
		}
	case "note", "notice", "call":
		var s Said
		if json.Unmarshal(line, &s) != nil {
			return
		}
		f.said = append(f.said, s)
		f.number++
		if len(f.said) > keptSaid {
			f.said = f.said[1:]
		}
	default: // the end, which is told as standing
		return
	}
	f.wake()
}

// report keeps the newest report in place of the last, or behind it, and thins those before when there are many.
func (f *followed) report(r Report) {
	if n := len(f.reports); n > 0 && (f.count%f.every != 0 || same(f.reports[n-1].At, r.At)) {
		f.reports[n-1] = r
	} else {
		f.reports = append(f.reports, r)
	}
	f.count++
	if len(f.reports) < keptReports {
		return
	}
	kept := f.reports[:0]
	for i := range f.reports {
		if i%2 == 0 || i == len(f.reports)-1 {
			kept = append(kept, f.reports[i])
		}
	}
	f.reports, f.every = kept, 2*f.every
}

func same(a, b *float64) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }

// wake tells who listens; the lock is held.
func (f *followed) wake() {
	close(f.told)
	f.told = make(chan struct{})
}

func (f *followed) ended(results string, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.now.State, f.now.Results = done, results
	var t *Trouble
	if err != nil {
		f.now.State, f.now.Message = failed, err.Error()
		if errors.As(err, &t) {
			f.now.Problems = append(f.now.Problems, t.Problems...)
		}
	}
	f.wake()
}

// followBeat keeps a stream known to be alive.
const followBeat = 20 * time.Second

// following sends what a followed trial has said and says. A page that is slow gets fewer reports, and the newest.
func (d *Desk) following(ctx context.Context, q *FileQuery, send sse.Sender) {
	f := d.follows.of(q.Name)
	if f == nil {
		_ = send.Data(Followed{Trial: q.Name, State: done, Problems: []bench.Problem{}, Message: errNotFollowed.Error()})
		return
	}
	number, first := 0, true
	for {
		f.mu.Lock()
		now, told := f.now, f.told
		reports := f.reports
		if !first && len(reports) > 0 {
			reports = reports[len(reports)-1:]
		}
		reports = append([]Report{}, reports...)
		said := append([]Said{}, f.said[max(0, len(f.said)-(f.number-number)):]...)
		number = f.number
		f.mu.Unlock()
		ok := send.Data(now) == nil
		for i := 0; ok && i < len(reports); i++ {
			ok = send.Data(reports[i]) == nil
		}
		for i := 0; ok && i < len(said); i++ {
			ok = send.Data(said[i]) == nil
		}
		if first = false; !ok || now.State != computing {
			return
		}
		select {
		case <-told:
		case <-time.After(followBeat):
		case <-ctx.Done():
			return
		}
	}
}
