package web

import (
	"context"
	"math"
	"path"
	"time"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/duty"
	"emberbank/yield"

	"github.com/danielgtaylor/huma/v2"
)

// daysAPI tells what a day gives, what open circuits can give, and what a season gave.
func (d *Desk) daysAPI(a huma.API) {
	huma.Get(a, "/api/days", d.getDays, named("days", "The bench's runs that have a load, and its seasons; a run that a season is made of is left out"))
	huma.Get(a, "/api/day", d.getDay, named("day", "What is wanted of a run's water over time, and what the answer at hand amounts to"))
	huma.Get(a, "/api/day/circuits", d.getCircuits, named("day-circuits", "What each number of a load's open circuits can give over the block's temperature, and for how long, where that was computed"))
	huma.Get(a, "/api/season", d.getSeason, named("season", "A season's results, day by day, and which files have changed since"))
}

type daysBody struct {
	Runs    []dayOf    `json:"runs" doc:"in the order of the bench"`
	Seasons []seasonOf `json:"seasons"`
}

type dayOf struct {
	Name  string  `json:"name" doc:"of the file"`
	Title string  `json:"title"`
	Of    string  `json:"of" enum:"heat,steam"`
	Until float64 `json:"until_s"`
}

type seasonOf struct {
	Name  string `json:"name" doc:"of the file"`
	Title string `json:"title"`
	Run   string `json:"run"`
}

func (d *Desk) getDays(context.Context, *struct{}) (*body[daysBody], error) {
	out := daysBody{Runs: []dayOf{}, Seasons: []seasonOf{}}
	all := d.kinds()
	inSeason := map[string]bool{}
	for _, k := range all {
		if k.Kind != "season" {
			continue
		}
		title, run, ok := bench.SeasonNames(d.root.FS(), k.Name)
		if !ok {
			title = path.Base(k.Name)
		}
		inSeason[run] = true
		out.Seasons = append(out.Seasons, seasonOf{k.Name, title, run})
	}
	for _, k := range all {
		if k.Kind != "run" || inSeason[k.Name] {
			continue
		}
		if w, ok := bench.RunWants(d.root.FS(), k.Name); ok {
			out.Runs = append(out.Runs, dayOf{k.Name, w.Title, ofLoad(w.Steam), w.Until})
		}
	}
	return &body[daysBody]{out}, nil
}

func ofLoad(steam bool) string {
	if steam {
		return "steam"
	}
	return "heat"
}

// wantedOver is a value over time, to be joined by straight lines; two equal times make a jump.
type wantedOver struct {
	Time   []float64 `json:"time_s"`
	Values []float64 `json:"values"`
}

// overTime writes a signal out up to a time in s, jumps and all.
func overTime(s *duty.Signal, until float64) wantedOver {
	c := wantedOver{Time: []float64{}, Values: []float64{}}
	if s.Empty() {
		return c
	}
	whole := s.Over(until)
	add := func(t, v float64) {
		c.Time, c.Values = append(c.Time, t), append(c.Values, v)
	}
	add(0, whole.At(0))
	for _, t := range whole.T {
		if !(t > 0 && t < until) {
			continue
		}
		if before := whole.Before(t); before != whole.At(t) {
			add(t, before)
		}
		add(t, whole.At(t))
	}
	add(until, whole.Before(until))
	return c
}

type dayBody struct {
	Title    string     `json:"title"`
	Of       string     `json:"of" enum:"heat,steam,nothing"`
	Unit     string     `json:"unit" doc:"of what is wanted: W, or kg/s"`
	Until    float64    `json:"until_s"`
	Starts   string     `json:"starts,omitempty" doc:"when the run begins, as its duty says it"`
	Clock    float64    `json:"clock_s" doc:"seconds after midnight at which it begins; -1: the duty does not say"`
	Circuits []string   `json:"circuits" doc:"in the order in which the load opens them"`
	Serves   *float64   `json:"serves_degC,omitempty" doc:"temperature of the block below which it cannot serve"`
	Wanted   wantedOver `json:"wanted"`
	Colours  [2]float64 `json:"colours_degC" doc:"range of the colours of temperature"`
	Answer   int        `json:"answer" doc:"what follows is of this answer; 0: of none yet"`
	Sentence string     `json:"sentence,omitempty"`
	Met      *float64   `json:"met_share,omitempty" doc:"of what is wanted"`
	Amounts  []amountOf `json:"amounts" doc:"as the run's report says them"`
	Kept     *keptBody  `json:"kept,omitempty" doc:"what its results say, until the whole answer is there"`
}

type amountOf struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

func (d *Desk) getDay(_ context.Context, q *FileQuery) (*body[dayBody], error) {
	r, err := d.runs.of(q.Name)
	if err != nil {
		return nil, refused(err)
	}
	out := d.dayOf(r)
	if loaded := r.wantsKept(); loaded != nil {
		out.Kept = d.keptDay(q.Name, loaded)
	}
	return &body[dayBody]{out}, nil
}

// wantsKept is a run of which no whole answer is there, as it was read; nil: one is there, or it was not read.
func (r *run) wantsKept() *bench.Run {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.state != computing || r.hand != nil && !r.hand.coarse && r.hand.result != nil {
		return nil
	}
	return r.loaded
}

// dayOf is what a run wants, and what its answer at hand amounts to.
func (d *Desk) dayOf(r *run) dayBody {
	r.mu.Lock()
	defer r.mu.Unlock()
	out := dayBody{Of: "nothing", Clock: -1, Circuits: []string{}, Amounts: []amountOf{}, Wanted: wantedOver{[]float64{}, []float64{}}}
	if r.loaded != nil {
		out.wants(r.loaded)
	}
	if a := r.hand; a != nil {
		c := d.colours(a)
		out.Colours = [2]float64{c.Low, c.Top}
		if a.result != nil {
			out.gave(a, r.number)
		}
	}
	return out
}

// wants says what a run's duty wants, which is known before anything is computed.
func (b *dayBody) wants(loaded *bench.Run) {
	p := &loaded.Problem
	b.Title, b.Until = loaded.Title, p.Until
	if !loaded.Starts.IsZero() {
		b.Starts = loaded.Starts.Format(time.RFC3339)
		h, m, s := loaded.Starts.Clock()
		b.Clock = float64(3600*h + 60*m + s)
	}
	l := p.Duty.Load
	if l == nil || p.Steady {
		return
	}
	b.Of, b.Unit = ofLoad(l.Steam), "W"
	if l.Steam {
		b.Unit = "kg/s"
	}
	for _, i := range l.Circuits {
		b.Circuits = append(b.Circuits, p.Receiver.Circuits[i].Name)
	}
	b.Wanted = overTime(&l.Wanted, p.Until)
}

// gave says what an answer amounts to.
func (b *dayBody) gave(a *answer, number int) {
	y := yield.Of(&a.loaded.Problem, a.result)
	if y == nil {
		return
	}
	b.Answer = number
	b.Sentence = account.DaySentence(y, &a.result.History, a.loaded.Starts)
	for _, l := range account.YieldLines(y) {
		b.Amounts = append(b.Amounts, amountOf(l))
	}
	if s := y.Served; s != nil {
		if serves := y.Serves - zeroCelsius; !math.IsNaN(serves) {
			b.Serves = &serves
		}
		if s.Wanted > 0 {
			share := s.Met / s.Wanted
			b.Met = &share
		}
	}
}
