package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/material"
	"emberbank/unit"
)

// library is the materials and composites that a name may mean: those of a receiver first, then those of the
// bench's material files, then the catalogue.
type library struct {
	parent     *library
	materials  map[string]*value
	composites map[string]*value
	names      []string // in the order of reading
	twins      []*value // entries whose name was taken: checked, never used
}

func newLibrary(parent *library) *library {
	return &library{parent: parent, materials: map[string]*value{}, composites: map[string]*value{}}
}

// add takes in the two lists of a receiver or of a material file.
func (r *reader) add(lib *library, v *value) {
	take := func(into map[string]*value, list *value) {
		for _, m := range list.items() {
			name := m.get("name")
			if name == nil {
				continue
			}
			if lib.materials[name.text] != nil || lib.composites[name.text] != nil {
				r.wrong(name, "another material or composite has this name", "each name once", "choose another name")
				lib.twins = append(lib.twins, m)
				continue
			}
			into[name.text] = m
			lib.names = append(lib.names, name.text)
		}
	}
	take(lib.materials, v.get("materials"))
	take(lib.composites, v.get("composites"))
}

// hasComposite tells whether a name means a composite.
func (l *library) hasComposite(name string) bool {
	for ; l != nil; l = l.parent {
		if l.composites[name] != nil {
			return true
		}
		if l.materials[name] != nil {
			return false
		}
	}
	return false
}

// all returns every name that could be meant, nearest library first.
func (l *library) all() []string {
	var out []string
	for ; l != nil; l = l.parent {
		out = append(out, l.names...)
	}
	for _, e := range material.Catalogue() {
		out = append(out, e.Name)
	}
	return out
}

// entry finds a material, not a composite, by the name that v holds.
func (r *reader) entry(lib *library, v *value) (material.Entry, bool) {
	if v == nil {
		return material.Entry{}, false
	}
	for l := lib; l != nil; l = l.parent {
		if m := l.materials[v.text]; m != nil {
			return r.ownEntry(m)
		}
		if l.composites[v.text] != nil {
			r.wrong(v, "a composite; its matrix and filler must be plain materials", "", "name a material")
			return material.Entry{}, false
		}
	}
	if e, found := material.Lookup(v.text); found {
		return e, true
	}
	r.unknownMaterial(lib, v)
	return material.Entry{}, false
}

func (r *reader) unknownMaterial(lib *library, v *value) {
	fix := "name one of the catalogue (emberbank materials lists it), or describe it under materials: or composites:"
	if near := sameWords(v.text, lib.all()); near != "" {
		fix = fmt.Sprintf("did you mean %q?", near)
	} else if near := nearest(v.text, lib.all()); near != "" {
		fix = fmt.Sprintf("did you mean %q?", near)
	} else if near := material.Nearest(v.text); near != "" {
		fix = fmt.Sprintf("did you mean %q?", near)
	}
	r.wrong(v, "no material of that name", "a name from this file, from the bench's material files or from the catalogue", fix)
}

// medium resolves the name that v holds.
func (r *reader) medium(lib *library, v *value) (material.Medium, bool) {
	if v == nil {
		return material.Medium{}, false
	}
	for l := lib; l != nil; l = l.parent {
		if m := l.composites[v.text]; m != nil {
			return r.composite(l, m)
		}
		if l.materials[v.text] != nil {
			break
		}
	}
	e, ok := r.entry(lib, v)
	if !ok {
		return material.Medium{}, false
	}
	return e.Medium(), true
}

