package bench

// DossierParts are the words of the parts that a report may have, in the order that it has where nothing else is said.
func DossierParts() []string {
	return []string{
		"question", "receiver", "materials", "model", "checks", "runs", "accuracy", "trials", "plan", "match", "studies", "light", "seasons", "compared",
		"conclusions", "open questions",
	}
}

// dossierFields is what describes a dossier.
func dossierFields() *form {
	own := func(example string) *shape { return text("a text", example) }
	words := "Markdown; `{RESULT: NUMBER}` is a number of a result"
	return &form{name: "dossier", doc: "What the report on a bench says: which parts in which order, and the author's own words with places for numbers. The file is called dossier.yaml.", fields: []field{
		{key: "title", typ: own("A block of tin in aluminium"), def: "the bench's name", doc: "of the report"},
		{key: "subtitle", typ: own("Report to the bakery"), def: "Report", doc: "below it"},
		{key: "by", typ: own("the bench's designers"), def: "none", doc: "who has written it"},
		{key: "language", typ: text("a language tag", "en"), def: "en", doc: "of the author's words (BCP 47)"},
		{key: "results", typ: list(text("a result", "charge-hold-drain"), 1), def: "all that there are", doc: "the only results that the report speaks of, by their folder less `results/`, or by their file"},
		{key: "trial sheet", typ: text("a file name", "plan.yaml"), def: "the bench's first plan, without one its first run", doc: "the plan, run or trial of the bench that the trial sheet is about"},
		{key: "parts", typ: list(either(
			word(DossierParts()...),
			mapping(&form{name: "a part of a report", doc: "A part with words of the author's around it, or a part that is the author's alone.", fields: []field{
				{key: "part", typ: word(DossierParts()...), def: "none: it is the author's alone, with `title` and `text`", doc: "which part"},
				{key: "title", typ: own("What we would do next"), def: "the part's own", doc: "its heading"},
				{key: "before", typ: own("The block holds {receiver: block mass}."), def: "none", doc: "set before what the part says by itself: " + words},
				{key: "after", typ: own("More in {charge-hold-drain: ledger lost, kWh}."), def: "none", doc: "set after it, likewise"},
				{key: "text", typ: own("Of the heat {charge-hold-drain: ledger carried, kWh} went to the water."), def: "none", doc: "of a part that is the author's alone, likewise"},
			}}),
		), 1), def: "all, in the order of this list", doc: "the parts of the report in their order"},
	}}
}
