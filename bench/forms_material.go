package bench

import (
	"slices"

	"emberbank/material"
	"emberbank/unit"
)

// materialFileFields is the content of a file of kind material; the two lists also stand in a receiver.
func materialFileFields() *form {
	return &form{
		name: "material", doc: "Materials and composites of your own. A name found in the receiver goes before one in the bench's material files, and that before the catalogue.",
		fields: materialLists(),
	}
}

func materialLists() []field {
	return []field{
		{key: "materials", typ: list(later("a material", ownMaterial), 1), doc: "materials of your own"},
		{key: "composites", typ: list(later("a composite", compositeForm), 1), doc: "media mixed from a matrix and a filler"},
	}
}

func meltingForm(required bool) *form {
	return &form{name: "melting", doc: "Latent heat at one temperature, or spread linearly between two.", fields: []field{
		{key: "at", typ: temperature(), doc: "melting point; or give from and to"},
		{key: "from", typ: temperature(), doc: "where melting begins (solidus)"},
		{key: "to", typ: temperature(), doc: "where it ends (liquidus)"},
		{key: "latent heat", typ: above(unit.SpecificEnergy, "0 J/kg", "2000 kJ/kg"), required: required, doc: "per mass of the whole medium"},
		{key: "heat capacity melted", typ: heatCapacityShape(), def: "as solid", doc: "specific heat capacity of the melt"},
		{key: "conductivity melted", typ: conductivityShape(), def: "as solid", doc: "conductivity of the melt"},
	}}
}

func ownMaterial() *form {
	return &form{name: "a material", doc: "A material of your own, with the source of its values.", fields: []field{
		{key: "name", typ: nameText(), required: true, doc: "as other entries refer to it"},
		{key: "density", typ: above(unit.Density, "0 kg/m3", "25000 kg/m3"), required: true, doc: "at 20 degC; the volume is taken as fixed"},
		{key: "heat capacity", typ: heatCapacityShape(), required: true, doc: "specific heat capacity"},
		{key: "conductivity", typ: conductivityShape(), required: true, doc: "thermal conductivity"},
		{key: "melting", typ: either(word("none"), later("melting", func() *form { return meltingForm(true) })), def: "none", doc: "none, or how it melts"},
		{key: "family", typ: word(families()...), doc: "what metal or kind it is, for the table of pairs that alloy, dissolve or attack one another when molten"},
		{key: "emissivity", typ: share(), doc: "of its surface, kept for the record: surfaces state their own"},
		{key: "service limit", typ: temperature(), doc: "a run that goes above it gets a caution"},
		{key: "oxidation onset", typ: temperature(), doc: "in air; a run that goes above it gets a caution"},
		{key: "source", typ: text("a text", "maker's data sheet"), doc: "where the values come from"},
		{key: "from memory", typ: flag(), def: "no", doc: "yes: every run that uses it warns, and the uncertainty is at least 20 %"},
		{key: "uncertainty", typ: quantity(unit.Dimensionless, "0", "1"), doc: "relative, of all its values, 95 %"},
	}}
}

// families are the kinds of matter that the table of pairs knows, in its order.
func families() []string {
	var out []string
	for _, p := range material.Pairs() {
		for _, name := range []string{p.A, p.B} {
			if !slices.Contains(out, name) {
				out = append(out, name)
			}
		}
	}
	return out
}

func compositeForm() *form {
	return &form{name: "a composite", doc: "A matrix with a filler that may melt. Heat capacity and latent heat mix by mass, the conductivity by the named rule; any value given here overrides the mixing.", fields: []field{
		{key: "name", typ: nameText(), required: true, doc: "as other entries refer to it"},
		{key: "matrix", typ: text("a material's name", "aluminium"), required: true, doc: "what stays solid"},
		{key: "filler", typ: text("a material's name", "tin"), required: true, doc: "what may melt inside"},
		{key: "filler fraction", typ: like(quantity(unit.Dimensionless, "0", "0.95"), "0.3"), required: true, doc: "by volume"},
		{key: "void fraction", typ: quantity(unit.Dimensionless, "0", "0.9"), def: "0", doc: "empty space left for expansion, by volume"},
		{key: "mixing", typ: word(material.Rules()...), def: "maxwell-eucken", doc: "rule for the conductivity"},
		{key: "density", typ: above(unit.Density, "0 kg/m3", "25000 kg/m3"), doc: "measured, instead of mixed"},
		{key: "heat capacity", typ: heatCapacityShape(), doc: "measured, instead of mixed"},
		{key: "conductivity", typ: conductivityShape(), doc: "measured, instead of mixed"},
		{key: "heat capacity melted", typ: heatCapacityShape(), doc: "measured, instead of mixed"},
		{key: "conductivity melted", typ: conductivityShape(), doc: "measured, instead of mixed"},
		{key: "melting", typ: either(word("none"), later("melting", func() *form { return meltingForm(false) })), def: "that of the filler", doc: "measured, instead of the filler's: what is left out of it stays mixed; none: the filler is taken not to melt"},
		{key: "service limit", typ: temperature(), def: "the lower of both", doc: "a run that goes above it gets a caution"},
		{key: "source", typ: text("a text", "own measurement"), doc: "where overriding values come from"},
	}}
}
