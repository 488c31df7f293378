package heat

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/film"
	"emberbank/receiver"
)

// slice is one grid cell's length of a tube, with the chain of resistances from the cells around it to the
// fluid.
type slice struct {
	// Of the present stage:
	mean  float64 // K, of the linked cells
	heat  float64 // W, to the fluid
	fluid float64 // K
	bore  float64 // K, of the bore's wall

	// Of the present step:
	u       float64          // W/K, from the mean of the linked cells to the fluid
	steep   float64          // W/K, of a circuit's slice: by how much its heat rises with the mean of the linked cells
	spread  float64          // W/K, of the links' conductances; +Inf: no spreading resistance
	ease    float64          // K/W, 1/spread
	sum     float64          // W/K, of the links' conductances
	contact float64          // K/W
	wall    float64          // K/W
	filmR   float64          // K/W
	regime  film.Regime      // of the water, where the film tells it
	wetted  float64          // 1, share of the bore that liquid wets; NaN where the film does not tell
	made    film.Coefficient // as computed, with its law and spread; without a law: none was asked for

	unsettled bool // a film and its flux did not come to agree

	first  int // links first..last
	last   int
	pass   int // whose heat it counts to
	run    receiver.RunKind
	length float64 // m
	axis   block.Axis
	along  float64 // +1 flowing to higher coordinates
	line   float64 // W/(m K) for a bare line sink, else 0
	volume float64 // m³ of fluid

	outer, inner float64    // m², of the tube's two faces
	section      float64    // m², of the bore
	ways         [2]float64 // m, of what leads around the hole: see block.Slice
	way          [2]float64 // W/K, the same of the present step
	around       float64    // 1/m, ln(D/d)/(2πL): over the wall's conductivity its resistance
}

// against is what a slice's links draw against at a stage: see draw. It lies apart from the slice, since one thread finds it and all read
// it, which costs where cores are far from each other.
type against struct {
	ref   float64    // K
	round [2]float64 // W, that leads around the hole, along the two directions across it
}

// link couples a slice to a cell.
type link struct {
	cell  int32
	slice int32
	share float64    // of the slice's mean temperature, of the present step
	k     float64    // W/K, of the present step: what it draws by, see draw
	side  [2]float64 // of one watt that leads around the hole along either direction across it, what the cell gives; below 0: takes
	g     float64    // W/K, of the present step
	shape float64    // m
	// own is the share of the way from the cell's centre to the wall in the cell itself, the rest of it lies in medium
	// rest; rest is -1 where all lies in the cell's own.
	own  float64
	rest int16
}

// lone is a slice with a fixed fluid in one cell: it stands for itself, and its plane computes it.
type lone struct {
	cell, slice int32
	fluid       float64 // K
	u           float64 // W/K, that of its slice in the step in hand
}

// tubes is every slice of every pass, lead and bend.
type tubes struct {
	b          *body
	slices     []slice
	links      []link
	byPlane    []int32 // indices into links, by plane of their cell
	planeLinks []int
	circuits   [][]int // slices of each circuit in the order of flow
	fixed      []int   // slices of passes with a fixed fluid temperature
	lone       []lone  // of these the ones in one cell, by plane
	planeLone  []int
	joined     []int32   // all other slices
	around     []float64 // K, by link: the cells' temperatures, as the slices' means are taken of them
	against    []against // by slice

	laws  film.Choice
	films float64 // -1..1, part of its spread at which each film is taken: see within
	more  larger
	slack float64 // factor on what the search of a control's flow may leave; 0: 1

	isobars []*isobar // the last tables that circuits asked for, newest first
	pumps   []pumped  // scratch of a pump's division
}

