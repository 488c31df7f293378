package bench

// studyFields is what describes a study.
func studyFields() *form {
	response := text("a response's name", "kept")
	return &form{name: "study", doc: "A run over choices, and what follows from them. Every combination of the values of its axes is one variant: the run with those numbers in place of the files'.", fields: []field{
		{key: "name", typ: nameText(), def: "the file's name", doc: "shown in results"},
		{key: "run", typ: text("a file name", "hold.yaml"), required: true, doc: "a file of kind run; take a coarse grid, since it is computed for every variant"},
		{key: "sweep", typ: mapping(&form{name: "a sweep", doc: "Every combination of the values of some axes; the last axis changes fastest.", fields: []field{
			{key: "axes", typ: list(mapping(axisForm()), 1), required: true, doc: "what is varied"},
		}}), required: true, doc: "which variants are run: at most a million"},
		{key: "responses", typ: list(mapping(&form{name: "a response", doc: "One number that is read off every variant.", fields: []field{
			{key: "name", typ: nameText(), def: "what is read", doc: "its column in the table"},
			{key: "read", typ: text("a quantity of the results", "block mean at 6 h"), required: true, doc: readingsTold},
		}}), 1), required: true, doc: "what is wanted of each variant"},
		{key: "constraints", typ: list(mapping(&form{name: "a constraint", doc: "What a variant has to meet; those that do not are marked in the table.", fields: []field{
			{key: "response", typ: response, required: true, doc: "of this study"},
			{key: "below", typ: anyQuantity("60 degC"), def: "no such limit", doc: "the response stays below it or reaches it"},
			{key: "above", typ: anyQuantity("300 degC"), def: "no such limit", doc: "the response stays above it or reaches it"},
		}}), 1), def: "none", doc: "limits on responses"},
		{key: "answers", typ: list(mapping(&form{name: "a question of a plateau", doc: "Has a response flattened at the upper end of an axis? With several axes it is asked for each combination of the others.", fields: []field{
			{key: "plateau", typ: response, required: true, doc: "of this study"},
			{key: "over", typ: text("an axis", "thickness"), required: true, doc: "whose values are four or more and above zero"},
			{key: "margin", typ: anyQuantity("2 K"), def: "2 % of what the response spans", doc: "by so much a plateau may still change"},
			{key: "computing", typ: anyQuantity("0.2 K"), def: "unknown: no plateau is claimed", doc: "standard uncertainty of each value from grid and time step, as `run --accuracy` tells it (half of its half-width)"},
		}}), 1), def: "none", doc: "what is to be answered in words"},
	}}
}

// axisForm is one axis of a sweep.
func axisForm() *form {
	return &form{name: "an axis", doc: "A number in the run's files, or a factor on such numbers, and its values: given one by one, or from one to another at equal steps.", fields: []field{
		{key: "name", typ: nameText(), required: true, doc: "its column in the table"},
		{key: "path", typ: list(text("an input's path", "receiver.insulation.around[2].thickness"), 1), required: true, doc: "where the number stands, as in a file of kind match; several take one value"},
		{key: "factor", typ: flag(), def: "no", doc: "the values multiply what stands at the path and below it, instead of taking its place"},
		{key: "values", typ: list(anyQuantity("80 mm"), 1), def: "by `from`, `to` and `count`", doc: "rising"},
		{key: "from", typ: anyQuantity("20 mm"), def: "by `values`", doc: "the first value"},
		{key: "to", typ: anyQuantity("200 mm"), def: "by `values`", doc: "the last value"},
		{key: "count", typ: count(2, 1e9), def: "by `values`", doc: "how many values from the first to the last, both included"},
		{key: "steps", typ: word("equal", "ratio"), def: "equal", doc: "from value to value: an equal difference, or an equal ratio"},
	}}
}
