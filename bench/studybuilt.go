package bench

import (
	"fmt"
	"math"
	"slices"

	"emberbank/history"
	"emberbank/material"
	"emberbank/receiver"
)

// Prices is a user's price list.
type Prices struct {
	Currency string
	List     []Price
	Free     []string // materials without a price that the run has as its files are; they count as free in every variant
}

// Price is what one of something costs.
type Price struct {
	Of    string
	Per   string // kg, m3, m, m2, piece or sum
	Price float64
}

// Built returns the responses that hang on what is built alone, such as mass and cost; NaN for the others, and for the cost
// of what has a material without a price that a word of an axis brings in: beside others it would look cheap.
func (s *Study) Built(run *Run) []float64 {
	out := make([]float64, len(s.Responses))
	var bill *receiver.Bill
	for i := range s.Responses {
		q := &s.Responses[i].Read
		out[i] = math.NaN()
		if !q.How.OfBuilt() || q.How == ReadCost && s.Prices == nil {
			continue
		}
		rec := &run.Problem.Receiver
		if bill == nil {
			b := rec.Bill()
			bill = &b
		}
		if q.How == ReadCost {
			out[i] = s.Prices.cost(rec, bill)
			continue
		}
		out[i], _ = massOf(rec, bill, q.Of)
	}
	return out
}

// massOf returns the mass in kg of what a name means: a part, a group of parts, the tubes, the glass, a material; all where
// the name is empty. It is 0 and false where nothing has the name.
func massOf(rec *receiver.Receiver, b *receiver.Bill, name string) (mass float64, found bool) {
	switch name {
	case "":
		return b.Mass(), true
	case "tubes":
		return b.TubeMass(), true
	case "glass":
		return b.Glass.Mass, b.Glass.Volume > 0
	}
	for _, p := range b.Parts {
		if p.Medium >= 0 && (p.Name == name || p.Role.String() == name) {
			mass, found = mass+p.Mass, true
		}
	}
	if found {
		return mass, true
	}
	mass, _, found = ofMaterial(rec, b, name, true, true)
	return mass, found
}

// ofMaterial sums the mass in kg and the volume in m³ of all that is made of a material, tubes and pane where wanted.
func ofMaterial(rec *receiver.Receiver, b *receiver.Bill, name string, tubes, pane bool) (mass, volume float64, found bool) {
	is := func(medium int) bool { return medium >= 0 && rec.Media[medium].Name == name }
	for _, p := range b.Parts {
		if is(p.Medium) {
			mass, volume, found = mass+p.Mass, volume+p.Volume, true
		}
	}
	for _, t := range b.Tubes {
		if is(t.Medium) && tubes {
			mass, volume, found = mass+t.Mass, volume+t.Mass/rec.Media[t.Medium].Density, true
		}
	}
	if is(b.Glass.Medium) && pane {
		mass, volume, found = mass+b.Glass.Mass, volume+b.Glass.Volume, true
	}
	return mass, volume, found
}

// thing is what is priced beside materials.
type thing struct {
	name, per string
	count     func(b *receiver.Bill) float64
}

var things = []thing{
	{"tube", "m", func(b *receiver.Bill) float64 {
		sum := 0.0
		for _, t := range b.Tubes {
			sum += t.Length
		}
		return sum
	}},
	{"pass", "piece", func(b *receiver.Bill) float64 { return float64(b.Passes) }},
	{"circuit", "piece", func(b *receiver.Bill) float64 { return float64(b.Circuits) }},
	{"heater", "piece", func(b *receiver.Bill) float64 { return float64(b.Heaters) }},
	{"window", "m2", func(b *receiver.Bill) float64 { return b.Opening }},
	{"glass", "m2", func(b *receiver.Bill) float64 {
		if b.Glass.Volume > 0 {
			return b.Opening
		}
		return 0
	}},
	{"glass", "piece", func(b *receiver.Bill) float64 {
		if b.Glass.Volume > 0 {
			return 1
		}
		return 0
	}},
}

// priced tells whether a thing has a price of its own; its material is then not charged again.
func (p *Prices) priced(name string) bool {
	return slices.ContainsFunc(p.List, func(o Price) bool { return o.Of == name && o.Per != "sum" && o.Per != "kg" && o.Per != "m3" })
}

// cost sums a price list over what is built, in the user's money.
func (p *Prices) cost(rec *receiver.Receiver, b *receiver.Bill) float64 {
	for _, o := range p.unpriced(rec, b) {
		if !slices.Contains(p.Free, o.name) {
			return math.NaN()
		}
	}
	sum := 0.0
	for _, o := range p.List {
		n := 0.0
		switch o.Per {
		case "sum":
			n = 1
		case "kg", "m3":
			mass, volume, _ := ofMaterial(rec, b, o.Of, !p.priced("tube"), !p.priced("glass"))
			if n = mass; o.Per == "m3" {
				n = volume
			}
		default:
			if i := slices.IndexFunc(things, func(t thing) bool { return t.name == o.Of && t.per == o.Per }); i >= 0 {
				n = things[i].count(b)
			}
		}
		sum += n * o.Price
	}
	return sum
}

// lacking is a material without a price, and how much of it is built in.
type lacking struct {
	name string
	mass float64 // kg
}

// unpriced lists the materials that are built in and have no price.
func (p *Prices) unpriced(rec *receiver.Receiver, b *receiver.Bill) (out []lacking) {
	for i := range rec.Media {
		name := rec.Media[i].Name
		mass, _, found := ofMaterial(rec, b, name, !p.priced("tube"), !p.priced("glass"))
		if found && mass > 0 && !slices.ContainsFunc(p.List, func(o Price) bool { return o.Of == name && (o.Per == "kg" || o.Per == "m3") }) {
			out = append(out, lacking{name, mass})
		}
	}
	return out
}