// cutBores cuts a bore for each stretch of tube: passes first, in their order, then the leads and bends of the
// circuits in theirs.
func (b *body) cutBores(part []int16) ([]*block.Bore, error) {
	rec := b.rec
	var bores []*block.Bore
	cutter := block.NewCutter(b.g, part)
	cut := func(what string, l block.Line, medium int) error {
		ratio := [3]float64{1, 1, 1}
		if medium >= 0 {
			for a := range 3 {
				ratio[a] = rec.Media[medium].Conductivity[a].At(300)
			}
		}
		bore, err := cutter.Cut(l, ratio)
		if err != nil {
			return fmt.Errorf("cutting the bore of %s: %w", what, err)
		}
		bores = append(bores, &bore)
		return nil
	}
	blockMedium := -1
	for i := range rec.Parts {
		if rec.Parts[i].Role == receiver.RoleBlock {
			blockMedium = rec.Parts[i].Medium
		}
	}
	for i := range rec.Passes {
		p := &rec.Passes[i]
		l := block.Line{Axis: p.Axis, At: p.At, From: p.From, To: p.To, Diameter: p.Outer}
		if p.Line > 0 {
			bores = append(bores, b.bareLine(l))
			continue
		}
		if err := cut("pass "+p.Name, l, blockMedium); err != nil {
			return nil, err
		}
	}
	for _, c := range rec.Circuits {
		for _, r := range c.Runs {
			if r.Kind == receiver.RunPass {
				continue
			}
			a := runAxis(r)
			l := block.Line{
				Axis: a, At: r.From, From: min(r.From[a], r.To[a]), To: max(r.From[a], r.To[a]),
				Diameter: rec.Passes[r.Pass].Outer,
			}
			if err := cut("a lead or bend of circuit "+c.Name, l, -1); err != nil {
				return nil, fmt.Errorf("%w; choose the offset of the circuit's bends so that the tube stays inside the insulation, or write bends: none", err)
			}
		}
	}
	// Passes that come too close are worth a word; leads and bends meet their own passes by design.
	b.warnings = append(b.warnings, cutter.Settle(bores[:len(rec.Passes)])...)
	cutter.Settle(bores)
	return bores, nil
}

// runAxis returns the direction along which a stretch runs.
func runAxis(r receiver.Run) block.Axis {
	a := block.Depth
	for d := block.Depth; d <= block.Height; d++ {
		if math.Abs(r.To[d]-r.From[d]) > math.Abs(r.To[a]-r.From[a]) {
			a = d
		}
	}
	return a
}

// bareLine couples a bare line sink to the cells that hold its axis: cell floor(coordinate/spacing) on a
// uniform grid.
func (b *body) bareLine(l block.Line) *block.Bore {
	g := b.g
	bore := &block.Bore{Axis: l.Axis, At: l.At}
	var at [3]int
	for a := block.Depth; a <= block.Height; a++ {
		if a != l.Axis {
			slack := 1e-9 * (g.Lines[a][g.N(a)] - g.Lines[a][0]) // a coordinate that is a line to rounding is one
			at[a] = max(0, g.Find(a, min(l.At[a]+slack, g.Lines[a][g.N(a)])))
		}
	}
	for i := range g.N(l.Axis) {
		from, to := max(l.From, g.Lines[l.Axis][i]), min(l.To, g.Lines[l.Axis][i+1])
		if to-from < 1e-9 {
			continue
		}
		at[l.Axis] = i
		bore.Slices = append(bore.Slices, block.Slice{
			From: from, To: to,
			Links: []block.Link{{Cell: g.Index(at[0], at[1], at[2]), Shape: to - from, Own: 1}},
		})
	}
	return bore
}

func newTubes(b *body, bores []*block.Bore, net *network) *tubes {
	rec := b.rec
	t := &tubes{b: b, more: larger{1, 1, 1}}
	inCircuit := make([]bool, len(rec.Passes))
	next := len(rec.Passes)
	for _, c := range rec.Circuits {
		var order []int
		for _, r := range c.Runs {
			bore, a := (*block.Bore)(nil), runAxis(r)
			if r.Kind == receiver.RunPass {
				bore = bores[r.Pass]
				inCircuit[r.Pass] = true
			} else {
				bore = bores[next]
				next++
			}
			along := 1.0
			if r.To[a] < r.From[a] {
				along = -1
			}
			first := len(t.slices)
			t.add(bore, r.Pass, r.Kind, along)
			n := len(t.slices) - first
			for q := range n {
				s := first + q
				if along < 0 {
					s = first + n - 1 - q
				}
				order = append(order, s)
			}
			t.bridge(net, bore, &rec.Passes[r.Pass])
		}
		t.circuits = append(t.circuits, order)
	}
	for i := range rec.Passes {
		if inCircuit[i] {
			continue
		}
		first := len(t.slices)
		t.add(bores[i], i, receiver.RunPass, 1)
		for s := first; s < len(t.slices); s++ {
			t.fixed = append(t.fixed, s)
		}
	}
	t.sortLinks()
	return t
}

