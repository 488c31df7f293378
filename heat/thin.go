package heat

import (
	"cmp"
	"math"
	"slices"
)

// thin is the cells whose neighbours are so near, or conduct so well, that they alone would rule the length of an
// explicit stage: layers of a millimetre, sheets cut into several cells. Their strongest links are stepped implicitly
// within each stage, part by part; a part is a set of cells that such links join, a few cells through a layer.
//
// The scheme carries Z = Y - θ G(Y) instead of the enthalpies Y, with G what the strong links alone bring and
// θ = b1 w1 τ the length of its first stage; heat flows are those at Y. With b0 = 1 and b1 = 1/w0 that is the
// implicit-explicit scheme of Verwer & Sommeijer, SIAM J. Sci. Comput. 25 (2004) 1824, Eqs. 2.4-2.7. In the norm in
// which conduction is symmetric the spectral radius that counts is then that of the other links, or 1/θ, whichever
// is larger, and 1/θ is stable by its making. What strong links carry stays within a part, so the books of Z are
// those of Y.
//
// In effect a part answers as (1 + θ A) Y' = F does, with A of its strong links: what crosses it lags by some θ, a
// small share of the step. The scheme is of first order in that, of second order in all else. What a step errs by it (lag)
// bounds the step, as its error does in which a part counts with its mean.
type thin struct {
	b          *body
	net        *network
	parts      []part
	planeParts []int // parts by the plane of their lowest cell
	cells      []int32
	strong     []strong
	theta      float64 // s
	z, dz, t   []float64
	start      []float64 // J/kg: the enthalpies at the step's start, by member
	y, T       []float64 // J/kg, K: of the stage, by member
	off, x     []float64
	factor     []float64
	slopes     []float64 // K kg/J, with which the factor was made
	rho        float64   // 1/s, of the other links when they were chosen

	solving, shifting, smoothing, erring job
	y0, y1, f0, f1                       []float64 // of the error in hand
	tau                                  float64
	errs                                 []float64 // K² m³, by plane
	rate                                 []float64
	left                                 []float64 // K, by plane: what Newton's method left in any stage of the step
	left0                                []float64 // J/kg, by member: θ times what left it over strong links at the step's start
	lags                                 []float64 // K² m³, by plane
}

// part is members first..last and their strong links.
type part struct {
	first, last int
	from, to    int // strong links
	band        int // of the matrix in the members' order
	at          int // of its factor
	plane       int // of its lowest member
}

// strong is a link between two members of a part.
type strong struct {
	a, b int32 // members
	axis int8
	at   int32 // index into the network's conductances
}

// implicitCost is what a member of a part costs in a stage, in cells swept explicitly, for a band of one; widest is
// the widest band that is worth it.
const (
	implicitCost = 12
	widest       = 12
)

// worth is the least gain, by the count of work, for which links are made implicit.
const worth = 1.25

// alike is the relative difference below which two links, two circles or two counts of work are one: in a mirrored body they
// differ by rounding, which may decide nothing.
const alike = 1e-6

// newThin chooses the links to be stepped implicitly for the present conductances: those without which the most work
// is saved. It returns nil where that is not worth the while. Extra is as in stiffness.
func newThin(net *network, extra []float64) *thin {
	stages := math.Sqrt
	b := net.b
	rates := make([]float64, 0, b.active)
	rate := func(c int) float64 {
		return (2*net.row(c) + extra[c]) * float64(b.minv[c]) * net.ratio[b.medium[c]]
	}
	for c := range b.n {
		if b.medium[c] >= 0 {
			rates = append(rates, rate(c))
		}
	}
	highest := slices.Max(rates)
	above := 0
	for _, r := range rates {
		if r > highest/2*(1+alike) {
			above++
		}
	}
	if above > len(rates)/3 { // most are alike
		return nil
	}
	sorted := slices.Clone(rates)
	slices.Sort(sorted)
	best := float64(len(rates)) * stages(highest)
	need := best / worth * (1 - alike)
	var chosen *thin
	for goal := highest / 2; goal > sorted[len(sorted)/2]*(1+alike); goal /= 2 {
		if stages(goal)*float64(len(rates)) > need {
			continue
		}
		t := thinner(net, extra, goal)
		if t == nil {
			break
		}
		work := float64(len(rates))
		for _, p := range t.parts {
			work += implicitCost * float64((p.last-p.first)*p.band)
		}
		if work *= stages(goal); work < best*(1-alike) && work < need {
			best, chosen = work, t
		}
	}
	if chosen != nil {
		chosen.lay()
	}
	return chosen
}

