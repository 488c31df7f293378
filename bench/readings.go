package bench

import (
	"fmt"
	"math"
	"strings"

	"emberbank/block"
	"emberbank/heat"
)

// readings builds probes, fronts and sensors.
func (p *runPlan) readings() {
	name := func(v *value) string {
		n := v.get("name")
		if n == nil {
			return ""
		}
		if p.probes[n.text] {
			p.r.wrong(n, "another probe or sensor has this name", "each name once", "choose another name")
		}
		if p.taken(n.text) {
			p.r.wrong(n, "the results and the rules use this name for something else", "a name of its own", "choose another name")
		}
		if strings.ContainsAny(n.text, "[],\"\n") {
			p.r.wrong(n, "a name with brackets, commas or quotes cannot head a column", "words", "choose another name")
		}
		p.probes[n.text] = true
		return n.text
	}
	for _, v := range p.v.get("probes").items() {
		if v.has("from") || v.has("to") {
			p.front(name(v), v)
			continue
		}
		at := point(v)
		p.inBody(v, at)
		p.inBore(v, at)
		p.out.Probes = append(p.out.Probes, heat.Probe{Name: name(v), Kind: heat.Ideal, At: at, Immersion: 1})
	}
	for _, v := range p.v.get("sensors").items() {
		at := point(v)
		p.inBody(v, at)
		p.inBore(v, at)
		p.out.Probes = append(p.out.Probes, heat.Probe{
			Name: name(v), Kind: heat.Sensor, At: at,
			Lag: v.get("lag").number(0), Immersion: v.get("immersion").number(1),
		})
	}
}

// taken tells whether a name heads another column of the history, or is a place that a rule can watch: two
// columns of one name would be found out only when the results are written.
func (p *runPlan) taken(name string) bool {
	switch name {
	case "time", "block mean", "block max", "stored", "melted", "absorbed", "heat to passes", "light":
		return true
	}
	if p.rec != nil {
		for _, c := range p.rec.out.Circuits {
			if name == "circuit "+c.Name+" outlet" {
				return true
			}
			for _, l := range leaving {
				if name == l.word+c.Name {
					return true
				}
			}
		}
	}
	return false
}

func (p *runPlan) front(name string, v *value) {
	from, to := point(v.get("from")), point(v.get("to"))
	p.inBody(v.get("from"), from)
	p.inBody(v.get("to"), to)
	differ := 0
	for a := range from {
		if math.Abs(from[a]-to[a]) > 1e-9 {
			differ++
		}
	}
	if differ != 1 && !v.partial {
		p.r.wrong(v, "its line does not run along one direction", "from and to that differ in depth, in width or in height alone", "move one end")
	}
	p.out.Probes = append(p.out.Probes, heat.Probe{
		Name: name, Kind: heat.Front, At: from, To: to,
		Frozen: v.get("follows").is("frozen"), Immersion: 1,
	})
}

func point(v *value) block.Point {
	return block.Point{v.get("depth").must(), v.get("width").must(), v.get("height").must()}
}

// inBody reports a place that lies outside the solid.
func (p *runPlan) inBody(v *value, at block.Point) {
	if v == nil {
		return
	}
	if what, allowed := p.outside(at); what != "" {
		p.r.wrong(v, "it "+what, allowed, moveInside)
	}
}

const moveInside = "move it into the solid; coordinates count from the block's corner at the window face"

// outside tells where a place lies that is not in the solid, "" where it is or where nobody can say.
func (p *runPlan) outside(at block.Point) (what, allowed string) {
	if p.rec == nil || math.IsNaN(at[0]+at[1]+at[2]) {
		return "", ""
	}
	const close = 1e-9
	where := -1
	for i := range p.rec.out.Parts {
		b := p.rec.out.Parts[i].Box
		in := true
		for a := range at {
			in = in && at[a] >= b.Min[a]-close && at[a] <= b.Max[a]+close
		}
		if !in {
			continue
		}
		if q := &p.rec.out.Parts[i]; where < 0 || q.Medium >= 0 || strictly(b, at) {
			where = i
		}
	}
	if where >= 0 && (p.rec.out.Parts[where].Medium >= 0 || p.rec.strange) || p.v.get("receiver").partialOrNil() || p.rec.v.partial {
		return "", ""
	}
	e := p.rec.ext
	allowed = fmt.Sprintf("the solid: depth %s to %s, width %s to %s, height %s to %s",
		mm(e.Min[0]), mm(e.Max[0]), mm(e.Min[1]), mm(e.Max[1]), mm(e.Min[2]), mm(e.Max[2]))
	if math.IsNaN(e.Max[0] + e.Max[1] + e.Max[2]) {
		return "", ""
	}
	if where >= 0 {
		return "lies in open air (" + p.rec.out.Parts[where].Name + ")", allowed
	}
	return "lies outside the body", allowed
}

// inBore warns of a place inside a tube, where there is no solid to read.
func (p *runPlan) inBore(v *value, at block.Point) {
	if p.rec == nil {
		return
	}
	for i := range p.rec.out.Passes {
		s := &p.rec.out.Passes[i]
		if x := at[s.Axis]; x < s.From || x > s.To {
			continue
		}
		sum := 0.0
		for a := range at {
			if block.Axis(a) != s.Axis {
				sum += (at[a] - s.At[a]) * (at[a] - s.At[a])
			}
		}
		if d := math.Sqrt(sum); d < s.Outer/2-1e-9 {
			p.r.doubt(v, fmt.Sprintf("%s lies inside pass %s: the temperature of the solid around the tube is taken", v.path, s.Name),
				"move it at least "+mm(s.Outer/2)+" from the tube's axis")
			return
		}
	}
}

func strictly(b block.Box, at block.Point) bool {
	for a := range at {
		if at[a] <= b.Min[a]+1e-9 || at[a] >= b.Max[a]-1e-9 {
			return false
		}
	}
	return true
}
