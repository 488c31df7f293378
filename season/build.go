package season

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"emberbank/duty"
	"emberbank/heat"
)

// Options are how a fast model is built.
type Options struct {
	Run      Runner
	Layers   int                                // of the block; 0: 4
	Shells   int                                // of what surrounds it; 0: 3
	Allowed  Allowance                          // of either, 0: 5 %, 5 K
	Workers  int                                // days computed and circuits asked at a time; 0: one
	Progress func(what string, done, total int) // called by one goroutine at a time
	Key      func(p *heat.Problem) string       // of all that a problem's result hangs on, the program's version among it; nil: nothing is kept
	Keep     Keeper                             // nil: nothing is kept
	March    func(do func() error) error        // does the season's march, for whoever times it; nil: it is just done
}

// Build builds a fast model of a problem's receiver under its duty from some days, and holds it against others. Of the problem
// the receiver, the grid, the duty up to its Until and how it is computed count. It does not judge: see Model.Refuses.
func Build(ctx context.Context, p heat.Problem, from, apart []Day, o Options) (*Model, error) {
	if len(from) == 0 {
		return nil, fmt.Errorf("a fast model needs a day to be built from")
	}
	p.Duty = p.Duty.Over(p.Until)
	b, err := begin(ctx, &p, o, len(from)+len(apart))
	if err != nil {
		return nil, err
	}
	defer b.still.Close()
	if b.days, err = b.observe(from); err != nil {
		return nil, err
	}
	b.runs += len(from)
	m, err := b.fit()
	if err != nil {
		return nil, err
	}
	return m, b.hold(m, apart)
}

// fits tells what of a problem the fast model does not know.
func fits(p *heat.Problem) error {
	d := &p.Duty
	if len(d.Pumps) > 0 {
		return fmt.Errorf("%w: a pump divides its flow between circuits; give each circuit a flow of its own", ErrOutside)
	}
	if p.Steady {
		return fmt.Errorf("%w: a steady state has no days", ErrOutside)
	}
	for i := range d.Rules {
		switch w := d.Rules[i].Watch; w.What {
		case duty.WatchBlockMean, duty.WatchMelted, duty.WatchLight, duty.WatchSteam:
		default:
			what := "an outlet or a pressure"
			switch w.What {
			case duty.WatchProbe:
				what = "the place " + w.Probe
			case duty.WatchBlockMax:
				what = "the block's hottest place"
			}
			return fmt.Errorf("%w: the rule %q looks at %s; it knows the block's mean, what is melted, the light and the steam", ErrOutside, d.Rules[i].Name, what)
		}
		if ends(d.Rules[i].Do) || ends(d.Rules[i].Else) {
			return fmt.Errorf("%w: the rule %q ends the run; a season goes on", ErrOutside, d.Rules[i].Name)
		}
	}
	for i := range d.Events {
		if e := &d.Events[i]; ends(e.Do) {
			return fmt.Errorf("%w: the event %q ends the run after %s; a season goes on", ErrOutside, e.Name, clock(e.At))
		}
	}
	return nil
}

// ends tells whether some of the actions ends the run.
func ends(list []duty.Action) bool {
	return slices.ContainsFunc(list, func(a duty.Action) bool { return a.What == duty.StopRun })
}

// builder is a model in the making.
type builder struct {
	ctx         context.Context
	p           *heat.Problem
	o           Options
	still       *heat.Still
	l           *laid
	glass       *glazing // nil: none
	weather     weatherRange
	days, held  []*observed // built from, held against
	mu          sync.Mutex  // of done
	runs        int         // of the full model, to build from
	kept        int         // of all runs: those that had been computed before
	done, total int
}

func (b *builder) step(what string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.done++
	b.o.Progress(what, b.done, b.total)
}

// hotStand is the block's temperature above the air, in K, for which shells are laid.
const hotStand = 200