// thinner gathers the links that must be implicit for every cell's circle to stay within goal (1/s); nil where the
// parts grow too wide.
func thinner(net *network, extra []float64, goal float64) *thin {
	b := net.b
	t := &thin{b: b, net: net, rho: goal}
	g := [3][]float32{net.gx, net.gy, net.gz}
	step := [3]int{1, b.nx, net.pad}
	type end struct{ low, axis int } // the link from cell low to its next along axis
	marked := make([]uint8, b.n)     // by the link's lower cell: a bit for each axis
	var links []end
	mark := func(e end) {
		if marked[e.low]>>e.axis&1 == 0 {
			marked[e.low] |= 1 << e.axis
			links = append(links, e)
		}
	}
	for c := range b.n {
		if b.medium[c] < 0 {
			continue
		}
		per := float64(b.minv[c]) * net.ratio[b.medium[c]]
		left := (2*net.row(c) + extra[c]) * per
		var own [3][2]float64 // W/K, by axis: the links up and down that are not taken yet
		for a := range 3 {
			own[a] = [2]float64{float64(g[a][net.pad+c]), float64(g[a][net.pad+c-step[a]])}
		}
		for left > goal*(1+alike) {
			most := 0.0
			for a := range own {
				most = math.Max(most, math.Max(own[a][0], own[a][1]))
			}
			if most == 0 {
				return nil // faces or tubes alone are beyond the goal
			}
			// The strongest is taken, and with it its equal on the other side, which a mirrored body would have first.
			least := most * (1 - alike)
			a := 0
			for own[a][0] < least && own[a][1] < least {
				a++
			}
			for side, e := range [2]end{{c, a}, {c - step[a], a}} {
				if v := own[a][side]; v >= least {
					left -= 2 * v * per
					own[a][side] = 0
					mark(e)
				}
			}
		}
	}
	// Join what is linked: by cell the root of its part, the first of its cells, found over others; -1 where nothing is.
	root := make([]int32, b.n)
	for c := range root {
		root[c] = -1
	}
	find := func(c int32) int32 {
		if root[c] < 0 {
			root[c] = c
		}
		for root[c] != c {
			root[c] = root[root[c]]
			c = root[c]
		}
		return c
	}
	for _, e := range links {
		p, q := find(int32(e.low)), find(int32(e.low+step[e.axis]))
		root[max(p, q)] = min(p, q)
	}
	partOf := make([]int32, b.n) // where something is
	var members [][]int32
	for c := range int32(b.n) {
		if root[c] < 0 {
			continue
		}
		r := find(c)
		if r == c {
			partOf[c] = int32(len(members))
			members = append(members, nil)
		}
		partOf[c] = partOf[r]
		members[partOf[r]] = append(members[partOf[r]], c)
	}
	byPart := make([][]strong, len(members)) // between cells at first
	for _, e := range links {
		p := partOf[int32(e.low)]
		byPart[p] = append(byPart[p], strong{a: int32(e.low), b: int32(e.low + step[e.axis]), axis: int8(e.axis), at: int32(net.pad + e.low)})
	}
	index := make([]int32, b.n)
	for i, cells := range members {
		own := byPart[i]
		p := part{first: len(t.cells), last: len(t.cells) + len(cells), from: len(t.strong), plane: int(cells[0]) / net.pad}
		if spreads(cells, own, index) {
			return nil
		}
		if p.band = slim(cells, own, [2]int{b.nx, b.ny}, index); p.band > widest {
			return nil
		}
		for at, c := range cells {
			index[c] = int32(p.first + at)
		}
		for _, s := range own {
			s.a, s.b = index[s.a], index[s.b]
			if s.a > s.b {
				s.a, s.b = s.b, s.a
			}
			t.strong = append(t.strong, s)
		}
		p.to = len(t.strong)
		slices.SortFunc(t.strong[p.from:p.to], func(u, v strong) int { return int(u.a-v.a)*4 + int(u.axis-v.axis) })
		t.cells = append(t.cells, cells...)
		t.parts = append(t.parts, p)
	}
	return t
}