// ownEntry builds a material from its description.
func (r *reader) ownEntry(v *value) (material.Entry, bool) {
	before := len(r.problems)
	name := v.get("name").word("")
	e := material.Entry{
		Name: name, Kind: "own", Text: "described in " + v.file,
		Density:        v.get("density").must(),
		HeatCapacity:   r.curve(v.get("heat capacity")),
		Conductivity:   r.conductivity(v.get("conductivity")),
		Emissivity:     v.get("emissivity").must(),
		ServiceLimit:   v.get("service limit").number(0),
		OxidationOnset: v.get("oxidation onset").number(0),
	}
	e.HeatCapacityMelted, e.ConductivityMelted = e.HeatCapacity, e.Conductivity
	if e.ServiceLimit > 0 {
		e.ServiceSource = "stated in " + v.file
	}
	if e.OxidationOnset > 0 {
		e.OxidationSource = "stated in " + v.file
	}
	if m := v.get("melting"); m != nil && !m.is("none") {
		e.Solidus, e.Liquidus = r.meltingRange(m, 0, 0)
		e.Latent = m.get("latent heat").must()
		if c := m.get("heat capacity melted"); c != nil {
			e.HeatCapacityMelted = r.curve(c)
		}
		if c := m.get("conductivity melted"); c != nil {
			e.ConductivityMelted = r.conductivity(c)
		}
		e.Metal = name
	}
	if f := v.get("family"); f != nil {
		e.Metal = f.text
	}
	source := "own value"
	if s := v.get("source"); s != nil {
		source = s.text
	}
	e.Sources = []string{"all: " + source}
	u := v.get("uncertainty").number(0)
	if v.get("from memory").yes(false) {
		e.FromMemory, e.Memory = true, []string{"all values"}
		u = max(u, 0.2)
	}
	e.Uncertainty = u
	e.Spread = material.Spread{Density: u, HeatCapacity: u, Conductivity: u}
	if e.Latent > 0 {
		e.Spread.HeatCapacityMelted, e.Spread.ConductivityMelted, e.Spread.Latent = u, u, u
	}
	return e, !v.partial && len(r.problems) == before
}

// meltingRange reads "at" or "from" and "to"; the given range stands where none is written.
func (r *reader) meltingRange(m *value, solidus, liquidus float64) (from, to float64) {
	at, lo, hi := m.get("at"), m.get("from"), m.get("to")
	switch {
	case at != nil && (lo != nil || hi != nil):
		r.wrong(at, "a melting point and a melting range are given", "at, or from and to", "take one of the two out")
	case at != nil:
		return at.num, at.num
	case lo != nil && hi != nil:
		if lo.num > hi.num {
			r.wrong(hi, "melting ends below where it begins", "at or above from, "+lo.text, "exchange from and to")
		}
		return lo.num, hi.num
	case lo != nil || hi != nil:
		if !m.partial {
			r.wrong(m, "one end of the melting range is missing", "at, or from and to", "give both from and to")
		}
	case solidus == 0 && !m.partial:
		r.wrong(m, "it does not say where it melts", "at, or from and to", `add "at: 419.5 degC"`)
	}
	return solidus, liquidus
}

// conductivity reads one curve for all directions, or one for each.
func (r *reader) conductivity(v *value) [3]material.Curve {
	if v.has("depth") || v.has("width") || v.has("height") {
		return [3]material.Curve{r.curve(v.get("depth")), r.curve(v.get("width")), r.curve(v.get("height"))}
	}
	return material.Isotropic(r.curve(v))
}

// curve reads a property over temperature.
func (r *reader) curve(v *value) material.Curve {
	if v == nil {
		return material.Constant(math.NaN())
	}
	if v.isQuantity() {
		return material.Constant(v.num)
	}
	hold := v.get("outside").is("hold")
	if p := v.get("points"); p != nil {
		c := material.Curve{Hold: hold}
		for i, row := range p.items() {
			T, y := row.list[0], row.list[1]
			if i > 0 && len(c.T) > 0 && T.num <= c.T[len(c.T)-1] {
				r.wrong(T, "not above the point before it", "rising temperatures", "sort the points by temperature, each once")
				continue
			}
			c.T, c.V = append(c.T, T.num), append(c.V, y.num)
		}
		if len(c.T) == 0 {
			return material.Constant(math.NaN())
		}
		c.Min, c.Max = c.T[0], c.T[len(c.T)-1]
		return c
	}
	if p := v.get("polynomial"); p != nil {
		return r.polynomial(v, p, hold)
	}
	return material.Constant(math.NaN())
}

// Temperatures between which a polynomial without limits must make sense: the enthalpy curve's span.
const coldest, hottest = 173.15, 1773.15

