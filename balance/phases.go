package balance

import (
	"fmt"
	"math"
)

// Kind is what happens in a phase.
type Kind int

// The kinds of phases.
const (
	HeatUp Kind = iota // a source heats and the block warms
	Hold               // the block's heat is kept
	Drain              // water takes heat out
	Cool               // the block cools with neither source nor water
)

func (k Kind) String() string { return [...]string{"heat-up", "hold", "drain", "cool"}[k] }

// KindOf returns the kind of that name.
func KindOf(name string) (Kind, error) {
	for k := HeatUp; k <= Cool; k++ {
		if k.String() == name {
			return k, nil
		}
	}
	return 0, fmt.Errorf("%q is no phase: give heat-up, hold, drain or cool", name)
}

// Phase is a stretch of a record in which one thing happens.
type Phase struct {
	Kind     Kind
	From, To float64 // s
	Why      string  // a sentence
	ByHand   bool
}

// The numbers that decide. They are common practice without a source, tried on made-up records in the tests.
const (
	grid       = 1500 // points on which phases are looked for
	onShare    = 0.10 // of a switch's usual level: above it is on
	holdShare  = 0.06 // of the steepest usual rise: below it is a hold
	leastShare = 0.02 // of the record: shorter is no phase of its own
	coolShare  = 0.05 // of the height above ambient: a fall by less is a hold
)

// FindPhases finds the phases of a record, in time's order, without gaps between them. Sources and flow say most;
// what they leave open the block's temperature decides.
func FindPhases(in *Input) ([]Phase, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	t := in.History.Time
	source, flow, block := newSwitch(t, in.sourcePower()), newSwitch(t, in.flowTotal()), in.blockMean()
	if block == nil && source == nil && flow == nil {
		return nil, fmt.Errorf("the record %q has no block temperature, no source and no flow: phases cannot be found; give them by hand", in.Name)
	}
	n := min(grid, len(t))
	g := make([]float64, n)
	for i := range g {
		g[i] = t[0] + (t[len(t)-1]-t[0])*float64(i)/float64(n-1)
	}
	s := newSlopes(t, block, g)
	kinds := make([]Kind, n)
	for i, x := range g {
		rise := s.sign(i)
		switch on, wet := source.on(x), flow.on(x); {
		case wet && (rise <= 0 || !on):
			kinds[i] = Drain
		case on && rise > 0, source == nil && rise > 0:
			kinds[i] = HeatUp
		case on:
			kinds[i] = Hold
		case source == nil && rise == 0:
			kinds[i] = Hold
		default:
			kinds[i] = Cool
		}
	}
	least := max(5, int(math.Ceil(leastShare*float64(n))))
	kinds = swallow(kinds, least)
	var out []Phase
	for i := 0; i < n; {
		j := i
		for j < n && kinds[j] == kinds[i] {
			j++
		}
		p := Phase{Kind: kinds[i], From: t[0], To: t[len(t)-1]}
		if i > 0 {
			p.From = out[len(out)-1].To
		}
		if j < n {
			p.To = border(source, flow, g[j-1], g[j])
		}
		out = append(out, p)
		i = j
	}
	in.name(out, source, flow, block)
	return joined(out), nil
}

// border returns where a switch turns between two grid points or near them, else the middle.
func border(source, flow *onOff, a, b float64) float64 {
	for _, s := range []*onOff{flow, source} {
		if x, ok := s.turn(a-2*(b-a), b+2*(b-a)); ok {
			return x
		}
	}
	return (a + b) / 2
}

// swallow gives stretches shorter than least to the longer neighbour, the shortest first.
func swallow(kinds []Kind, least int) []Kind {
	for {
		type run struct{ from, to int }
		var runs []run
		for i := 0; i < len(kinds); {
			j := i
			for j < len(kinds) && kinds[j] == kinds[i] {
				j++
			}
			runs = append(runs, run{i, j})
			i = j
		}
		worst := -1
		for k, r := range runs {
			if r.to-r.from < least && (worst < 0 || r.to-r.from < runs[worst].to-runs[worst].from) {
				worst = k
			}
		}
		if worst < 0 || len(runs) == 1 {
			return kinds
		}
		from := worst - 1
		if worst == 0 || worst+1 < len(runs) && runs[worst+1].to-runs[worst+1].from > runs[worst-1].to-runs[worst-1].from {
			from = worst + 1
		}
		for i := runs[worst].from; i < runs[worst].to; i++ {
			kinds[i] = kinds[runs[from].from]
		}
	}
}