// spreads tells, by one walk over a part's links, that its band is beyond widest in whatever order: with a band of w all members
// within d links of one of them stand within d w places on either side of it. It spares slim its sorting where a part grew wide. Index
// is scratch, an entry for each cell of the grid.
func spreads(cells []int32, links []strong, index []int32) bool {
	for i, c := range cells {
		index[c] = int32(i)
	}
	first := make([]int32, len(cells)+2) // by member, of what follows it in next, shifted by one place while that is filled
	for i := range links {
		first[index[links[i].a]+2]++
		first[index[links[i].b]+2]++
	}
	for i := 2; i < len(first); i++ {
		first[i] += first[i-1]
	}
	next := make([]int32, 2*len(links))
	put := func(at, o int32) {
		next[first[at+1]] = o
		first[at+1]++
	}
	for i := range links {
		a, b := index[links[i].a], index[links[i].b]
		put(a, b)
		put(b, a)
	}
	reached := make([]bool, len(cells))
	reached[0] = true
	seen := []int32{0}
	for d, from := 1, 0; from < len(seen); d++ {
		edge := seen[from:]
		from = len(seen)
		for _, i := range edge {
			for _, o := range next[first[i]:first[i+1]] {
				if !reached[o] {
					reached[o] = true
					seen = append(seen, o)
				}
			}
		}
		if len(seen) > 2*d*widest+1 {
			return true
		}
	}
	return false
}

// slim orders the members of a part, which are given in the order of the grid, so that its matrix has the narrowest band of
// all orders by rows, columns and files: in whichever sequence, each upwards or downwards. A mirrored part has the same
// band then, which its members' places in the grid alone would not give. It returns the band. Links are between cells; index is
// scratch, an entry for each cell of the grid.
func slim(cells []int32, links []strong, counts [2]int, index []int32) (band int) {
	least := 2 // of a part with a circle; without one it may be 1
	if len(links) < len(cells) {
		least = 1
	}
	members := slices.Clone(cells)
	places := make([][3]uint64, len(members))
	nx, ny := int32(counts[0]), int32(counts[1])
	for i, c := range members {
		places[i] = [3]uint64{uint64(c % nx), uint64(c / nx % ny), uint64(c / (nx * ny))}
	}
	const most = 1<<21 - 1 // of a place along an axis
	type placed struct {
		at   uint64
		cell int32
	}
	order := make([]placed, len(members))
	for _, axes := range [][3]int{{2, 1, 0}, {2, 0, 1}, {1, 2, 0}, {1, 0, 2}, {0, 2, 1}, {0, 1, 2}} {
		for down := range 4 { // all three turned over have the band of none
			for i, p := range places {
				v, w := p[axes[1]], p[axes[2]]
				if down&1 == 1 {
					v = most - v
				}
				if down>>1 == 1 {
					w = most - w
				}
				order[i] = placed{p[axes[0]]<<42 | v<<21 | w, members[i]}
			}
			slices.SortFunc(order, func(c, d placed) int { return cmp.Compare(c.at, d.at) })
			for at, o := range order {
				index[o.cell] = int32(at)
			}
			own := 0
			for i := range links {
				d := int(index[links[i].a] - index[links[i].b])
				own = max(own, d, -d)
			}
			if band == 0 || own < band {
				band = own
				for at, o := range order {
					cells[at] = o.cell
				}
			}
			if band <= least {
				return band
			}
		}
	}
	return band
}

