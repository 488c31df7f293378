package bench

import (
	"io/fs"
	"path"
	"strings"

	"emberbank/history"
	"emberbank/receiver"
	"emberbank/sample"
	"emberbank/unit"
)

// StudyKind says how the variants of a study are chosen.
type StudyKind int

// The kinds of study.
const (
	Sweep  StudyKind = iota // every combination of the values of its axes
	Sample                  // drawn from distributions
	Search                  // asked for one after another, towards the best
)

// Study is a study file with the run that it varies, checked.
type Study struct {
	Name        string
	Run         string // path of the run file in the fs.FS
	Kind        StudyKind
	Axes        []StudyAxis   // everything that a variant sets, in the order of the design's columns
	Design      sample.Design // the values of the axes, variant by variant; nil for a search
	Sample      *StudySample  // nil unless a sample
	Search      *StudySearch  // nil unless a search
	Carry       []Uncertain   // inputs whose uncertainty is carried into the answers: for each variant, one run more for each
	Limit       float64       // s of wall time for one variant; 0: none
	Prices      *Prices       // nil: none
	Responses   []StudyResponse
	Constraints []StudyConstraint
	Answers     []StudyAnswer
	Inputs      []Input
	Warnings    []string
	Under       *Options // what is changed first in every variant, such as by a match; nil: nothing
}

// StudySample is what a sample is drawn with. With Sensitivity the design is a *sample.Exchange of Rows rows.
type StudySample struct {
	Rows        int64
	Seed        uint64
	Latin       bool // a Latin hypercube in place of a Sobol sequence
	Sensitivity bool
}

// StudySearch is how the best is looked for.
type StudySearch struct {
	Runs      int // at the most
	Seed      uint64
	Surrogate bool       // false: by trials alone, for runs that cost next to nothing
	AtOnce    int        // variants asked for together
	Aims      []StudyAim // one, or two: the front between them
}

// StudyAim is a response that is to be large or small.
type StudyAim struct {
	Response int     // index of Study.Responses
	Most     bool    // false: the least
	Flat     float64 // SI: variants within it of the best count as good; 0: not said
}

// AxisKind says what the numbers of an axis stand for.
type AxisKind int

// The kinds of axis.
const (
	AxisNumber AxisKind = iota // a quantity in place of a file's, or a factor on it
	AxisWhole                  // a whole number in place of a file's
	AxisWords                  // value i stands for Words[i]
	AxisFirst                  // how many of the passes are laid, the first as they are numbered
)

// StudyAxis is what is varied.
type StudyAxis struct {
	Name      string
	Kind      AxisKind
	Paths     []string
	Factor    bool
	Dimension unit.Dimension
	Unit      string              // as typed
	Words     []string            // of AxisWords
	Levels    sample.Levels       // SI, rising; of a sweep, and of a search over given values. nil otherwise
	From      sample.Distribution // SI; of a sample
	Low, High float64             // SI; of a search over a range
	Ratio     bool                // a search goes through the range by ratios
}

// StudyResponse is a number that is read off every variant.
type StudyResponse struct {
	Name     string
	Read     Reading
	Quantity history.Quantity
	Unit     string // of a cost: the user's word for the money; "": the quantity's own
}

// StudyConstraint is what a response has to meet.
type StudyConstraint struct {
	Response     int     // index of Study.Responses
	Below, Above float64 // SI; +Inf and -Inf: no such limit
}

// StudyAnswer asks whether a response has a plateau over an axis or, with Pays, where more of what is counted stops paying.
type StudyAnswer struct {
	Response  int // of a plateau
	Axis      int
	Margin    float64 // SI; 0: not said
	Computing float64 // SI, standard uncertainty of each value from computing; NaN: not said
	Twins     bool    // it is found by running variants on a finer grid again
	Pays      *StudyPays
}

// StudyPays is a question of a count that pays, such as of passes.
type StudyPays struct {
	Responses []int   // heat flows, each at a block temperature
	Worth     float64 // SI: a further one pays while it brings this much
	Control   int     // the axis, such as a flow, whose ends give the range in which the heat can be controlled; -1: none
}

