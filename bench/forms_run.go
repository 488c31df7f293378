package bench

import (
	"emberbank/film"
	"emberbank/unit"
)

// runFields is what describes a run.
func runFields(receiver, duty *form) *form {
	cellSize := above(unit.Length, "0 mm", "1 m")
	edges := list(lengthAlong(), 2)
	place := placeShape()
	return &form{name: "run", doc: "A receiver, a duty, and what is wanted of them.", fields: []field{
		{key: "name", typ: nameText(), def: "the receiver's name", doc: "shown in results"},
		{key: "receiver", typ: either(text("a file name", "receiver.yaml"), mapping(receiver)), required: true, doc: "a file of kind receiver, or its content in place"},
		{key: "duty", typ: either(text("a file name", "duty.yaml"), mapping(duty)), def: "idle: ambient 20 degC, circuits drained", doc: "a file of kind duty, or its content in place"},
		{key: "until", typ: either(word("steady"), like(above(unit.Time, "0 s", "40000 d"), "6 h")), required: true, doc: "length of the run; steady: the steady state under the duty at its start, solved directly"},
		{key: "output", typ: either(
			mapping(&form{name: "output at equal distances", fields: []field{{key: "every", typ: above(unit.Time, "0 s", "40000 d"), required: true, doc: "distance of rows"}}}),
			mapping(&form{name: "output at times", fields: []field{{key: "at", typ: list(moment(), 1), required: true, doc: "times of rows, rising; the start is always there"}}}),
		), def: "200 equal distances", doc: "rows of the history"},
		{key: "initial", typ: temperature(), def: "the duty's ambient at the start", doc: "temperature of everything at the start"},
		{key: "grid", typ: either(
			mapping(&form{name: "a grid laid by itself", fields: append([]field{{key: "size", typ: like(cellSize, "10 mm"), def: "chosen from the block and its passes", doc: "target cell size in the block"}}, gridExtras()...)}),
			mapping(&form{name: "a uniform grid", fields: append([]field{{key: "cells", typ: mapping(&form{name: "counts of cells", fields: []field{
				{key: "depth", typ: count(1, 2000), required: true, doc: "cells along depth"},
				{key: "width", typ: count(1, 2000), required: true, doc: "cells along width"},
				{key: "height", typ: count(1, 2000), required: true, doc: "cells along height"},
			}}), required: true, doc: "cells of equal size over the whole body; the grid is not moved to the passes"}}, gridExtras()[1:]...)}),
			mapping(&form{name: "a grid by its edges", fields: append([]field{{key: "edges", typ: mapping(&form{name: "edges", fields: []field{
				{key: "depth", typ: edges, required: true, doc: "rising"},
				{key: "width", typ: edges, required: true, doc: "rising"},
				{key: "height", typ: edges, required: true, doc: "rising"},
			}}), required: true, doc: "cell edges; the grid is not moved to the passes"}}, gridExtras()[1:]...)}),
		), def: "laid by itself", doc: "how cells are laid"},
		{key: "tolerance", typ: like(above(unit.TemperatureDifference, "0 K", "10 K"), "0.1 K"), def: "0.1 K", doc: "error of temperature that a time step may make"},
		{key: "correlations", typ: mapping(correlationsForm()), def: "the first of each", doc: "of water that boils, where the trade is divided"},
		{key: "fields", typ: list(moment(), 0), def: "none", doc: "times at which temperature fields are kept"},
		{key: "profiles", typ: either(
			list(moment(), 0),
			mapping(&form{name: "profiles at equal distances", fields: []field{{key: "every", typ: above(unit.Time, "0 s", "40000 d"), required: true, doc: "distance of profiles"}}}),
		), def: "the times of fields", doc: "times at which profiles along the circuits are kept: water, wall and block from inlet to outlet"},
		{key: "probes", typ: list(either(
			mapping(place.with("a probe", "An ideal reading at a place.", field{key: "name", typ: nameText(), required: true, doc: "its column in the history"})),
			mapping(&form{name: "a front", doc: "The length of melted or frozen medium along a line that runs along depth, width or height.", fields: []field{
				{key: "name", typ: nameText(), required: true, doc: "its column in the history"},
				{key: "from", typ: mapping(place), required: true, doc: "where the line begins"},
				{key: "to", typ: mapping(place), required: true, doc: "where it ends"},
				{key: "follows", typ: word("melted", "frozen"), def: "melted", doc: "which length is given"},
			}}),
		), 0), doc: "ideal readings and melting fronts"},
		{key: "sensors", typ: list(mapping(place.with("a sensor", "A thermocouple as it would read.",
			field{key: "name", typ: nameText(), required: true, doc: "its column in the history"},
			field{key: "lag", typ: like(quantity(unit.Time, "0 s", "1 d"), "2 s"), def: "0 s", doc: "time constant"},
			field{key: "immersion", typ: share(), def: "1", doc: "share of the reading that comes from its place; the rest comes from the ambient"},
		)), 0), doc: "thermocouples"},
		{key: "touch limit", typ: either(word("none"), like(quantity(unit.Temperature, "30 degC", "200 degC"), "60 degC")), def: "60 degC", doc: "above this a touchable surface gets a caution"},
		{key: "accuracy", typ: mapping(&form{name: "accuracy", fields: []field{
			{key: "of", typ: list(text("a quantity of the results", "block mean"), 1), required: true, doc: readingsTold},
		}}), def: "of: [block mean, heat to passes]; without passes [block mean, stored]", doc: "what reports of accuracy and of uncertainty are about"},
	}}
}