// lay makes room for the chosen parts.
func (t *thin) lay() {
	n := len(t.cells)
	for _, v := range []*[]float64{&t.start, &t.y, &t.T, &t.off, &t.x, &t.slopes, &t.left0} {
		*v = make([]float64, n)
	}
	size := 0
	t.planeParts = make([]int, t.b.nz+1)
	for i := range t.parts {
		p := &t.parts[i]
		p.at = size
		size += (p.last - p.first) * (p.band + 1)
		t.planeParts[p.plane+1]++
	}
	for k := range t.b.nz {
		t.planeParts[k+1] += t.planeParts[k]
	}
	t.factor = make([]float64, size)
	t.shifting.plane = func(k int) { t.each(k, t.shift) }
	t.solving.plane = func(k int) { t.each(k, t.solve) }
	t.smoothing.plane = func(k int) { t.each(k, t.smooth) }
	t.errs, t.left, t.lags = make([]float64, t.b.nz), make([]float64, t.b.nz), make([]float64, t.b.nz)
	t.erring.plane = t.errPlane
}

func (t *thin) each(k int, f func(p *part)) {
	for i := t.planeParts[k]; i < t.planeParts[k+1]; i++ {
		f(&t.parts[i])
	}
}

// weaken takes the strong links out of what a bound of the spectral radius counts. It returns the bound of the members alone
// that counts them, in 1/s.
func (t *thin) weaken(extra []float64) (whole float64) {
	for _, c := range t.cells {
		whole = math.Max(whole, (2*t.net.row(int(c))+extra[c])*float64(t.b.minv[c])*t.net.ratio[t.b.medium[c]])
	}
	for i := range t.strong {
		s := &t.strong[i]
		g := 2 * t.conductance(s)
		extra[t.cells[s.a]] -= g
		extra[t.cells[s.b]] -= g
	}
	return whole
}

func (t *thin) conductance(s *strong) float64 {
	switch s.axis {
	case 0:
		return float64(t.net.gx[s.at])
	case 1:
		return float64(t.net.gy[s.at])
	}
	return float64(t.net.gz[s.at])
}

// begin starts a step with the first stage's length theta (s): y0 then holds Z. Temperatures of the step's start are
// in temp.
func (t *thin) begin(team *team, y0, temp []float64, theta float64) {
	t.theta, t.z, t.t = theta, y0, temp
	clear(t.left)
	team.each(&t.shifting)
}

// shift turns the enthalpies of a part into Z, and factors its matrix for the slopes of the moment.
func (t *thin) shift(p *part) {
	for i := p.first; i < p.last; i++ {
		c := t.cells[i]
		t.start[i], t.y[i] = t.z[c], t.z[c]
		t.T[i] = t.t[t.net.pad+int(c)]
		t.off[i] = 0
	}
	t.flows(p, t.T, t.off)
	for i := p.first; i < p.last; i++ {
		t.z[t.cells[i]] += t.off[i]
		t.left0[i] = t.off[i]
	}
	t.decompose(p)
}

// flows adds θ/m times what leaves each member over strong links at the temperatures T to out, in J/kg.
func (t *thin) flows(p *part, T, out []float64) {
	for i := p.from; i < p.to; i++ {
		s := &t.strong[i]
		q := t.theta * t.conductance(s) * (T[s.a] - T[s.b])
		out[s.a] += float64(t.b.minv[t.cells[s.a]]) * q
		out[s.b] -= float64(t.b.minv[t.cells[s.b]]) * q
	}
}

