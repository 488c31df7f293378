package web

import (
	"context"
	"maps"
	"strings"
	"sync"
	"time"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/dossier"
	"emberbank/light"
)

// Cast is where the casting of a light's rays stands.
type Cast struct {
	Light  string  `json:"light" doc:"its file, relative to the bench"`
	State  string  `json:"state" enum:"computing,done,stopped,mistaken,failed" doc:"what is going on"`
	Coarse bool    `json:"coarse" doc:"the answer at hand is of few rays"`
	Old    bool    `json:"old" doc:"the answer at hand is of the files as they were before their last change"`
	Answer int     `json:"answer" doc:"grows when another answer takes the place of the one at hand; 0: there is none"`
	Read   int     `json:"read" doc:"grows when the files have been read, and when they have changed since"`
	Rays   int64   `json:"rays" doc:"cast so far of what is being computed"`
	Error  float64 `json:"error" doc:"standard error of the power in the window that these reach, of 1; 0: not known"`
	Wanted float64 `json:"wanted" doc:"the error at which it ends"`
	Input  int     `json:"input" doc:"uncertain inputs that were cast at both their ends"`
	Inputs int     `json:"inputs" doc:"how many there are; 0: the file as it stands is being cast"`
}

// casts are the lights of a bench that somebody has looked at.
type casts struct {
	desk  *Desk
	mu    sync.Mutex
	all   map[string]*cast
	known map[string]*account.Light // whole answers by what their files held
	shut  bool
	wait  sync.WaitGroup
}

// mostKnown is how many answers are kept: each holds some maps of some ten kilobytes.
const mostKnown = 24

// cast is a light's file and what has been cast of it. A coarse answer comes first, then the whole one.
type cast struct {
	name     string
	mu       sync.Mutex
	stop     context.CancelFunc // of what is being cast; nil: nothing is
	turn     int                // grows when it is begun anew; what an earlier turn still says counts no more
	changed  bool               // its files are no longer as they were read: it is cast anew when somebody looks
	state    string
	failure  string
	problems bench.Problems
	loaded   *bench.Light
	content  string         // of the files that were read last
	hand     *account.Light // the answer at hand
	of       string         // the content that it is of
	number   int            // of the answer at hand
	readings int
	step     light.Step
	told     time.Time
	stamps   map[string]string // of the files that it was read from, when they were read; nil while they are
	files    map[string]string // those of the reading before, by name
}

// of returns a light for somebody who looks at it, and begins to cast it where nobody has before, or where its files have changed.
func (cs *casts) of(name string) (*cast, error) {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	if cs.shut {
		return nil, errShut
	}
	if c := cs.all[name]; c != nil {
		c.mu.Lock()
		waits := c.changed && c.state != computing
		c.mu.Unlock()
		if waits {
			cs.begin(c)
		}
		return c, nil
	}
	if kind, ok := cs.desk.kind(name); !ok || kind != "light" {
		return nil, errNoFile
	}
	c := &cast{name: name}
	if cs.all == nil {
		cs.all = map[string]*cast{}
	}
	cs.all[name] = c
	cs.begin(c)
	return c, nil
}

// again goes on with a light whose cast was stopped.
func (cs *casts) again(c *cast) error {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	if cs.shut {
		return errShut
	}
	cs.begin(c)
	return nil
}

// begin starts casting; the lock of the casts is held. What was being cast of this light is stopped.
func (cs *casts) begin(c *cast) {
	ctx, cancel := context.WithCancel(context.Background())
	c.mu.Lock()
	if c.stop != nil {
		c.stop()
	}
	c.turn++
	turn := c.turn
	c.stop, c.state, c.failure, c.step = cancel, computing, "", light.Step{}
	if c.stamps != nil {
		c.files, c.stamps = c.stamps, nil
	}
	c.mu.Unlock()
	cs.wait.Go(func() { defer cancel(); cs.do(ctx, c, turn) })
}

// look finds what was read from files that have changed. It is told, so that who looks at it asks for it again, and is cast anew
// then: what nobody looks at is not cast.
func (cs *casts) look() {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	if cs.shut {
		return
	}
	for _, c := range cs.all {
		c.mu.Lock()
		was := c.stamps
		c.mu.Unlock()
		if was != nil && !maps.Equal(was, cs.desk.stamps(was)) {
			c.waits()
			cs.tell(c)
		}
	}
}

// waits marks what is known of a light as of files that are another by now, and stops what is being cast of it.
func (c *cast) waits() {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.stop != nil {
		c.stop()
	}
	c.turn++
	c.readings++
	c.changed, c.files, c.stamps = true, c.stamps, nil
	if c.state == computing {
		c.state = stopped
	}
}

func (cs *casts) close() {
	cs.mu.Lock()
	cs.shut = true
	for _, c := range cs.all {
		c.halt()
	}
	cs.mu.Unlock()
	cs.wait.Wait()
}

// halt stops what is being cast.
func (c *cast) halt() {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.stop != nil {
		c.stop()
	}
}

