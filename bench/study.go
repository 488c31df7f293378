package bench

import (
	"fmt"
	"io/fs"
	"math"
	"path"
	"slices"
	"strings"

	"emberbank/history"
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
	Responses   []StudyResponse
	Constraints []StudyConstraint
	Answers     []StudyAnswer
	Inputs      []Input
	Warnings    []string
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
func LoadStudy(fsys fs.FS, name string) (*Study, Problems) {
	r := newReader(fsys, Options{})
	s := r.loadStudy(name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return s, nil
}

// choices is a study while it is being read.
type choices struct {
	r     *reader
	out   *Study
	run   *Run // nil where it cannot be read
	known *matchRun
	axes  []*value // where each axis stands
}

func (r *reader) loadStudy(name string) *Study {
	f := r.openAs(name, "study")
	if f == nil {
		return nil
	}
	v := r.readFile(f, studyForm, "")
	out := &Study{Name: v.get("name").word(strings.TrimSuffix(path.Base(name), path.Ext(name)))}
	c := &choices{r: r, out: out}
	if rv := v.get("run"); rv != nil {
		out.Run = path.Join(path.Dir(name), rv.text)
		sub := newReader(r.fsys, Options{})
		sub.numbers = map[string]Uncertain{}
		c.run = sub.loadRun(out.Run)
		r.takeOver(sub)
		if sub.problems.Failed() {
			c.run = nil
		}
		if c.run != nil {
			c.known = &matchRun{strings.TrimSuffix(path.Base(rv.text), path.Ext(rv.text)), sub.numbers, c.run.Spreads}
		}
	}
	for _, a := range v.get("sweep", "axes").items() {
		c.axis(a)
	}
	c.design(v.get("sweep", "axes"))
	for _, q := range v.get("responses").items() {
		c.response(q)
	}
	for _, q := range v.get("constraints").items() {
		c.constraint(q)
	}
	for _, q := range v.get("answers").items() {
		c.answer(q)
	}
	out.Inputs = r.inputs
	for _, q := range r.sorted() {
		if q.Warning {
			out.Warnings = append(out.Warnings, q.Place()+": "+q.Message)
		}
	}
	return out
}

// axis reads one axis.
func (c *choices) axis(v *value) {
	r := c.r
	a := StudyAxis{Name: v.get("name").word(""), Factor: v.get("factor").yes(false), Dimension: unit.Dimensionless}
	if slices.ContainsFunc(c.out.Axes, func(o StudyAxis) bool { return o.Name == a.Name }) {
		r.wrong(v.get("name"), "another axis has this name", "each name once", "choose another name")
	}
	known := c.known != nil && v.get("path") != nil
	var shapes []*shape
	for i, pv := range v.get("path").items() {
		for _, o := range c.out.Axes {
			if slices.Contains(o.Paths, pv.text) {
				r.wrong(pv, "the axis "+o.Name+" varies it already", "each path once", "take one out")
			}
		}
		a.Paths = append(a.Paths, pv.text)
		if c.known == nil {
			continue
		}
		u, found, below := c.known.find(pv.text)
		switch {
		case !found && !(a.Factor && below):
			r.noNumber(pv, "the run "+c.known.name, c.known, below)
			known = false
		case a.Factor && found && !below:
			r.wrong(pv, "a spread is a factor by itself", "the path without factor", `take "factor: yes" out`)
			known = false
		case a.Factor:
		case i > 0 && u.Dimension != a.Dimension:
			r.wrong(pv, "another kind of quantity than the path before it", "one kind", "make two axes of it")
			known = false
		default:
			a.Dimension = u.Dimension
			shapes = append(shapes, u.shape)
		}
	}
	if !known || v.partial && v.get("values") == nil && v.get("from") == nil {
		return
	}
	a.Levels = c.levels(v, &a, shapes)
	c.out.Axes, c.axes = append(c.out.Axes, a), append(c.axes, v)
}

// levels reads the values of an axis; nil after a mistake.
func (c *choices) levels(v *value, a *StudyAxis, shapes []*shape) sample.Levels {
	r := c.r
	failed := v.partial
	read := func(t *value) float64 {
		q, err := unit.Parse(t.text, a.Dimension)
		if err != nil {
			what, fix := unitTrouble(err, quantity(a.Dimension, "", ""))
			r.wrong(t, what, "", fix)
			failed = true
			return math.NaN()
		}
		if a.Unit == "" {
			a.Unit = q.Unit
		}
		for _, s := range shapes {
			if s != nil && (q.Value < s.min-slack(s.min) || q.Value > s.max+slack(s.max) || s.open && q.Value <= s.min) {
				r.wrong(t, "", s.allowed(), giveOne(s))
				failed = true
				return math.NaN()
			}
		}
		if a.Factor && !(q.Value >= 0) {
			r.wrong(t, "a factor is not below zero", "from 0", "give it as 0.5 or as 50 %")
			failed = true
		}
		return q.Value
	}
	values, from, to, count := v.get("values"), v.get("from"), v.get("to"), v.get("count")
	ranged := from != nil || to != nil || count != nil
	switch {
	case values != nil && ranged:
		r.problemAt(v, v.path+" has both values and a range", `"values", or "from", "to" and "count"`, "take one of the two out")
	case values != nil:
		var list sample.List
		for _, t := range values.items() {
			x := read(t)
			if n := len(list); n > 0 && x <= list[n-1] {
				r.wrong(t, "not above the value before it", "values that rise", "put them in order, each once")
				failed = true
			}
			list = append(list, x)
		}
		if !failed {
			return list
		}
	case from == nil || to == nil || count == nil:
		if !v.partial {
			r.problemAt(v, v.path+" lacks its values", `"values", or "from", "to" and "count"`, `add "values: [20 mm, 40 mm, 80 mm]" or "from: 20 mm, to: 80 mm, count: 4", in the unit of what is varied`)
		}
	default:
		g := sample.Range{From: read(from), To: read(to), Count: int64(count.num), Log: v.get("steps").is("ratio")}
		switch {
		case failed:
		case g.From >= g.To:
			r.wrong(to, "not above the first value", "a range that rises", "swap or mend them")
		case g.Log && g.From <= 0:
			r.wrong(from, "equal ratios begin above zero", "above zero", `begin above zero, or take "steps: equal"`)
		default:
			return g
		}
	}
	return nil
}

// design counts the variants and tries the ends of each axis.
func (c *choices) design(at *value) {
	var levels []sample.Levels
	for _, a := range c.out.Axes {
		if a.Levels == nil {
			return
		}
		levels = append(levels, a.Levels)
	}
	if at == nil || len(levels) == 0 {
		return
	}
	g, err := sample.NewGrid(levels...)
	switch {
	case err != nil:
		c.r.problemAt(at, at.path+": "+err.Error(), fmt.Sprintf("at most %d variants", mostVariants), "take fewer values, or fewer axes")
	case g.Count() > mostVariants:
		c.r.problemAt(at, fmt.Sprintf("%s: the sweep has %d variants", at.path, g.Count()), fmt.Sprintf("at most %d", mostVariants), "take fewer values, or fewer axes")
	case len(levels) == len(at.node.Content):
		c.out.Design = g
		c.try()
	}
}

// try builds the run at the ends of each axis, the others as the files have them.
func (c *choices) try() {
	for i, a := range c.out.Axes {
		one := Study{Axes: c.out.Axes[i : i+1]}
		for _, end := range []int64{0, a.Levels.Len() - 1} {
			x := a.Levels.Value(end)
			if _, ps := LoadRun(c.r.fsys, c.out.Run, one.Changes([]float64{x})); ps.Failed() {
				first := ps[slices.IndexFunc(ps, func(p Problem) bool { return !p.Warning })]
				c.r.problemAt(c.axes[i], fmt.Sprintf("%s: with %s the run cannot be built: %s: %s", c.axes[i].path, a.Show(x), first.Place(), first.Message),
					first.Allowed, "choose other values, or vary what hangs on it by further paths of this axis")
			}
		}
	}
}

// Show writes a value of the axis with its unit.
func (a *StudyAxis) Show(x float64) string { return unit.Format(x, a.Dimension, a.Unit) }
