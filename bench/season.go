package bench

import (
	"fmt"
	"io/fs"
	"math"
	"path"

	"emberbank/duty"
	"emberbank/heat"
)

// Season is a season file with the run that it names, checked.
type Season struct {
	Name            string
	Run             *Run
	File            string // of the run, path in the fs.FS
	Build, Apart    []SeasonDay
	BuildN, ApartN  int     // how many days are chosen; 0: not said, or listed
	Layers, Shells  int     // 0: not said
	Heat, BlockMean float64 // what errors are allowed: 1 and K; 0: not said
	Inputs          []Input
	Warnings        []string
}

// SeasonDay is a day that is named.
type SeasonDay struct {
	Day     int     // from 0
	Lasts   float64 // s
	Block   float64 // K; NaN: ambient
	Default bool    // nothing is said of the block
}

// LoadSeason reads a season file and its run. Problems hold mistakes only.
func LoadSeason(fsys fs.FS, name string) (*Season, Problems) {
	r := newReader(fsys, Options{})
	s := r.loadSeason(name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return s, nil
}

func (r *reader) loadSeason(name string) *Season {
	f := r.openAs(name, "season")
	if f == nil {
		return nil
	}
	v := r.readFile(f, seasonForm.laid(), "")
	out := &Season{
		Name:   titled(v, name),
		Layers: int(v.get("layers").number(0)), Shells: int(v.get("shells").number(0)),
		Heat: v.get("allowed", "heat").number(0), BlockMean: v.get("allowed", "block mean").number(0),
	}
	if rv := v.get("run"); rv != nil {
		out.File = path.Join(path.Dir(name), rv.text)
		sub := newReader(r.fsys, Options{})
		out.Run = sub.loadRun(out.File)
		r.takeOver(sub)
		if sub.problems.Failed() {
			out.Run = nil
		}
		if out.Run != nil {
			r.seasonFits(rv, &out.Run.Problem)
		}
	}
	out.Build, out.BuildN = r.seasonDays(v.get("build"), out.Run)
	out.Apart, out.ApartN = r.seasonDays(v.get("apart"), out.Run)
	r.eachOnce(v.get("apart"), out.Apart, out.Build)
	out.Inputs = r.inputs
	for _, q := range r.sorted() {
		if q.Warning {
			out.Warnings = append(out.Warnings, q.Place()+": "+q.Message)
		}
	}
	return out
}

// seasonDays reads how many days are chosen, or which.
func (r *reader) seasonDays(v *value, run *Run) (days []SeasonDay, n int) {
	if v == nil {
		return nil, 0
	}
	if v.typ.kind == isCount {
		return nil, int(v.num)
	}
	for _, d := range v.items() {
		one := SeasonDay{Day: int(d.get("day").number(1)) - 1, Lasts: d.get("lasts").number(86400), Block: math.NaN(), Default: !d.has("block")}
		if b := d.get("block"); b.isQuantity() {
			one.Block = b.num
		}
		if run != nil {
			if end := float64(one.Day)*86400 + one.Lasts; end > run.Problem.Until*(1+1e-9) {
				r.wrong(d.get("day"), "it lies beyond the run's end", fmt.Sprintf("1 to %d", int(run.Problem.Until/86400)), "name another day, or let the run last longer")
			}
		}
		days = append(days, one)
	}
	return days, 0
}

// eachOnce complains of days apart that the model is to be built from.
func (r *reader) eachOnce(v *value, apart, build []SeasonDay) {
	for i, a := range apart {
		for _, b := range build {
			if from, to := float64(a.Day)*86400, float64(b.Day)*86400; from < to+b.Lasts && to < from+a.Lasts {
				r.wrong(v.items()[i].get("day"), fmt.Sprintf("day %d stands under build too (lasts counts), and a model that was built from a day is not held against it", max(a.Day, b.Day)+1),
					"days that the model is not built from", "take the day out of one of the two lists")
				break
			}
		}
	}
}

// seasonFits complains of what a season cannot be computed with.
func (r *reader) seasonFits(v *value, p *heat.Problem) {
	d := &p.Duty
	switch {
	case p.Steady:
		r.wrong(v, "a steady state has no days", "a run over time", `give it "until: 365 d"`)
		return
	case p.Until < 86400*(1-1e-9):
		r.wrong(v, "the run lasts less than a day", "a day or more", `give it "until: 365 d"`)
	case len(d.Pumps) > 0:
		r.wrong(v, "its duty has a pump that divides its flow between circuits, which the fast model does not know", "circuits with a flow of their own", `give each circuit a flow, or take "load:"`)
	}
	for i := range d.Rules {
		q := &d.Rules[i]
		switch q.Watch.What {
		case duty.WatchBlockMean, duty.WatchMelted, duty.WatchLight, duty.WatchSteam:
		default:
			r.wrong(v, fmt.Sprintf("the rule %q of its duty looks at a place or an outlet, which the fast model does not know", q.Name),
				"rules that look at block mean, melted, light or steam", "let the rule look at the block mean")
		}
	}
}
