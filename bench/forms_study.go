package bench

import "emberbank/unit"

// studyFields is what describes a study.
func studyFields() *form {
	return &form{name: "study", doc: "A run over choices, and what follows from them. One of `sweep`, `sample` and `search` says which variants of the run are computed: the run with other numbers, words or counts in place of the files'.", fields: []field{
		{key: "name", typ: nameText(), def: "the file's name", doc: "shown in results"},
		{key: "run", typ: text("a file name", "hold.yaml"), required: true, doc: "a file of kind run; take a coarse grid, since it is computed for every variant"},
		{key: "sweep", typ: mapping(&form{name: "a sweep", doc: "Every combination of the values of some axes; the last axis changes fastest. At most a million variants.", fields: []field{
			{key: "axes", typ: list(mapping(axisForm()), 1), required: true, doc: "what is varied"},
		}}), def: "`sample` or `search`", doc: "every combination of the values of some axes"},
		{key: "sample", typ: mapping(sampleForm()), def: "`sweep` or `search`", doc: "variants drawn from what is known of uncertain inputs"},
		{key: "search", typ: mapping(searchForm()), def: "`sweep` or `sample`", doc: "variants asked for one after another, towards the best"},
		{key: "carry", typ: either(flag(), list(text("an input's path", "receiver.tube.contact"), 1)), def: "no", doc: "carries the uncertainty of inputs that the run's files state with ± (and that of material properties) into the answers: one run more for each, for each variant. yes: all; or the paths of some"},
		{key: "time limit", typ: like(above(unit.Time, "0 s", "30 d"), "5 min"), def: "none", doc: "of one variant: one that takes longer is stopped and counts as failed"},
		{key: "prices", typ: mapping(pricesForm()), def: "none", doc: "what things cost, for the response `cost`"},
		{key: "responses", typ: list(mapping(&form{name: "a response", doc: "One number that is read off every variant.", fields: []field{
			{key: "name", typ: nameText(), def: "what is read", doc: "its column in the table"},
			{key: "read", typ: text("a quantity of the results", "block mean at 6 h"), required: true, doc: readingsTold + "; or of what is built `mass`, `mass of PART` and `cost`"},
		}}), 1), required: true, doc: "what is wanted of each variant"},
		{key: "constraints", typ: list(mapping(&form{name: "a constraint", doc: "What a variant has to meet; those that do not are marked in the table, and a search does not take them for the best.", fields: []field{
			{key: "response", typ: responseText(), required: true, doc: "of this study"},
			{key: "below", typ: anyQuantity("60 degC"), def: "no such limit", doc: "the response stays below it or reaches it"},
			{key: "above", typ: anyQuantity("300 degC"), def: "no such limit", doc: "the response stays above it or reaches it"},
		}}), 1), def: "none", doc: "limits on responses"},
		{key: "answers", typ: list(either(mapping(plateauForm()), mapping(paysForm())), 1), def: "none", doc: "what is to be answered in words, of a sweep"},
	}}
}

func responseText() *shape { return text("a response's name", "kept") }

func axisText() *shape { return text("an axis", "thickness") }

// variedFields are what says where something is varied.
func variedFields(factor string) []field {
	return []field{
		{key: "name", typ: nameText(), required: true, doc: "its column in the table"},
		{key: "path", typ: list(text("an input's path", "receiver.insulation.around[2].thickness"), 1), required: true, doc: "where a number, a word, a name or a whole number stands, as in a file of kind match; several take one value. `receiver.passes`: how many passes are laid, the first as they are numbered; circuits lose those beyond, and one that has none left goes with what the duty says of it"},
		{key: "factor", typ: flag(), def: "no", doc: factor},
	}
}

