package cli

import (
	"context"
	"fmt"
	"time"

	"emberbank/bench"
	"emberbank/follow"
	"emberbank/trial"
	"emberbank/unit"
)

// looks is how often loggers' files are looked at, at most.
const looks = time.Second

// followed is one trial while it is followed.
type followed struct {
	c       *call
	at      place
	what    *bench.Following
	files   []*grown
	live    *trial.Live
	f       *follow.Follower
	show    *followPrinter
	began   time.Time
	arrived float64 // s, when the rows that are being taken came
	model   *follow.Model
	answers chan answer
	busy    bool
	wait    float64 // s, before which the model is not run again
	every   float64 // s, between reports
	told    map[string]bool
	seen    seen
}

// answer is what a run of the model gave.
type answer struct {
	p    *follow.Prediction
	err  error
	took float64 // s
}

// followTrial watches the loggers' files until the context ends or the time is over, and leaves the ordinary report to
// the caller, with what was seen.
func (k *trialCommand) followTrial(c *call, at place) (*seen, error) {
	c.lines = true
	every, err := period("--every", k.Every)
	if err != nil {
		return nil, err
	}
	until, err := period("--for", k.For)
	if err != nil {
		return nil, err
	}
	what, problems := bench.LoadFollowing(at.fs(), at.name, bench.Options{})
	if problems.Failed() {
		return nil, &failure{code: ExitInput, problems: at.named(problems)}
	}
	t := &followed{c: c, at: at, what: what, began: time.Now(), answers: make(chan answer, 1), told: map[string]bool{}}
	t.show = newFollowPrinter(c, what, k.JSON, k.Quiet)
	t.every = every
	if every == 0 {
		if t.every = 60; t.show.block {
			t.every = 2
		}
	}
	plan := follow.Plan{FalseAlarms: what.FalseAlarms, Over: what.Over, Memory: what.Memory, LostAfter: what.LostAfter, Within: what.Within}
	for _, x := range what.Targets {
		plan.Targets = append(plan.Targets, follow.Target{Of: x.Of, At: x.Reaches})
	}
	for _, l := range what.Limits {
		plan.Limits = append(plan.Limits, follow.Limit{Of: l.Of, At: l.At, Below: l.Below, Near: l.Near, Why: l.Why})
	}
	plan.Limits = append(plan.Limits, serviceLimits(what)...)
	t.f = follow.New(plan)
	if t.model, err = followModel(at, what, t.show.note); err != nil {
		return nil, err
	}
	if t.model != nil {
		t.f.Use(t.model)
	}
	counts := make([]int, len(what.Files))
	for i, files := range what.Files {
		counts[i] = len(files)
		for j, name := range files {
			t.files = append(t.files, &grown{path: at.path(name), source: i, file: j})
		}
		t.f.Expect(i, 0)
	}
	t.live = trial.NewLive(&what.Setup, counts, func(rows trial.Fresh) {
		t.seen.take(rows)
		t.f.Take(rows, t.arrived)
	})
	for _, w := range what.Warnings {
		t.show.note(w)
	}
	defer func() {
		for _, g := range t.files {
			g.close()
		}
	}()
	err = t.loop(until)
	t.seen.files = t.files
	return &t.seen, err
}

func period(flag, text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	q, err := unit.Parse(text, unit.Time)
	if err != nil || !(q.Value > 0) {
		return 0, &failure{code: ExitUsage, message: fmt.Sprintf("%s is %q, which is no length of time above zero", flag, text), hint: `write for example ` + flag + ` "10 s"`}
	}
	return q.Value, nil
}

func (t *followed) now() float64 { return time.Since(t.began).Seconds() }

// loop looks, judges and prints until it is told to end.
func (t *followed) loop(until float64) error {
	ctx, cancel := context.WithCancel(t.c.ctx)
	defer func() {
		cancel()
		if t.busy {
			<-t.answers // the run ends within a step of its own
		}
		t.show.end()
	}()
	step := min(looks, time.Duration(0.5*t.every*float64(time.Second)))
	step = max(step, 20*time.Millisecond)
	next := 0.0
	for {
		t.look()
		t.predict(ctx)
		now := t.now()
		over := until > 0 && now >= until || t.c.ctx.Err() != nil
		if over {
			t.live.Flush(true)
			t.calls()
		}
		if now >= next || over {
			t.show.report(t.f.Now(now), t.f.Outside(), t.live)
			next = now + t.every
		}
		if w, ok := t.c.out.(*watched); ok && w.failed != nil {
			return disk("writing to the standard output", w.failed)
		}
		if over {
			return nil
		}
		select {
		case <-t.c.ctx.Done():
		case a := <-t.answers:
			t.answered(a)
		case <-time.After(step):
		}
	}
}

// look reads what the files have, and tells what happened.
func (t *followed) look() {
	for _, g := range t.files {
		now := t.now()
		t.arrived = now
		if !g.fed { // what stands there came when it was last written
			if told := g.peek(); told > 0 {
				t.arrived = now - told
			}
		}
		if told := g.poll(now, t.live); told != "" {
			t.show.note(fromHere(g.path) + " " + told)
		}
		t.live.Flush(false)
	}
	for _, n := range t.live.Notices() {
		t.show.notice(n, t.live)
	}
	t.f.Look(t.now())
	t.calls()
}

func (t *followed) calls() {
	for _, x := range t.f.Calls() {
		t.show.call(x, t.live)
	}
}

// rests is how many times as long as a run of the model took it then rests, so that the machine is left to others.
const rests = 9

// predict starts a run of the model where there is something new and the last one is long enough ago.
func (t *followed) predict(ctx context.Context) {
	if t.busy || t.model == nil || t.now() < t.wait {
		return
	}
	ask, ok := t.f.Ask()
	if !ok {
		return
	}
	t.busy = true
	began := time.Now()
	go func() {
		p, err := ask.Predict(ctx)
		t.answers <- answer{p, err, time.Since(began).Seconds()}
	}()
}

func (t *followed) answered(a answer) {
	t.busy = false
	t.wait = t.now() + max(rests*a.took, min(t.every, 10))
	if a.err != nil {
		if why := a.err.Error(); t.c.ctx.Err() == nil && !t.told[why] {
			t.told[why] = true
			t.show.note("the model gives no prediction: " + why)
		}
		return
	}
	t.f.Predicted(a.p)
	t.show.driven(a.p)
	t.calls()
}