// correlationsForm has a key for each part of the boiling correlations.
func correlationsForm() *form {
	docs := map[string]string{
		"boiling":  "of the film on a wet wall",
		"dry-out":  "of the qualities between which the wall dries; by-attitude: wojtan in level tubes, konkov and bowring in upright ones",
		"mist":     "of the film on a dry wall before all water is steam",
		"void":     "of the share of the bore that is steam",
		"friction": "of two phases",
	}
	f := &form{name: "correlations", doc: "Which published correlations are used for water that boils in a tube."}
	for _, part := range film.Parts() {
		laws := film.Laws(part)
		f.fields = append(f.fields, field{key: part, typ: word(laws...), def: laws[0], doc: docs[part]})
	}
	return f
}

func gridExtras() []field {
	return []field{
		{key: "cells per layer", typ: count(1, 100), def: "3", doc: "least number of cells through a layer"},
		{key: "refine", typ: like(above(unit.Dimensionless, "0", "20"), "2"), def: "1", doc: "factor on the number of cells along each direction"},
	}
}

// benchFields is what describes a bench.
func benchFields() *form {
	return &form{name: "bench", doc: "What the folder holds. The file is called bench.yaml.", fields: []field{
		{key: "name", typ: nameText(), doc: "of the bench"},
		{key: "question", typ: text("a text", "How long does a full charge last?"), doc: "what the bench is to answer"},
		{key: "runs", typ: list(text("a file name", "charge.yaml"), 1), def: "none", doc: "run files; the first is the one that is computed when nothing else is said"},
		{key: "materials", typ: list(text("a file name", "materials.yaml"), 1), doc: "files of kind material that every file of the bench may use"},
		{key: "temperatures", typ: tuple(like(temperature(), "20 degC"), like(temperature(), "280 degC")), def: "found for each run: from its coolest ambient to the service limit of the block where it fills half of that, else what it reaches", doc: "from where to where the colours of temperature run in every picture of the bench, so that a colour keeps its meaning; what lies beyond has the colour of the end"},
		{key: "files", typ: list(text("a file name", "receiver.yaml"), 1), def: "runs and what they name", doc: "all files in the order in which to read them"},
		{key: "licence", typ: text("an identifier of SPDX, or an address", "CC-BY-4.0"), doc: "under which others may use the bench and its results"},
		{key: "date", typ: text("a date as year-month-day", "2026-11-28"), doc: "on which the bench is handed on; the program puts no date of its own anywhere"},
		{key: "authors", typ: list(mapping(authorForm()), 1), doc: "whose work it is"},
	}}
}

// authorForm is one of a bench's authors.
func authorForm() *form {
	return &form{name: "an author", doc: "A person, if there is a given name, or an organisation.", fields: []field{
		{key: "name", typ: nameText(), required: true, doc: "of a person the family name"},
		{key: "given", typ: text("a name", "Ada"), doc: "given names of a person"},
		{key: "orcid", typ: text("four groups of four", "0000-0002-1825-0097"), doc: "of a person"},
		{key: "affiliation", typ: text("a name", "a school"), doc: "of a person: the organisation"},
	}}
}