// axisForm is one axis of a sweep.
func axisForm() *form {
	return &form{name: "an axis", doc: "What is varied and its values: given one by one, or from one to another at equal steps.", fields: append(variedFields("the values multiply what stands at the path and below it, instead of taking its place"),
		field{key: "values", typ: list(anyQuantity("80 mm"), 1), def: "by `from`, `to` and `count`", doc: "numbers, rising; or words, in any order"},
		field{key: "from", typ: anyQuantity("20 mm"), def: "by `values`", doc: "the first value"},
		field{key: "to", typ: anyQuantity("200 mm"), def: "by `values`", doc: "the last value"},
		field{key: "count", typ: count(2, 1e9), def: "by `values`; of whole numbers every one", doc: "how many values from the first to the last, both included"},
		field{key: "steps", typ: word("equal", "ratio"), def: "equal", doc: "from value to value: an equal difference, or an equal ratio"},
	)}
}

func seedField() field {
	return field{key: "seed", typ: count(1, 1e9), def: "1", doc: "another seed draws another sample; the same one draws the same"}
}

// sampleForm is a sample.
func sampleForm() *form {
	return &form{name: "a sample", doc: "Variants drawn from distributions of inputs, each independent of the others.", fields: []field{
		{key: "count", typ: count(2, 1e9), required: true, doc: "how many are drawn; with `sensitivity` each draw takes as many variants as there are inputs, and two"},
		{key: "points", typ: word("sobol", "latin"), def: "sobol", doc: "how the draws are spread: by a scrambled Sobol sequence, or by a Latin hypercube. With sobol a power of two fills best"},
		seedField(),
		{key: "sensitivity", typ: flag(), def: "no", doc: "lays the draws so that each input's share of every response's variance follows"},
		{key: "stated", typ: flag(), def: "no", doc: "draws every input that the run's files state with ±, and the material properties with their spread, as normal distributions beside `inputs`"},
		{key: "inputs", typ: list(mapping(&form{name: "an input that is drawn", doc: "What is known of it, in one of five ways.", fields: append(variedFields("what is drawn multiplies what stands at the path and below it, instead of taking its place"),
			field{key: "between", typ: tuple(anyQuantity("300 W/(m2 K)"), anyQuantity("500 W/(m2 K)")), doc: "every value between the two is as likely"},
			field{key: "about", typ: anyQuantity("400 ± 100 W/(m2 K)"), doc: "normal, with its half-width at 95 %"},
			field{key: "median", typ: anyQuantity("400 W/(m2 K)"), doc: "lognormal: half lies below it; with `within factor`"},
			field{key: "within factor", typ: like(above(unit.Dimensionless, "1", "1000"), "1.5"), doc: "19 of 20 lie between the median divided by it and the median times it"},
			field{key: "low", typ: anyQuantity("300 W/(m2 K)"), doc: "triangular: the least; with `mode` and `high`"},
			field{key: "mode", typ: anyQuantity("400 W/(m2 K)"), doc: "the likeliest"},
			field{key: "high", typ: anyQuantity("600 W/(m2 K)"), doc: "the largest"},
			field{key: "one of", typ: list(anyQuantity("80 mm"), 1), doc: "one of these numbers, rising, or words"},
			field{key: "weights", typ: list(like(quantity(unit.Dimensionless, "0", "1e9"), "2"), 1), def: "all alike", doc: "how often each of `one of`, relative to one another"},
		)}), 1), def: "none, with `stated`", doc: "what is drawn. A normal or lognormal that leaves by less than a thousandth what is allowed at its path is cut there"},
	}}
}