// filled returns the options with what they do not say.
func (o Options) filled() Options {
	if o.Layers == 0 {
		o.Layers = 4
	}
	if o.Shells == 0 {
		o.Shells = 3
	}
	if o.Allowed.Heat == 0 {
		o.Allowed.Heat = 0.05
	}
	if o.Allowed.Mean == 0 {
		o.Allowed.Mean = 5
	}
	if o.March == nil {
		o.March = func(do func() error) error { return do() }
	}
	if o.Progress == nil {
		o.Progress = func(string, int, int) {}
	}
	return o
}

// begin lays the nodes; so many days are to come.
func begin(ctx context.Context, p *heat.Problem, o Options, days int) (*builder, error) {
	o = o.filled()
	if err := fits(p); err != nil {
		return nil, err
	}
	b := &builder{ctx: ctx, p: p, o: o, total: 2 + days}
	air := heat.WeatherAt(&p.Duty, 0).Air
	hot, err := b.standing(*p, air, air+hotStand)
	b.runs++
	if err != nil {
		return nil, err
	}
	b.step("the receiver as it stands hot")
	if b.still, err = heat.NewStill(*p); err != nil {
		return nil, err
	}
	if b.l, err = lay(p, b.still, hot, air, o.Layers, o.Shells); err != nil {
		b.still.Close()
		return nil, err
	}
	b.weather = rangeOf(&p.Duty, p.Until, 3600)
	b.glass = b.l.glaze(b.still, b.weather)
	return b, nil
}

// hold holds a model against days apart.
func (b *builder) hold(m *Model, days []Day) error {
	if d := shared(days, b.taken()); d != nil {
		return fmt.Errorf("%s is to stand apart, and the model was built from it: the season leaves there what the other days know; let another day stand apart", d.Name)
	}
	held, err := b.observe(days)
	if err != nil {
		return err
	}
	m.Kept = b.kept
	b.held = append(b.held, held...)
	for _, o := range held {
		m.raise(o)
		c, err := m.hold(b.ctx, o)
		if err != nil {
			return err
		}
		m.Checks = append(m.Checks, c)
	}
	return nil
}

// fit makes the model of the days that were observed.
func (b *builder) fit() (*Model, error) {
	p, l := b.p, b.l
	b.step("what surroundings and water take")
	m := &Model{p: p, l: l, Runs: b.runs, Kept: b.kept, Allowed: b.o.Allowed, Reach: reachOf(b.days)}
	m.Nodes = b.nodeNames()
	for _, o := range b.days {
		m.raise(o)
		m.Built = append(m.Built, o.day.Name)
	}
	m.links = findLinks(b.days, l.nodes)
	m.perWatt, m.inPane = b.still.PerWatt()
	m.falling = b.still.Falling()
	m.heaterShare, m.generated = b.still.Sources(l.group, l.nodes)
	var err error
	if m.sur, err = askSurroundings(b.ctx, b.still, b.weather, p.Receiver.Window != nil, b.glass != nil); err != nil {
		return nil, err
	}
	m.Doubts = b.still.Unsettled()
	touching := b.still.Touching(l.group, l.nodes)
	m.outlets = findOutlets(b.days, touching, m.sur.window.path)
	if m.sur.window.path >= 0 {
		m.faceEase = findFace(b.days, m.sur.window.path)
		if b.glass != nil {
			g := *b.glass
			g.ease = m.faceEase + 1/b.still.HalfCells()
			m.glass = &g
		}
	}
	if m.circuits, err = b.askCircuits(m.Reach.Mean[0]-30, m.Reach.Mean[1]+40); err != nil {
		return nil, err
	}
	for i := range m.circuits {
		m.Doubts = append(m.Doubts, m.circuits[i].doubts...)
	}
	m.paths = make([]float64, len(m.sur.paths))
	for i := range m.paths {
		m.paths[i] = 1
	}
	m.window = [2]float64{1, 1}
	m.setRight(b.days)
	return m, nil
}