func (t *tubes) add(bore *block.Bore, pass int, kind receiver.RunKind, along float64) {
	p := &t.b.rec.Passes[pass]
	for _, bs := range bore.Slices {
		s := slice{
			pass: pass, run: kind, length: bs.To - bs.From, axis: bore.Axis, along: along,
			first: len(t.links), line: p.Line, ways: bs.Ways,
		}
		s.section = math.Pi / 4 * p.Inner * p.Inner
		s.volume = s.section * s.length
		s.outer, s.inner = math.Pi*p.Outer*s.length, math.Pi*p.Inner*s.length
		s.around = math.Log(p.Outer/p.Inner) / (2 * math.Pi * s.length)
		for _, l := range bs.Links {
			if t.b.medium[l.Cell] < 0 { // cut away by another tube
				continue
			}
			k := link{cell: int32(l.Cell), slice: int32(len(t.slices)), shape: l.Shape, own: 1, rest: -1, side: l.Side}
			if m, ok := t.b.bored[l.Beside]; ok && l.Own < 1 && m >= 0 && m != t.b.medium[l.Cell] {
				k.own, k.rest = l.Own, m
			}
			t.links = append(t.links, k)
		}
		s.last = len(t.links)
		s.takeSides(t.links[s.first:s.last])
		t.slices = append(t.slices, s)
	}
}

// takeSides makes the sides of links shares of one watt. Where none are left on one of the hole's sides, nothing leads
// around it.
func (s *slice) takeSides(links []link) {
	side := make([]float64, len(links))
	for a := range s.ways {
		for q := range links {
			side[q] = links[q].side[a]
		}
		if s.ways[a] == 0 || !block.Balance(side) {
			s.ways[a] = 0
			clear(side)
		}
		for q := range links {
			links[q].side[a] = side[q]
		}
	}
}

// bridge lets the tube's wall conduct along its axis beside the solid around it: leads and bends are bridges
// through the insulation.
func (t *tubes) bridge(net *network, bore *block.Bore, p *receiver.Pass) {
	if p.WallMedium < 0 || p.Line > 0 {
		return
	}
	if net.bridge[bore.Axis] == nil {
		net.bridge[bore.Axis] = make([]float64, t.b.n)
	}
	area := math.Pi / 4 * (p.Outer*p.Outer - p.Inner*p.Inner)
	k := t.b.rec.Media[p.WallMedium].Conductivity[0].At(400)
	for _, bs := range bore.Slices {
		sum := 0.0
		for _, l := range bs.Links {
			if t.b.medium[l.Cell] >= 0 {
				sum += l.Shape
			}
		}
		for _, l := range bs.Links {
			if t.b.medium[l.Cell] >= 0 {
				net.bridge[bore.Axis][l.Cell] += k * area * l.Shape / sum
			}
		}
	}
}

func (t *tubes) sortLinks() {
	b := t.b
	plane := b.nx * b.ny
	alone := make([]bool, len(t.slices))
	for _, i := range t.fixed {
		alone[i] = t.slices[i].last-t.slices[i].first == 1
	}
	for i := range t.slices {
		if !alone[i] {
			t.joined = append(t.joined, int32(i))
		}
	}
	t.around, t.against = make([]float64, len(t.links)), make([]against, len(t.slices))
	t.planeLinks, t.planeLone = make([]int, b.nz+1), make([]int, b.nz+1)
	for k := range b.nz {
		for i := range t.links {
			l := &t.links[i]
			switch {
			case int(l.cell)/plane != k:
			case alone[l.slice]:
				t.lone = append(t.lone, lone{cell: l.cell, slice: l.slice, fluid: b.rec.Passes[t.slices[l.slice].pass].Fluid})
			default:
				t.byPlane = append(t.byPlane, int32(i))
			}
		}
		t.planeLinks[k+1], t.planeLone[k+1] = len(t.byPlane), len(t.lone)
	}
}

