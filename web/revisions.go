package web

import (
	"context"
	"maps"
	"math"
	"slices"
	"time"

	"emberbank/bench"

	"github.com/danielgtaylor/huma/v2"
)

// revisionsAPI is the part of the interface that tells what was changed, and what it did.
func (d *Desk) revisionsAPI(a huma.API) {
	huma.Get(a, "/api/run/revisions", d.getRevisions, named("revisions", "What was changed in a run's files since it was first looked at, by whomever, and what each change did to the answer"))
}

// revision is what changed between two readings of a run's files that could be computed.
type revision struct {
	Number  int           `json:"number"`
	Changes []changedBody `json:"changes"`
	Before  []mainNumber  `json:"before" doc:"of the answer that was at hand"`
	After   []mainNumber  `json:"after" doc:"of the newest answer since; empty: not computed yet"`
	Since   int           `json:"since" doc:"number of the first revision that the difference between before and after counts"`
	Coarse  bool          `json:"coarse" doc:"after is of a coarse answer"`
}

type changedBody struct {
	Input string `json:"input" doc:"as a run's inputs are named, such as receiver.block.depth"`
	Old   string `json:"old" doc:"as typed; empty: it was not stated"`
	New   string `json:"new"`
}

// mainNumber is one of the few numbers by which answers are compared.
type mainNumber struct {
	Name  string  `json:"name"`
	Unit  string  `json:"unit"`
	Value float64 `json:"value"`
	Moves float64 `json:"moves,omitempty" doc:"how far it may still move, as it did from the last coarse answer to the whole one; 0: it is settled, or nothing is known yet"`
}

// revised is the record of a run's changes.
type revised struct {
	said     []bench.Statement // of the files that were read last
	list     []*revision
	coarsely []mainNumber      // of the last coarse answer
	apart    []float64         // between the last coarse answer and its whole one
	answered time.Time         // when the answer at hand came
	typed    map[string]string // at the places of the files that were read last, by input
}

// read compares what the files say now with what they said before. A change that takes the last one back takes its revision
// off the list.
func (v *revised) read(said []bench.Statement, hand *answer) {
	was := v.said
	v.said = said
	if was == nil {
		return
	}
	differ, _ := bench.Differences(was, said)
	if len(differ) == 0 {
		return
	}
	n := len(v.list)
	if n > 0 && reverse(v.list[n-1].Changes, differ) {
		v.list = v.list[:n-1]
		return
	}
	r := &revision{Number: n + 1, Since: n + 1, Before: []mainNumber{}, After: []mainNumber{}}
	for _, c := range differ {
		r.Changes = append(r.Changes, changedBody{c.Path, c.A, c.B})
	}
	switch {
	case n > 0 && len(v.list[n-1].After) == 0: // the one before was never answered: they are answered together
		r.Since, r.Before = v.list[n-1].Since, v.list[n-1].Before
	case hand != nil && hand.result != nil:
		r.Before = v.mainly(hand)
	}
	v.list = append(v.list, r)
}

// reverse tells whether differences take changes back.
func reverse(changes []changedBody, differ []bench.Difference) bool {
	return slices.EqualFunc(changes, differ, func(c changedBody, d bench.Difference) bool {
		return c.Input == d.Path && c.Old == d.B && c.New == d.A
	})
}

// gave takes in an answer that has come to its end.
func (v *revised) gave(a *answer) {
	v.answered = time.Now()
	now := v.mainly(a)
	switch {
	case a.coarse:
		v.coarsely = now
	case len(v.coarsely) == len(now):
		v.apart = make([]float64, len(now))
		for i := range now {
			v.apart[i] = math.Abs(now[i].Value - v.coarsely[i].Value)
		}
		v.coarsely = nil
	}
	if n := len(v.list); n > 0 {
		v.list[n-1].After, v.list[n-1].Coarse = now, a.coarse
	}
}

// mainly reads the main numbers off an answer.
func (v *revised) mainly(a *answer) []mainNumber {
	out := []mainNumber{}
	add := func(name, unit string, x float64) {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return
		}
		m := mainNumber{Name: name, Unit: unit, Value: x}
		if i := len(out); a.coarse && i < len(v.apart) {
			m.Moves = v.apart[i]
		}
		out = append(out, m)
	}
	l := &a.result.Ledger
	amount := "J"
	if l.Steady {
		amount = "W"
	}
	if len(l.ByPass) > 0 {
		add("to the water", amount, l.ToPasses)
	}
	add("lost", amount, l.Lost)
	for i := range a.result.History.Columns {
		if c := &a.result.History.Columns[i]; c.Name == "block mean" && len(c.Values) > 0 {
			if !l.Steady {
				add("block at its hottest", c.Quantity.Unit(), c.Quantity.Shown(slices.Max(c.Values)))
			}
			add("block at the end", c.Quantity.Unit(), c.Quantity.Shown(c.Values[len(c.Values)-1]))
		}
	}
	return out
}

type revisionsBody struct {
	Revisions []*revision  `json:"revisions" doc:"in their order"`
	Answer    []mainNumber `json:"answer" doc:"of the answer at hand"`
	Answered  string       `json:"answered,omitempty" format:"date-time" doc:"when that came"`
	Old       bool         `json:"old" doc:"the files say something else by now than what the answer at hand was computed from"`
}

func (d *Desk) getRevisions(_ context.Context, q *FileQuery) (*body[revisionsBody], error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	v := &r.revised
	list := v.list
	if r.state == mistaken && v.typed != nil { // what cannot be computed is told too
		if p := pending(v.typed, d.typed(q.Name)); len(p) > 0 {
			n := len(list) + 1
			list = append(slices.Clone(list), &revision{Number: n, Since: n, Changes: p, Before: []mainNumber{}, After: []mainNumber{}})
		}
	}
	out := revisionsBody{Revisions: []*revision{}, Answer: []mainNumber{}}
	for _, one := range list {
		c := *one
		out.Revisions = append(out.Revisions, &c)
	}
	if r.hand != nil && r.hand.result != nil {
		out.Answer, out.Answered = v.mainly(r.hand), v.answered.Format(time.RFC3339)
	}
	n := len(v.list)
	out.Old = r.state == mistaken || n > 0 && len(v.list[n-1].After) == 0
	return &body[revisionsBody]{out}, nil
}

// typed are the texts of the files of a run, of the run itself, its receiver and its duty, by input. A file with mistakes has
// them too.
func (d *Desk) typed(name string) map[string]string {
	out := map[string]string{}
	take := func(f *bench.FileFields) {
		for i := range f.Fields {
			if x := &f.Fields[i]; x.Given && x.Kind != "list" && x.Kind != "mapping" && x.Kind != "names" {
				out[x.Input] = x.Text
			}
		}
	}
	run, _ := bench.Fields(d.root.FS(), name)
	if run == nil {
		return out
	}
	take(run)
	for _, part := range run.Parts() {
		if f, _ := bench.Fields(d.root.FS(), part); f != nil {
			take(f)
		}
	}
	return out
}

// pending are the places at which files say something else than before.
func pending(was, now map[string]string) []changedBody {
	both := maps.Clone(was)
	maps.Copy(both, now)
	var out []changedBody
	for _, input := range slices.Sorted(maps.Keys(both)) {
		if was[input] != now[input] {
			out = append(out, changedBody{input, was[input], now[input]})
		}
	}
	return out
}