// nodeNames says what the nodes are.
func (b *builder) nodeNames() []string {
	var out []string
	for i := range b.l.nodes {
		name := fmt.Sprintf("block layer %d", i+1)
		if i >= b.l.layers {
			name = fmt.Sprintf("shell %d", i-b.l.layers+1)
		}
		if b.glass != nil && i == b.glass.node {
			name = "pane"
		}
		out = append(out, name)
	}
	return out
}

// askCircuits finds what each circuit takes, with the block between two temperatures in K.
func (b *builder) askCircuits(lo, hi float64) ([]circuit, error) {
	p := b.p
	out := make([]circuit, len(p.Receiver.Circuits))
	err := b.together(len(out), func(i int) error {
		c := &out[i]
		c.name = p.Receiver.Circuits[i].Name
		c.shares, c.ease, c.known, c.boils = findDraw(b.days, b.l, i)
		if served := p.Duty.Load != nil && slices.Contains(p.Duty.Load.Circuits, i); !c.known && !served {
			return nil
		}
		still, err := heat.NewStill(*p)
		if err != nil {
			return err
		}
		defer still.Close()
		c.tap, err = askWater(b.ctx, p, still, b.l, i, lo, hi)
		for _, said := range still.Unsettled() {
			c.doubts = append(c.doubts, "circuit "+c.name+": "+said)
		}
		return err
	})
	return out, err
}

// together does n things, as many at a time as there are workers, and returns the first error in their order.
func (b *builder) together(n int, do func(i int) error) error {
	errs := make([]error, n)
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(n, max(1, b.o.Workers)) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				if errs[i] = do(i); errs[i] != nil {
					next.Store(int64(n))
				}
			}
		})
	}
	all.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// observe has the full model compute days.
func (b *builder) observe(days []Day) ([]*observed, error) {
	out := make([]*observed, len(days))
	err := b.together(len(days), func(i int) (err error) {
		out[i], err = b.day(days[i])
		b.step(days[i].Name)
		return err
	})
	return out, err
}

// Refuses says why the model answers nothing: where it is off by more than is allowed on days held apart, or was held against
// none; "" where it answers.
func (m *Model) Refuses() string {
	if len(m.Checks) == 0 {
		return "it was held against no day that it was not built from"
	}
	var says []string
	for i := range m.Checks {
		if c := &m.Checks[i]; !c.Passes(m.Allowed) {
			says = append(says, fmt.Sprintf("on %s it is off by %.1f %% of the day's heat (%s) and %.1f K of the block's mean; allowed are %.3g %% and %.3g K",
				c.Day, 100*c.Off, c.Worst, c.Mean, 100*m.Allowed.Heat, m.Allowed.Mean))
		}
	}
	return strings.Join(says, "; ")
}

// Run carries the model through a duty from a uniform temperature on, in K, with a row of the history every so many seconds.
// It answers with an error that wraps ErrOutside where the model refuses, or where the season leaves what it knows. Weather, inlets
// and pressures beyond those of the duty for which it was built are held at their ends.
func (m *Model) Run(ctx context.Context, d *duty.Duty, initial, until, every float64) (*Outcome, error) {
	if why := m.Refuses(); why != "" {
		return nil, fmt.Errorf("%w: %s", ErrOutside, why)
	}
	out, err := m.run(ctx, d, m.uniform(initial), until, every)
	if err != nil {
		return nil, err
	}
	if why := m.Reach.left(&out.Seen, m.sur.window.path >= 0, m.Allowed.Mean); why != "" {
		return out, fmt.Errorf("%w: %s", ErrOutside, why)
	}
	return out, nil
}

// uniform returns the heat contents of the nodes at one temperature in K.
func (m *Model) uniform(T float64) []float64 {
	H := make([]float64, m.l.nodes)
	for n := range H {
		H[n] = m.l.curves[n].heat(T)
	}
	return H
}