// flat stands for the slope of a cell that melts at one temperature, as a share of the largest: its temperature stays.
const flat = 1e-9

// decompose factors the matrix m/(θ s) + L of a part as L D Lᵀ in a band; s is each member's slope dT/dh.
func (t *thin) decompose(p *part) {
	w := p.band + 1
	n := p.last - p.first
	f := t.factor[p.at : p.at+n*w]
	clear(f)
	for i := range n {
		c := t.cells[p.first+i]
		m := t.b.medium[c]
		s := math.Max(t.b.enthalpy[m].Slope(t.y[p.first+i]), flat*t.net.ratio[m])
		t.slopes[p.first+i] = s
		f[i*w] = t.b.mass[c] / (t.theta * s)
	}
	for i := p.from; i < p.to; i++ {
		s := &t.strong[i]
		g := t.conductance(s)
		a, b := int(s.a)-p.first, int(s.b)-p.first
		f[a*w] += g
		f[b*w] += g
		f[b*w+b-a] -= g
	}
	for i := range n {
		for j := max(0, i-p.band); j < i; j++ {
			v := f[i*w+i-j]
			for k := max(0, i-p.band, j-p.band); k < j; k++ {
				v -= f[i*w+i-k] * f[k*w] * f[j*w+j-k]
			}
			f[i*w+i-j] = v / f[j*w]
		}
		for k := max(0, i-p.band); k < i; k++ {
			f[i*w] -= f[i*w+i-k] * f[i*w+i-k] * f[k*w]
		}
	}
}

// substitute replaces the heat flows in x of a part's members, in W, by the temperatures in K that its matrix gives them.
func (t *thin) substitute(p *part) {
	n, w := p.last-p.first, p.band+1
	f, x := t.factor[p.at:p.at+n*w], t.x[p.first:p.last]
	for i := range x {
		v := x[i]
		for j := max(0, i-p.band); j < i; j++ {
			v -= f[i*w+i-j] * x[j]
		}
		x[i] = v
	}
	for i := range x {
		x[i] /= f[i*w]
	}
	for i := n - 1; i >= 0; i-- {
		for j := max(0, i-p.band); j < i; j++ {
			x[j] -= f[i*w+i-j] * x[i]
		}
	}
}

// finish finds a stage's Y from its Z = z0 + dz: temperatures go to temp.
func (t *thin) finish(team *team, z0, dz, temp []float64) {
	t.z, t.dz, t.t = z0, dz, temp
	team.each(&t.solving)
}

// solve finds Y + θ/m Σ g (T(Y) - T'(Y')) = Z for a part by Newton's method from the last stage's Y. The slopes of
// the step's start serve as long as they bring it near: the last change of enthalpies is always one that conserves
// heat, whatever is left of the equation.
func (t *thin) solve(p *part) {
	b := t.b
	before, left := inf, 0.0
	for range 12 {
		for i := p.first; i < p.last; i++ {
			t.off[i] = t.y[i] - t.z[t.cells[i]] - t.dz[t.cells[i]]
		}
		t.flows(p, t.T, t.off)
		for i := p.first; i < p.last; i++ {
			t.x[i] = -b.mass[t.cells[i]] / t.theta * t.off[i]
		}
		t.substitute(p)
		t.flows(p, t.x, t.off)
		worst := 0.0
		for i := p.first; i < p.last; i++ {
			t.y[i] -= t.off[i]
			T := b.enthalpy[b.medium[t.cells[i]]].Temperature(t.y[i])
			worst = math.Max(worst, math.Abs(T-t.T[i]-t.x[i]))
			t.T[i] = T
		}
		left = worst
		if !(worst > 1e-7) {
			break
		}
		if worst > 0.1*before {
			t.decompose(p)
		}
		before = worst
	}
	t.left[p.plane] = math.Max(t.left[p.plane], left)
	for i := p.first; i < p.last; i++ {
		t.t[t.net.pad+int(t.cells[i])] = t.T[i]
	}
}