// name settles which quiet stretches are holds, and says why each phase is what it is.
func (in *Input) name(out []Phase, source, flow *onOff, block []float64) {
	t := in.History.Time
	ambient := math.NaN()
	if c := in.channels(Ambient); len(c) > 0 {
		ambient = quantile(in.values(c[0]), 0.5)
	}
	for i := range out {
		p := &out[i]
		from, to := within(t, p.From, p.To)
		first, last := math.NaN(), math.NaN()
		if block != nil {
			first, last, _ = ends(t, block, from, to)
		}
		course := ""
		if !math.IsNaN(first) {
			course = fmt.Sprintf(", and the block goes from %.1f °C to %.1f °C", first-273.15, last-273.15)
		}
		mid := (p.From + p.To) / 2
		switch p.Kind {
		case Drain:
			p.Why = "water flows" + course
			if source.on(mid) {
				p.Why += "; the source is on as well"
			}
		case HeatUp:
			p.Why = "the source is on, no water flows" + course
			switch {
			case source == nil:
				p.Why = "the block warms; no source is recorded" + course
			case flow.on(mid):
				p.Why = "the source is on and the block warms although water flows" + course
			case flow == nil:
				p.Why = "the source is on" + course
			}
		case Hold:
			p.Why = "the source is on and the block hardly changes" + course
			if source == nil {
				p.Why = "the block hardly changes" + course
			}
		case Cool:
			p.Why = "neither source nor water" + course
			height := first - ambient
			if math.IsNaN(height) && block != nil {
				height = first - quantile(block, 0)
			}
			switch next := i + 1; {
			case next < len(out) && out[next].Kind == Drain:
				p.Kind = Hold
				p.Why = "neither source nor water, and a drain follows" + course
			case math.Abs(first-last) < coolShare*math.Abs(height):
				p.Kind = Hold
				p.Why = fmt.Sprintf("neither source nor water, and the block loses less than %.0f %% of its height above ambient%s", 100*coolShare, course)
			}
		}
	}
}

// joined puts neighbours of one kind together.
func joined(all []Phase) []Phase {
	var out []Phase
	for _, p := range all {
		if n := len(out); n > 0 && out[n-1].Kind == p.Kind {
			out[n-1].To = p.To
			continue
		}
		out = append(out, p)
	}
	return out
}

// onOff is a quantity that is either there or not, such as a flow.
type onOff struct {
	t, v      []float64
	threshold float64 // +Inf: it never was on
}

// newSwitch reads a switch off a series; nil for nil.
func newSwitch(t, v []float64) *onOff {
	if v == nil {
		return nil
	}
	s := &onOff{threshold: math.Inf(1)}
	s.t, s.v = buckets(t, v, grid)
	s.v = median5(s.v)
	level, noise := quantile(s.v, 0.98), roughness(v)
	if level > 8*noise && level > 0 {
		s.threshold = onShare * level
	}
	s.t, s.v = t, v
	return s
}

// on tells whether it is on at x: the median of the five readings around.
func (s *onOff) on(x float64) bool {
	if s == nil {
		return false
	}
	i, _ := within(s.t, x, x)
	var near []float64
	for k := max(0, i-2); k < min(len(s.t), i+3); k++ {
		near = append(near, s.v[k])
	}
	return quantile(near, 0.5) > s.threshold
}

// turn returns the last moment within a..b between whose neighbours it turns on or off for good.
func (s *onOff) turn(a, b float64) (float64, bool) {
	if s == nil || s.on(a) == s.on(b) {
		return 0, false
	}
	after := s.on(b)
	from, to := within(s.t, a, b)
	for i := min(to, len(s.t)-1); i > max(0, from-1); i-- {
		if !math.IsNaN(s.v[i-1]) && (s.v[i-1] > s.threshold) != after {
			if after {
				return s.t[i-1], true // it turned on after this reading: the reading before still belongs outside
			}
			return s.t[i], true
		}
	}
	return 0, false
}

func median5(v []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = quantile(v[max(0, i-2):min(len(v), i+3)], 0.5)
	}
	return out
}

// slopes is the rise of the block's temperature on a grid.
type slopes struct {
	rise, unsure []float64 // K/s
	limit        float64   // K/s, below it nothing happens
}

func newSlopes(t, block, g []float64) *slopes {
	if block == nil {
		return nil
	}
	tb, vb := buckets(t, block, grid)
	vb = median5(vb)
	if len(tb) < 3 {
		return nil
	}
	noise := roughness(vb)
	half := math.Max(0.01*(g[len(g)-1]-g[0]), 2.5*(tb[len(tb)-1]-tb[0])/float64(len(tb)-1))
	s := &slopes{rise: make([]float64, len(g)), unsure: make([]float64, len(g))}
	var size []float64
	for i, x := range g {
		from, to := within(tb, x-half, x+half)
		var n, st, sv, stt, stv float64
		for k := from; k < to; k++ {
			d := tb[k] - x
			n, st, sv, stt, stv = n+1, st+d, sv+vb[k], stt+d*d, stv+d*vb[k]
		}
		if det := n*stt - st*st; n >= 3 && det > 0 {
			s.rise[i] = (n*stv - st*sv) / det
			s.unsure[i] = noise * math.Sqrt(n/det)
		}
		size = append(size, math.Abs(s.rise[i]))
	}
	s.limit = holdShare * quantile(size, 0.95)
	return s
}

// sign is 1, 0 or -1: rises, stands or falls as far as can be told.
func (s *slopes) sign(i int) int {
	switch {
	case s == nil, math.Abs(s.rise[i]) <= math.Max(s.limit, 2*s.unsure[i]):
		return 0
	case s.rise[i] > 0:
		return 1
	}
	return -1
}