// searchForm is a search.
func searchForm() *form {
	return &form{name: "a search", doc: "Looks for the best variant, or for the front between two aims, among those that meet the constraints.", fields: []field{
		{key: "runs", typ: count(2, 1e6), required: true, doc: "how many variants at the most"},
		seedField(),
		{key: "by", typ: word("surrogate", "trials"), def: "surrogate", doc: "surrogate: a model of the responses is laid through the variants so far and says where the next is worth most, for runs that are dear; trials: many variants without a model, for runs that cost next to nothing"},
		{key: "at once", typ: count(1, 1000), def: "1", doc: "how many variants are asked for together, before any of them is known"},
		{key: "over", typ: list(mapping(&form{name: "what is searched over", doc: "A range, or values one by one.", fields: append(variedFields("the values multiply what stands at the path and below it, instead of taking its place"),
			field{key: "from", typ: anyQuantity("20 mm"), def: "by `values`", doc: "the least"},
			field{key: "to", typ: anyQuantity("200 mm"), def: "by `values`", doc: "the largest"},
			field{key: "steps", typ: word("equal", "ratio"), def: "equal", doc: "whether differences or ratios count alike"},
			field{key: "values", typ: list(anyQuantity("80 mm"), 2), def: "by `from` and `to`", doc: "numbers, rising; or words"},
		)}), 1), required: true, doc: "what may be chosen"},
		{key: "aims", typ: list(mapping(&form{name: "an aim", doc: "A response that is to be large or small.", fields: []field{
			{key: "response", typ: responseText(), required: true, doc: "of this study"},
			{key: "want", typ: word("most", "least"), required: true, doc: "which is best"},
			{key: "flat within", typ: anyQuantity("50 kJ"), def: "not said", doc: "variants that are worse than the best by no more than this are as good: the answer says how far they reach"},
		}}), 1), required: true, doc: "one, or two: the front between them"},
	}}
}

// plateauForm asks for a plateau.
func plateauForm() *form {
	return &form{name: "a question of a plateau", doc: "Has a response flattened at the upper end of an axis? With several axes it is asked for each combination of the others.", fields: []field{
		{key: "plateau", typ: responseText(), required: true, doc: "of this study"},
		{key: "over", typ: axisText(), required: true, doc: "whose values are four numbers or more, above zero"},
		{key: "margin", typ: anyQuantity("2 K"), def: "2 % of what the response spans", doc: "by so much a plateau may still change"},
		{key: "computing", typ: either(word("refined"), anyQuantity("0.2 K")), def: "unknown: no plateau is claimed", doc: "standard uncertainty of each value from grid and time step, as `run --accuracy` tells it (half of its half-width); refined: some variants are computed on a finer grid again to find it"},
	}}
}

// paysForm asks where more stops paying.
func paysForm() *form {
	return &form{name: "a question of what pays", doc: "Up to which count does one more, such as one more pass, bring what it has to? With several axes it is asked for each combination of the others.", fields: []field{
		{key: "pays", typ: list(responseText(), 1), required: true, doc: "responses of this study, of one kind, such as the heat flow to the passes at some block temperatures"},
		{key: "over", typ: axisText(), required: true, doc: "of numbers, such as the passes that are laid"},
		{key: "worth", typ: anyQuantity("50 W"), required: true, doc: "what one more has to bring"},
		{key: "control", typ: axisText(), def: "none", doc: "another axis, such as a flow: between its least and its largest value lies the range in which the response can be controlled"},
	}}
}

// pricesForm is a price list.
func pricesForm() *form {
	return &form{name: "prices", doc: "A price list of your own.", fields: []field{
		{key: "currency", typ: text("a currency", "EUR"), required: true, doc: "the word that stands behind every amount; nothing is converted"},
		{key: "list", typ: list(mapping(&form{name: "a price", doc: "Of a material, a thing that is counted, or a sum.", fields: []field{
			{key: "of", typ: text("what it is of", "aluminium"), required: true, doc: "a material's name (per kg or m3: of all that is made of it, tubes and pane too); `tube` (per m, with leads and bends); `pass`, `circuit`, `heater` or `glass` (per piece); `window` or `glass` (per m2 of the opening); or any words with per sum"},
			{key: "per", typ: word("kg", "m3", "m", "m2", "piece", "sum"), required: true, doc: "what is counted; sum: once for every variant"},
			{key: "price", typ: like(quantity(unit.Dimensionless, "0", "1e12"), "6.50"), required: true, doc: "of one of these"},
		}}), 1), required: true, doc: "prices"},
	}}
}