// mostVariants bounds a study. Each variant is a folder on the disk.
const mostVariants = 1_000_000

// Changes are the inputs of a variant: what LoadRun is to read in place of the files' numbers. x holds a value for each
// axis, in SI.
func (s *Study) Changes(x []float64) Options { return OptionsOf(s.Settings(x)) }

// LoadStudy reads a study file and the run that it varies. Problems hold mistakes only.
func LoadStudy(fsys fs.FS, name string) (*Study, Problems) { return LoadStudyOver(fsys, name, nil) }

// LoadStudyOver reads a study of a run that is changed first, such as by the parameters of a match: all variants stand on
// that, and what is carried is as well known as it says. Of it Override, Factor and Half count; nil changes nothing.
func LoadStudyOver(fsys fs.FS, name string, under *Options) (*Study, Problems) {
	r := newReader(fsys, Options{})
	s := r.loadStudy(name, under)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return s, nil
}

// choices is a study while it is being read.
type choices struct {
	r      *reader
	out    *Study
	run    *Run // nil where it cannot be read
	known  *matchRun
	build  func(Options) (*Run, Problems) // the run with changes
	axes   []*value                       // where each axis stands
	bodies []*receiver.Receiver           // the run's, and with each word of each axis
}

func (r *reader) loadStudy(name string, under *Options) *Study {
	f := r.openAs(name, "study")
	if f == nil {
		return nil
	}
	v := r.readFile(f, studyForm.laid(), "")
	out := &Study{Name: titled(v, name), Under: under}
	c := &choices{r: r, out: out}
	if rv := v.get("run"); rv != nil {
		out.Run = path.Join(path.Dir(name), rv.text)
		sub := newReader(r.fsys, Options{Under: under})
		sub.numbers, sub.scalars = map[string]Uncertain{}, map[string]scalar{}
		c.run = sub.loadRun(out.Run)
		r.takeOver(sub)
		if sub.problems.Failed() {
			c.run = nil
		}
		if c.run != nil {
			c.bodies = []*receiver.Receiver{&c.run.Problem.Receiver}
			c.known = &matchRun{name: strings.TrimSuffix(path.Base(rv.text), path.Ext(rv.text)), numbers: sub.numbers, spreads: c.run.Spreads, scalars: sub.scalars}
			c.build = NewLoader(r.fsys, out.Run).Load
		}
	}
	c.variants(v)
	c.prices(v.get("prices"))
	for _, q := range v.get("responses").items() {
		c.response(q)
	}
	for _, q := range v.get("constraints").items() {
		c.constraint(q)
	}
	if out.Search != nil {
		c.aims(v.get("search", "aims"))
	}
	for _, q := range v.get("answers").items() {
		c.answer(q)
	}
	c.carry(v.get("carry"))
	out.Limit = v.get("time limit").number(0)
	out.Inputs = r.inputs
	for _, q := range r.sorted() {
		if q.Warning {
			out.Warnings = append(out.Warnings, q.Place()+": "+q.Message)
		}
	}
	return out
}

// variants reads how they are chosen.
func (c *choices) variants(v *value) {
	var given []string
	for _, k := range []string{"sweep", "sample", "search"} {
		if v.has(k) {
			given = append(given, k)
		}
	}
	switch {
	case len(given) > 1:
		c.r.problemAt(v, "the study has a "+strings.Join(given, " and a "), "one of sweep, sample and search", "make two studies of it")
	case len(given) == 0 && v != nil && !v.partial:
		c.r.problemAt(v, "nothing says which variants are run", "one of sweep, sample and search", `add "sweep: {axes: [{name: …, path: …, values: […]}]}"`)
	}
	if s := v.get("sweep"); s != nil {
		for _, a := range s.get("axes").items() {
			c.axis(a)
		}
		c.design(s.get("axes"))
	} else if s := v.get("sample"); s != nil {
		c.sampled(s)
	} else if s := v.get("search"); s != nil {
		c.searched(s)
	}
}

// Count is how many variants the study has; of a search, at the most, with the present design.
func (s *Study) Count() int64 {
	if s.Search != nil {
		return int64(s.Search.Runs) + 1
	}
	return s.Design.Count()
}