// doubtPrices names the materials without a price: those of the run as its files are, which count as free, and those that a
// word brings in, without which a variant has no cost.
func (c *choices) doubtPrices(v *value) {
	p := c.out.Prices
	p.Free = nil
	var free, brought []string
	for i, with := range c.bodies { // the run's own comes first
		bill := with.Bill()
		for _, o := range p.unpriced(with, &bill) {
			switch {
			case i == 0:
				p.Free, free = append(p.Free, o.name), append(free, fmt.Sprintf("%s (%.3g kg)", o.name, o.mass))
			case !slices.Contains(p.Free, o.name) && !slices.Contains(brought, o.name):
				brought = append(brought, o.name)
			}
		}
	}
	if len(free) > 0 {
		c.r.doubt(v, fmt.Sprintf("%s is %q: without a price, and so counted as free, are %s", v.path, v.text, joined2(free)), "add their prices, or leave them out knowingly")
	}
	for _, o := range p.List {
		if (o.Per == "kg" || o.Per == "m3") && c.isMaterial(o.Of) && !slices.ContainsFunc(c.bodies, func(with *receiver.Receiver) bool { return holdsMaterial(with, o.Of) }) {
			c.r.doubt(v, fmt.Sprintf("%s is %q: the price of %s counts nothing, for nothing is made of it alone", v.path, v.text, o.Of), "price a composite by its own name, with what goes into it, or take the price out")
		}
	}
	if len(brought) > 0 {
		c.r.doubt(v, fmt.Sprintf("%s is %q: variants with %s have no cost, for lack of a price", v.path, v.text, joined2(brought)), "add their prices; 0 means free")
	}
}

// holdsMaterial tells whether anything is made of a material: of itself, not as a part of a composite.
func holdsMaterial(rec *receiver.Receiver, name string) bool {
	b := rec.Bill()
	_, _, found := ofMaterial(rec, &b, name, true, true)
	return found
}

// prices reads the price list.
func (c *choices) prices(v *value) {
	if v == nil {
		return
	}
	c.out.Prices = &Prices{Currency: v.get("currency").word("")}
	seen := map[Price]bool{}
	for _, pv := range v.get("list").items() {
		o := Price{Of: pv.get("of").word(""), Per: pv.get("per").word(""), Price: pv.get("price").number(0)}
		if key := (Price{Of: o.Of, Per: o.Per}); seen[key] {
			c.r.wrong(pv.get("of"), "it has a price per "+o.Per+" already", "each once", "take one out")
		} else {
			seen[key] = true
		}
		if !pv.partial {
			c.priceOf(pv, o)
		}
		c.out.Prices.List = append(c.out.Prices.List, o)
	}
}

// priceOf checks that a price is of something that is counted so.
func (c *choices) priceOf(pv *value, o Price) {
	var pers, known []string
	for _, t := range things {
		if t.name == o.Of {
			pers = append(pers, t.per)
		}
		if !slices.Contains(known, t.name) {
			known = append(known, t.name)
		}
	}
	switch {
	case o.Per == "sum" || slices.Contains(pers, o.Per):
	case len(pers) == 0 && (o.Per == "kg" || o.Per == "m3"):
		if c.run == nil || c.isMaterial(o.Of) {
			return
		}
		names := c.materials()
		c.r.wrong(pv.get("of"), "no material has this name", "a material of the run or of the catalogue, per kg or per m3", wordFix(o.Of, names))
	case len(pers) > 0:
		c.r.wrong(pv.get("per"), "a "+o.Of+" is not counted so", joined(append(pers, "sum")), "write per: "+pers[0])
	default:
		c.r.wrong(pv.get("of"), "nothing of this name is counted per "+o.Per, quoted(known)+", or a material per kg or m3", wordFix(o.Of, append(known, c.materials()...)))
	}
}

// materials are those that the run or a word of an axis uses.
func (c *choices) materials() (out []string) {
	if c.run != nil {
		for i := range c.run.Problem.Receiver.Media {
			out = append(out, c.run.Problem.Receiver.Media[i].Name)
		}
	}
	for i := range c.out.Axes {
		out = append(out, c.out.Axes[i].Words...)
	}
	return out
}

func (c *choices) isMaterial(name string) bool {
	_, known := material.Lookup(name)
	return known || slices.Contains(c.materials(), name)
}

// built checks a response that hangs on what is built.
func (c *choices) built(v *value, q *StudyResponse) {
	rec := &c.run.Problem.Receiver
	b := rec.Bill()
	if q.Read.How == ReadCost {
		q.Quantity = history.Money
		if c.out.Prices == nil || len(c.out.Prices.List) == 0 {
			c.r.wrong(v, "nothing is priced", "a study with prices", `add "prices: {currency: EUR, list: [{of: aluminium, per: kg, price: 6}]}"`)
			return
		}
		q.Unit = c.out.Prices.Currency
		c.doubtPrices(v)
		return
	}
	q.Quantity = history.Mass
	if _, found := massOf(rec, &b, q.Read.Of); found || slices.Contains(c.materials(), q.Read.Of) {
		return
	}
	var names []string
	add := func(name string) {
		if _, is := massOf(rec, &b, name); is && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, p := range b.Parts {
		add(p.Role.String())
		add(p.Name)
	}
	add("tubes")
	add("glass")
	names = append(names, c.materials()...)
	c.r.wrong(v, "nothing that is built has this name", "mass of "+joined(names), nearOr(q.Read.Of, names, `name one of them, or write "mass" for all`))
}