// do reads the files, and casts what is not known of what they hold: coarsely first, then until the error that they want is met.
func (cs *casts) do(ctx context.Context, c *cast, turn int) {
	d := cs.desk
	names := map[string]string{c.name: ""}
	c.mu.Lock()
	maps.Copy(names, c.files)
	c.mu.Unlock()
	before := d.stamps(names)
	loaded, problems := bench.LoadLight(d.root.FS(), c.name, bench.Options{})
	if !cs.read(c, turn, loaded, problems, before) {
		return
	}
	d.lookSoon() // what was written while they were read
	if problems.Failed() {
		cs.tell(c)
		return
	}
	content := contentOf(loaded)
	cs.mu.Lock()
	whole := cs.known[content]
	cs.mu.Unlock()
	if whole != nil {
		cs.takes(c, turn, whole, content)
		return
	}
	how := light.How{Coarse: true, Threads: besideThePage(d.threads)}
	if c.lacks(content) && !cs.answer(ctx, c, turn, loaded, content, how) {
		return
	}
	cs.answer(ctx, c, turn, loaded, content, light.How{Threads: besideThePage(d.threads)})
}

// contentOf tells what a light hangs on from anything else.
func contentOf(l *bench.Light) string {
	var b strings.Builder
	b.WriteString(l.Name)
	for _, in := range l.Inputs {
		b.WriteString("\n" + in.Name + " " + in.SHA256)
	}
	return b.String()
}

// lacks tells whether there is no answer of some content at hand, not even a coarse one.
func (c *cast) lacks(content string) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.hand == nil || c.of != content
}

// read takes in what the files hold, and what they were before they were read: one that is written to meanwhile is then seen to
// have changed. False: the cast was begun anew meanwhile.
func (cs *casts) read(c *cast, turn int, loaded *bench.Light, problems bench.Problems, before map[string]string) bool {
	names := map[string]string{c.name: ""}
	for _, p := range problems {
		names[p.File] = ""
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.turn != turn {
		return false
	}
	c.problems = problems
	c.readings++
	c.changed = false
	if problems.Failed() {
		c.state = mistaken
	} else {
		c.loaded, c.content = loaded, contentOf(loaded)
	}
	if c.loaded != nil {
		for _, in := range c.loaded.Inputs {
			names[in.Name] = ""
		}
	}
	c.stamps = cs.desk.stampsSince(names, before)
	return true
}

// answer casts one answer and takes it in; false: there is nothing to go on with.
func (cs *casts) answer(ctx context.Context, c *cast, turn int, loaded *bench.Light, content string, how light.How) bool {
	how.Step = func(s light.Step) {
		if c.reaches(turn, s) {
			cs.tell(c)
		}
	}
	a, err := light.Answer(ctx, cs.desk.root.FS(), c.name, loaded, how)
	if err == nil {
		for i := range loaded.Dimensions {
			a.Given = append(a.Given, dossier.Given(&loaded.Dimensions[i]))
		}
		return cs.takes(c, turn, a, content)
	}
	c.mu.Lock()
	if c.turn == turn {
		if c.state = failed; ctx.Err() != nil {
			c.state = stopped
		} else {
			c.failure = "the rays cannot be cast: " + err.Error()
		}
	}
	c.mu.Unlock()
	cs.tell(c)
	return false
}

// reaches keeps how far a cast has got, and tells whether the pages should hear of it.
func (c *cast) reaches(turn int, s light.Step) (due bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.turn != turn {
		return false
	}
	c.step = s
	if due = time.Since(c.told) > tellEvery; due {
		c.told = time.Now()
	}
	return due
}

// takes puts an answer in the place of the one at hand; false: the cast was begun anew meanwhile.
func (cs *casts) takes(c *cast, turn int, a *account.Light, content string) bool {
	if !a.Coarse {
		cs.keep(content, a)
	}
	c.mu.Lock()
	now := c.turn == turn
	if now {
		c.hand, c.of, c.number = a, content, c.number+1
		if !a.Coarse {
			c.state = done
		}
	}
	c.mu.Unlock()
	if now {
		cs.tell(c)
	}
	return now
}

func (cs *casts) keep(content string, a *account.Light) {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	if cs.known == nil || len(cs.known) >= mostKnown {
		cs.known = map[string]*account.Light{}
	}
	cs.known[content] = a
}

// tell tells the pages where a cast stands.
func (cs *casts) tell(c *cast) {
	c.mu.Lock()
	defer c.mu.Unlock() // so that what is told last is what came last
	cs.desk.news.tell(c.standing())
}

// standing is where the cast stands; its lock is held.
func (c *cast) standing() Cast {
	s := Cast{
		Light: c.name, State: c.state, Answer: c.number, Read: c.readings, Rays: c.step.Rays, Input: c.step.Input, Inputs: c.step.Inputs,
	}
	if !(c.step.Error > 1) { // one that nothing is known of is infinite
		s.Error = c.step.Error
	}
	if c.loaded != nil {
		s.Wanted = c.loaded.Error
	}
	if c.hand != nil {
		s.Coarse, s.Old = c.hand.Coarse, c.of != c.content || c.changed || c.problems.Failed()
	}
	return s
}