func (r *reader) polynomial(v, p *value, hold bool) material.Curve {
	c := material.Curve{Hold: hold, Zero: 273.15, Min: v.get("from").number(0), Max: v.get("to").number(1e9)}
	if v.get("of").is("K") {
		c.Zero = 0
	}
	scale := 1.0
	if u := v.get("unit"); u != nil {
		var err error
		dim := dimensionOf(v)
		if scale, err = unit.ToSI(1, dim, u.text); err != nil {
			what, fix := unitTrouble(err, quantity(dim, "", ""))
			r.wrong(u, what, "", fix)
			return material.Constant(math.NaN())
		}
	}
	for _, a := range p.items() {
		c.Poly = append(c.Poly, a.num*scale)
	}
	if len(c.Poly) == 0 {
		return material.Constant(math.NaN())
	}
	if c.Min >= c.Max {
		r.wrong(v.get("to"), "the range ends where it begins or before", "above from", "exchange from and to")
		return c
	}
	low, high := max(c.Min, coldest), min(c.Max, hottest)
	for i := 0; i <= 200; i++ {
		T := low + (high-low)*float64(i)/200
		if y := c.At(T); !(y > 0) || math.IsInf(y, 0) {
			r.wrong(p, fmt.Sprintf("its value at %s is %.4g, not above zero", unit.Format(math.Round(T-273.15)+273.15, unit.Temperature, "degC"), y/scale),
				"above zero over its whole range",
				"give from: and to: for the range in which it holds; the end values are kept outside")
			break
		}
	}
	return c
}

// dimensionOf tells of which kind a polynomial's value is, from the key that holds it.
func dimensionOf(v *value) unit.Dimension {
	switch {
	case strings.Contains(v.path, "conductivity"):
		return unit.Conductivity
	case strings.HasSuffix(v.path, "contact"):
		return unit.HeatTransfer
	}
	return unit.HeatCapacity
}

// scaled applies an overridden factor on a property of a medium, and lists what could be overridden.
func (r *reader) spread(m *material.Medium, file string) []Uncertain {
	var out []Uncertain
	each := func(what string, half float64, apply func(f float64)) {
		if half <= 0 {
			return
		}
		u := Uncertain{Path: fmt.Sprintf("medium[%s].%s", m.Name, what), Dimension: unit.Dimensionless, Value: 1, Half: half}
		switch f, found := r.overridden(u.Path); {
		case found && !(f > 0):
			r.report(Problem{
				File: file, Field: u.Path, Message: fmt.Sprintf("%s would be multiplied by %.4g", u.Path, f), Allowed: "above 0", Fix: "change it by less",
			})
		case found:
			apply(f)
			u.Value = f
			for _, l := range r.changes {
				if h, said := l.half[u.Path]; said {
					u.Half = h
				}
			}
		}
		if name, half := r.joint(u.Path); name != "" {
			u.factor = true
			r.oneInput(u, name, half)
			return
		}
		out = append(out, u)
	}
	three := func(c *[3]material.Curve, f float64) {
		for i := range c {
			c[i] = timesCurve(c[i], f)
		}
	}
	each("density", m.Spread.Density, func(f float64) { m.Density *= f })
	each("heat capacity", m.Spread.HeatCapacity, func(f float64) { m.HeatCapacity = timesCurve(m.HeatCapacity, f) })
	each("conductivity", m.Spread.Conductivity, func(f float64) { three(&m.Conductivity, f) })
	if m.Latent > 0 {
		each("heat capacity melted", m.Spread.HeatCapacityMelted, func(f float64) { m.HeatCapacityMelted = timesCurve(m.HeatCapacityMelted, f) })
		each("conductivity melted", m.Spread.ConductivityMelted, func(f float64) { three(&m.ConductivityMelted, f) })
		each("latent heat", m.Spread.Latent, func(f float64) { m.Latent *= f })
	}
	return out
}

func timesCurve(c material.Curve, f float64) material.Curve {
	c.V, c.Poly = slices.Clone(c.V), slices.Clone(c.Poly)
	for i := range c.V {
		c.V[i] *= f
	}
	for i := range c.Poly {
		c.Poly[i] *= f
	}
	return c
}
