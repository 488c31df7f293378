package bench

import (
	"fmt"
	"math"
	"strconv"

	"emberbank/block"
	"emberbank/receiver"
)

// circuits joins passes in the order of flow, with leads and bends where there is insulation.
func (p *plan) circuits() {
	list := p.v.get("circuits").items()
	used := map[int]string{}
	if len(list) == 0 {
		if !p.v.has("circuits") {
			var all []int
			for i := range p.out.Passes {
				if !p.lattice[i].fluid {
					all = append(all, i)
				}
			}
			if len(all) > 0 {
				p.lay("1", all, nil)
			}
		}
		return
	}
	for _, v := range list {
		name := v.get("name")
		if name != nil {
			if p.named["circuit "+name.text] != nil {
				p.r.wrong(name, "another circuit has this name", "each name once", "choose another name")
			}
			if name.text == "all" {
				p.r.wrong(name, "in a duty this word means every circuit", "another name", "choose another name")
			}
			p.named["circuit "+name.text] = v
		}
		var order []int
		for _, ref := range v.get("passes").items() {
			i := p.passNumber(ref)
			if i < 0 {
				continue
			}
			if p.lattice[i].fluid {
				p.r.wrong(ref, "this pass has a fixed fluid temperature and carries no water", "passes without fluid", "take it out of the circuit, or take fluid out of the pass")
				continue
			}
			if where, twice := used[i]; twice {
				p.r.wrong(ref, fmt.Sprintf("pass %s is already in circuit %s", p.out.Passes[i].Name, where), "each pass in one circuit, once", "take it out here or there")
				continue
			}
			used[i] = name.word("")
			order = append(order, i)
		}
		p.lay(name.word(""), order, v)
	}
	if p.v.get("circuits").partial || p.v.get("passes").partialOrNil() {
		return
	}
	for i := range p.out.Passes {
		if _, in := used[i]; !in && !p.lattice[i].fluid {
			p.r.problemAt(p.lattice[i].v, fmt.Sprintf("pass %s is in no circuit", p.out.Passes[i].Name),
				"each pass in one circuit, or with a fixed fluid temperature", "name it in a circuit's passes, or give it \"fluid: …\"")
		}
	}
}

// laidCircuit is what a circuit is laid from.
type laidCircuit struct {
	name  string
	order []int  // of passes
	v     *value // nil: the one that no file describes
}

// lay adds a circuit.
func (p *plan) lay(name string, order []int, v *value) {
	p.laid = append(p.laid, laidCircuit{name, order, v})
	if len(order) == 0 { // its passes were complained of
		p.out.Circuits = append(p.out.Circuits, receiver.Circuit{Name: name})
		return
	}
	p.out.Circuits = append(p.out.Circuits, p.join(name, order, v))
}

// passNumber finds a pass by name or number; -1 after a mistake.
func (p *plan) passNumber(ref *value) int {
	for i := range p.out.Passes {
		if p.out.Passes[i].Name == ref.text {
			return i
		}
	}
	n, err := strconv.Atoi(ref.text)
	if err == nil && n >= 1 && n <= len(p.out.Passes) {
		return n - 1
	}
	if p.v.get("passes").partialOrNil() {
		return -1 // its pass was complained of
	}
	names := make([]string, len(p.out.Passes))
	for i := range names {
		names[i] = p.out.Passes[i].Name
	}
	allowed := "no passes are described"
	if len(names) > 0 {
		allowed = fmt.Sprintf("1 to %d, or a pass's name", len(names))
	}
	fix := "name a pass that is described under passes:"
	if near := nearest(ref.text, names); near != "" && err != nil {
		fix = fmt.Sprintf("did you mean %q?", near)
	}
	p.r.wrong(ref, "there is no such pass", allowed, fix)
	return -1
}

// end is one end of a pass: the point on the block's face and the side it lies on.
func (p *plan) end(i int, high bool) (block.Point, block.Side) {
	s := &p.out.Passes[i]
	at, side := s.At, block.Side(2*int(s.Axis))
	at[s.Axis] = s.From
	if high {
		at[s.Axis], side = s.To, side+1
	}
	return at, side
}