// couple sets the conductances of the links and of spreading for the present conductivities. A link that crosses from
// one medium into another, as that from a bend in a layer of one cell to the block beside the layer, leads through both
// in series: shape/(s/k + (1-s)/k'), s the share of the way in the cell itself. Source: Patankar, Numerical Heat Transfer
// and Fluid Flow, 1980, section 4.2-3 (the interface conductivity, a harmonic mean; the section from memory). The rest of the way
// has the mean temperature of the bore's wall and its cells. What leads around a hole leads through its two sides in series
// in the same way: where one of them is insulation, next to nothing.
func (t *tubes) couple(net *network) {
	for i := range t.slices {
		s := &t.slices[i]
		p := &t.b.rec.Passes[s.pass]
		s.sum = 0
		var slow [2]float64 // m K/W, twice what one over the conductivity is along the way around the hole
		links := t.links[s.first:s.last]
		for q := range links {
			l := &links[q]
			l.g = l.shape
			if s.line == 0 {
				k := net.across(int(l.cell), s.axis)
				if l.rest >= 0 {
					k = 1 / (l.own/k + (1-l.own)/net.tables[l.rest].across(s.axis, 0.5*(s.bore+s.mean)))
				}
				l.g *= k
			}
			s.sum += l.g
			for a, side := range l.side {
				slow[a] += math.Abs(side) * l.shape / l.g
			}
		}
		for a, w := range s.ways {
			if s.way[a] = 0; w > 0 {
				s.way[a] = 2 * w / slow[a]
			}
		}
		s.spread, s.ease = s.sum, 0
		switch {
		case s.line > 0 || !p.Spreading:
			s.spread = inf
		case s.sum > 0:
			s.ease = 1 / s.sum
		}
		for q := range links {
			l := &links[q]
			l.share = l.g / s.sum
		}
	}
}

// leastShare bounds a chain without a spreading resistance: the rest of it counts at least this share of what the
// spreading would be, since a chain with no resistance at all has no flow of heat that one could compute.
const leastShare = 0.05

// conductance sets u from the links of the chain, and what the links draw by.
func (t *tubes) conductance(s *slice) {
	switch {
	case s.first == s.last: // nothing of the solid left around it
		s.u = 0
	case s.line > 0:
		s.u = s.line * s.length
	default:
		s.u = 1 / s.chain(s.filmR)
	}
	for q := s.first; q < s.last; q++ {
		t.links[q].k = t.links[q].share * s.u
	}
}

// chain returns the whole resistance from the mean of the cells to the fluid in K/W, with a film of filmR in K/W.
func (s *slice) chain(filmR float64) float64 {
	r := s.contact + s.wall + filmR
	if s.ease > 0 {
		return r + s.ease
	}
	return math.Max(r, leastShare/s.sum)
}

// measure sets each slice's mean temperature of the cells around it: weighted by the links' conductances.
func (t *tubes) measure(T []float64, pad int) {
	t.measureJoined(T, pad)
	for i := range t.lone {
		l := &t.lone[i]
		t.slices[l.slice].mean = T[pad+int(l.cell)]
	}
}

// takeLone has lone slices conduct as they do in the step in hand.
func (t *tubes) takeLone() {
	for i := range t.lone {
		l := &t.lone[i]
		l.u = t.slices[l.slice].u
	}
}

// measureJoined is measure without the lone slices.
func (t *tubes) measureJoined(T []float64, pad int) {
	for _, i := range t.byPlane {
		t.around[i] = T[pad+int(t.links[i].cell)]
	}
	t.means()
}

// gather takes the temperatures of the cells of plane k around tubes from T, for means.
func (t *tubes) gather(k int, T []float64) {
	for _, i := range t.byPlane[t.planeLinks[k]:t.planeLinks[k+1]] {
		t.around[i] = T[t.links[i].cell]
	}
}

// means is measureJoined for temperatures that have been gathered.
func (t *tubes) means() {
	for _, i := range t.joined {
		s := &t.slices[i]
		if s.first == s.last {
			continue
		}
		mean, x, y := 0.0, 0.0, 0.0
		links, around := t.links[s.first:s.last], t.around[s.first:s.last]
		for q := range links {
			l, T := &links[q], around[q]
			mean += l.share * T
			x += l.side[0] * T
			y += l.side[1] * T
		}
		s.mean = mean
		t.against[i].round = [2]float64{s.way[0] * x, s.way[1] * y}
	}
}

// settle sets the temperature of the bore's wall once a slice's heat is known, and that against which links draw.
func (t *tubes) settle(slice int) {
	s := &t.slices[slice]
	s.bore = s.mean - s.heat*s.ease
	ref := s.bore
	if s.u > 0 {
		ref = s.mean - s.heat/s.u
	}
	t.against[slice].ref = ref
}

// draw returns what a link takes from its cell, at T in K, in W: by its share of the chain from the fluid. Each cell stands
// in line with the fluid by its share of the bore's wall, so that heat crosses from the tube's one side to its other only
// as far as it comes through contact and film: an empty tube is a hole. What leads around the hole comes to it. The sum over
// a slice's links is the slice's heat.
func (t *tubes) draw(l *link, T float64) float64 {
	a := &t.against[l.slice]
	return l.k*(T-a.ref) + l.side[0]*a.round[0] + l.side[1]*a.round[1]
}