// end puts the enthalpies where Z stood: those of the step's start into y0, of its end into y1.
func (t *thin) end(y0, y1 []float64) {
	for i, c := range t.cells {
		y0[c], y1[c] = t.start[i], t.y[i]
	}
}

// mismatch returns by how much, in K, temperatures of members were still moving when their stage was taken as solved.
func (t *thin) mismatch() float64 { return slices.Max(t.left) }

// even replaces the rates of change within each part, where what strong links carry drowns the rest, by one rise of
// temperature for all of it: for the step's error, for what is foretold, and for rows within the step.
func (t *thin) even(team *team, rate []float64) {
	t.rate = rate
	team.each(&t.smoothing)
}

func (t *thin) smooth(p *part) {
	heat, capacity := 0.0, 0.0
	for i := p.first; i < p.last; i++ {
		c := t.cells[i]
		heat += t.b.mass[c] * t.rate[c]
		capacity += t.b.mass[c] / t.slopes[i]
	}
	for i := p.first; i < p.last; i++ {
		t.rate[t.cells[i]] = heat / capacity / t.slopes[i]
	}
}

// discrepancy returns what members add to the sum of the solver's discrepancy, in K² m³: a part counts with its mean.
func (t *thin) discrepancy(s *solver) float64 {
	t.y0, t.y1, t.f0, t.f1, t.tau = s.y0, s.ya, s.f0, s.f1, s.tau
	s.team.each(&t.erring)
	sum := 0.0
	for _, v := range t.errs {
		sum += v
	}
	return sum
}

func (t *thin) errPlane(k int) {
	sum := 0.0
	for i := t.planeParts[k]; i < t.planeParts[k+1]; i++ {
		p := &t.parts[i]
		heat, capacity, volume := 0.0, 0.0, 0.0
		for q := p.first; q < p.last; q++ {
			c := t.cells[q]
			heat += t.b.mass[c] * (0.8*(t.y0[c]-t.y1[c]) + 0.4*t.tau*(t.f0[c]+t.f1[c]))
			capacity += t.b.mass[c] / t.net.ratio[t.b.medium[c]]
			volume += t.b.volume[c]
		}
		sum += volume * (heat / capacity) * (heat / capacity)
	}
	t.errs[k] = sum
	t.lagPlane(k)
}

// lagPlane sums the squares of what the members of plane k err by the lag within their parts. Carrying Z for Y is solving
// Y' = F + θ G(Y)', so that within a step τ Y is left behind by
//
//	(1 + θ A) e = θ (G(Y1) - G(Y0)).
//
// Between cells that strong links hold together throughout that is next to nothing; where what they hold together parts or meets
// within the step, as after a jump, it is what the step does not follow, of which the part's mean knows nothing.
func (t *thin) lagPlane(k int) {
	sum := 0.0
	for i := t.planeParts[k]; i < t.planeParts[k+1]; i++ {
		p := &t.parts[i]
		for q := p.first; q < p.last; q++ {
			t.off[q] = -t.left0[q]
		}
		t.flows(p, t.T, t.off)
		for q := p.first; q < p.last; q++ {
			t.x[q] = t.b.mass[t.cells[q]] / t.theta * t.off[q]
		}
		t.substitute(p)
		for q := p.first; q < p.last; q++ {
			sum += t.b.volume[t.cells[q]] * t.x[q] * t.x[q]
		}
	}
	t.lags[k] = sum
}

// lag returns what the last candidate errs by the lag within parts, in K, as the root of the mean square over the solid's
// volume in m³. It grows with the square of the step.
func (t *thin) lag(solid float64) float64 {
	sum := 0.0
	for _, v := range t.lags {
		sum += v
	}
	return math.Sqrt(sum / solid)
}