// join lays a circuit's runs: lead, pass, bend, pass, …, lead. The direction alternates from pass to pass. The
// heat of a lead counts to the pass it belongs to, that of a bend to the pass before it.
func (p *plan) join(name string, order []int, v *value) receiver.Circuit {
	c := receiver.Circuit{Name: name}
	forward := !v.get("enters").is("high") // from low to high coordinate
	leads := !v.get("leads").is("none")
	for n, i := range order {
		from, sideIn := p.end(i, !forward)
		to, sideOut := p.end(i, forward)
		if n == 0 && leads {
			if t := p.cladding(sideIn); t > 0 {
				c.Runs = append(c.Runs, receiver.Run{Kind: receiver.RunLead, Pass: i, From: outwards(from, sideIn, t), To: from})
			}
		}
		c.Runs = append(c.Runs, receiver.Run{Kind: receiver.RunPass, Pass: i, From: from, To: to})
		if n == len(order)-1 {
			if t := p.cladding(sideOut); leads && t > 0 {
				c.Runs = append(c.Runs, receiver.Run{Kind: receiver.RunLead, Pass: i, From: to, To: outwards(to, sideOut, t)})
			}
			break
		}
		next, sideNext := p.end(order[n+1], forward) // the next pass runs the other way
		c.Runs = append(c.Runs, p.bend(i, v, to, sideOut, next, sideNext)...)
		forward = !forward
	}
	return c
}

// cladding is the thickness of everything outside the block on a side, in m.
func (p *plan) cladding(s block.Side) float64 {
	a := s.Axis()
	t := p.ext.Max[a] - p.out.Block.Max[a]
	if s.Sign() < 0 {
		t = -p.ext.Min[a]
	}
	if !(t > 1e-9) {
		return 0
	}
	return t
}

func outwards(at block.Point, s block.Side, t float64) block.Point {
	at[s.Axis()] = round(at[s.Axis()] + s.Sign()*t)
	return at
}

// bend joins two pass ends outside the block: a stub outwards, one or two axis-parallel stretches at the offset,
// and a stub back in. Ends on different sides are joined outside the receiver, with no length here.
func (p *plan) bend(pass int, v *value, a block.Point, sideA block.Side, b block.Point, sideB block.Side) []receiver.Run {
	bends := v.get("bends")
	offset := p.first[sideA] / 2
	switch {
	case bends.is("none"):
		return nil
	case bends.has("offset"):
		o := bends.get("offset")
		offset = o.num
		if t := p.cladding(sideA); offset >= t {
			allowed := "below " + mm(t) + ", what lies outside the block there"
			fix := "bring the bend nearer to the block"
			if t == 0 {
				allowed, fix = "none where the block is bare", `write "bends: none"`
			}
			p.r.wrong(o, fmt.Sprintf("the bend would lie outside the insulation of the %s side", sideA), allowed, fix)
			return nil
		}
	}
	if offset <= 0 {
		return nil
	}
	if sideA != sideB {
		if v != nil {
			p.r.doubt(v, fmt.Sprintf("the passes of circuit %s end on different sides (%s and %s): the joint between them is taken to lie outside, without length",
				v.get("name").word("1"), sideA, sideB), "let joined passes run along the same direction, or take the joint as it is")
		}
		return nil
	}
	var runs []receiver.Run
	leg := func(from, to block.Point) {
		if d := math.Abs(to[0]-from[0]) + math.Abs(to[1]-from[1]) + math.Abs(to[2]-from[2]); d > 1e-9 {
			runs = append(runs, receiver.Run{Kind: receiver.RunBend, Pass: pass, From: from, To: to})
		}
	}
	out, in := outwards(a, sideA, offset), outwards(b, sideB, offset)
	leg(a, out)
	at := out
	for axis := range at {
		if block.Axis(axis) == sideA.Axis() {
			continue
		}
		to := at
		to[axis] = in[axis]
		leg(at, to)
		at = to
	}
	leg(in, b)
	return runs
}
