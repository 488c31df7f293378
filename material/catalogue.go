package material

import (
	"slices"
	"strings"
	"sync"
)

// Entry is one material of the catalogue, before any mixing. A value that is not known is 0 (NaN for the
// emissivity). Temperatures are in K.
type Entry struct {
	Name string // the name in files, such as "stainless-304"
	Kind string // graphite, metal, steel, insulation, refractory, glass, gas or salt
	// Metal is the family by which Pairs knows the material: "tin", "steel", "graphite", …; empty where no pair
	// concerns it.
	Metal string
	Text  string // one sentence: what exactly is meant

	Density       float64 // kg/m³ at 20 °C
	LiquidDensity float64 // kg/m³ just above the liquidus

	HeatCapacity, HeatCapacityMelted Curve    // J/(kg K)
	Conductivity, ConductivityMelted [3]Curve // W/(m K) along depth, width, height
	Latent                           float64  // J/kg
	Solidus, Liquidus                float64  // K

	Emissivity float64 // total; measured along the normal where the source says no more; NaN unknown

	ServiceLimit    float64 // K
	ServiceSource   string
	TubeLimit       float64 // K, of tubes under pressure, where it lies below the service limit or there is none; 0: none known
	TubeSource      string
	OxidationOnset  float64 // K, in air
	OxidationSource string

	FromMemory  bool     // a value that enters a computation comes from memory
	Memory      []string // which: "density", "heat capacity", "heat capacity melted", "conductivity", …
	Uncertainty float64  // relative, 95 %, the largest of Spread
	Spread      Spread   // property by property
	Sources     []string // "property: source", every property that is given
	Low, High   float64  // K, the range in which every curve holds
}

// Catalogue returns every entry, sorted by name. The slice is the caller's own.
func Catalogue() []Entry {
	all := entries()
	for i := range all {
		all[i].finish()
	}
	slices.SortFunc(all, func(a, b Entry) int { return strings.Compare(a.Name, b.Name) })
	return all
}

// entries returns every entry as it is written down, in no order.
func entries() []Entry {
	return slices.Concat(graphites(), metals(), steels(), insulations(), refractories(), glasses(), fluids())
}

// finish derives what follows from the rest of the entry.
func (e *Entry) finish() {
	e.FromMemory = len(e.Memory) > 0
	e.Uncertainty = e.Spread.Largest()
	m := e.Medium()
	e.Low, e.High = m.Range()
}

// Lookup returns the entry of that name.
func Lookup(name string) (Entry, bool) {
	e, found := byName()[name]
	return e.clone(), found
}

// byName holds every entry; what leaves it is cloned.
var byName = sync.OnceValue(func() map[string]Entry {
	all := map[string]Entry{}
	for _, e := range Catalogue() {
		all[e.Name] = e
	}
	return all
})

// clone returns an entry that shares nothing that can be changed.
func (e Entry) clone() Entry {
	e.HeatCapacity, e.HeatCapacityMelted = e.HeatCapacity.clone(), e.HeatCapacityMelted.clone()
	for i := range e.Conductivity {
		e.Conductivity[i], e.ConductivityMelted[i] = e.Conductivity[i].clone(), e.ConductivityMelted[i].clone()
	}
	e.Memory, e.Sources = slices.Clone(e.Memory), slices.Clone(e.Sources)
	return e
}

func (c Curve) clone() Curve {
	c.T, c.V, c.Poly = slices.Clone(c.T), slices.Clone(c.V), slices.Clone(c.Poly)
	return c
}

// Medium returns the entry as a medium of its own, such as an insulation layer or a block of plain metal.
func (e Entry) Medium() Medium {
	m := Medium{
		Name: e.Name, Density: e.Density,
		HeatCapacity: e.HeatCapacity, HeatCapacityMelted: e.HeatCapacityMelted,
		Conductivity: e.Conductivity, ConductivityMelted: e.ConductivityMelted,
		Latent: e.Latent, Solidus: e.Solidus, Liquidus: e.Liquidus,
		ServiceLimit: e.ServiceLimit, ServiceSource: e.ServiceSource,
		TubeLimit: e.TubeLimit, TubeSource: e.TubeSource,
		OxidationOnset: e.OxidationOnset, OxidationSource: e.OxidationSource,
		FromMemory: e.FromMemory, MemoryOf: slices.Clone(e.Memory),
		Uncertainty: e.Uncertainty, Spread: e.Spread,
		Sources: slices.Clone(e.Sources),
	}
	if e.Latent > 0 {
		m.Metal = e.family()
	}
	return m
}

// family is Metal, or the name where no family is given.
func (e Entry) family() string {
	if e.Metal != "" {
		return e.Metal
	}
	return e.Name
}
