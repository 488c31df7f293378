package bench

import "emberbank/unit"

// anyQuantity is a number with its unit, of a kind that only the input says for which it is given.
func anyQuantity(example string) *shape { return text("a number with its unit", example) }

// noiseShape is a standard deviation or half-width of what a column measures.
func noiseShape() *shape {
	return either(
		like(above(unit.TemperatureDifference, "0 K", "1000 K"), "0.1 K"),
		like(above(unit.Power, "0 W", "100 MW"), "20 W"),
		like(above(unit.MassFlow, "0 kg/s", "1000 kg/s"), "0.001 kg/s"),
		like(above(unit.Pressure, "0 Pa", "100 MPa"), "0.1 bar"),
		like(above(unit.Energy, "0 J", "1e15 J"), "1 kJ"),
		like(above(unit.Length, "0 m", "100 m"), "1 mm"),
		like(above(unit.Dimensionless, "0", "1"), "0.02"),
	)
}

// parameterForm is an unknown of a match or a plan.
func parameterForm() *form {
	return &form{name: "a parameter", doc: "An unknown: a number in the files of the trials' runs, or a factor on such numbers.", fields: []field{
		{key: "name", typ: nameText(), required: true, doc: "shown in results"},
		{key: "path", typ: list(text("an input's path", "receiver.tube.contact"), 1), required: true, doc: "where the number stands, such as `receiver.tube.contact`, `receiver.passes[2].contact`, `duty.light.power`, or a medium's property as a factor, `medium[mineral-wool].conductivity`; several take one value"},
		{key: "factor", typ: flag(), def: "no", doc: "the parameter multiplies what stands at the path and below it (all rows of a table over time), instead of taking its place"},
		{key: "start", typ: anyQuantity("400 W/(m2 K)"), def: "what the first trial's files say; of a factor 1", doc: "where the search begins"},
		{key: "between", typ: tuple(anyQuantity("100 W/(m2 K)"), anyQuantity("2000 W/(m2 K)")), required: true, doc: "the bounds; the search starts from a spread between them"},
		{key: "prior", typ: anyQuantity("400 ± 200 W/(m2 K)"), def: "none", doc: "what is known beforehand, with its half-width at 95 %"},
		{key: "trials", typ: list(text("a trial's name", "charge"), 1), def: "all", doc: "the trials on which it acts; elsewhere the files count"},
	}}
}

// matchFields is what describes a match.
func matchFields() *form {
	span := func(noun, doc string) *form {
		return &form{name: noun, doc: doc, fields: []field{
			{key: "name", typ: nameText(), def: noun, doc: "shown in results"},
			{key: "from", typ: moment(), def: "the start", doc: "on the run's clock"},
			{key: "to", typ: moment(), required: true, doc: "on the run's clock"},
		}}
	}
	return &form{name: "match", doc: "Parameters of receiver or duty, and the trials from which they are estimated. Trials set aside are predicted, never fitted: they tell how far the matched model may be trusted.", fields: []field{
		{key: "name", typ: nameText(), def: "the file's name", doc: "shown in results"},
		{key: "parameters", typ: list(mapping(parameterForm()), 1), required: true, doc: "what is to be found"},
		{key: "trials", typ: list(mapping(&form{name: "a trial of a match", doc: "What was measured, and the run that computes the same.", fields: []field{
			{key: "name", typ: nameText(), def: "the run file's name", doc: "shown in results"},
			{key: "run", typ: text("a file name", "charge.yaml"), required: true, doc: "a file of kind run"},
			{key: "measured", typ: text("a file name", "charge-trial.yaml"), required: true, doc: "a file of kind trial; or a CSV table with a column \"time [s]\" and the unit behind each heading, an empty cell where there is no value"},
			{key: "begins", typ: moment(), def: "0 s", doc: "the measurement's time at which the run begins"},
			{key: "set aside", typ: flag(), def: "no", doc: "predicted only, to learn how far the model may be trusted"},
			{key: "drying", typ: word("yes", "no", "leave out"), def: "no", doc: "yes: this holds the first heat-up of new insulation; what water in it takes is unknown to the model, and the report says so. leave out: the stretch in which a file of kind trial shows it is found and left out. With no it is looked for as well, and told"},
			{key: "leave out", typ: list(mapping(span("a stretch left out", "What is not compared.")), 1), def: "nothing", doc: "stretches that do not count"},
			{key: "phases", typ: list(mapping(span("a phase of a trial", "A stretch that is compared on its own.")), 1), def: "those of the trial; else the whole", doc: "for a trial that is set aside: stretches that are compared one by one"},
			{key: "columns", typ: list(mapping(&form{name: "a column", doc: "A measured column and the run's column beside it.", fields: []field{
				{key: "column", typ: text("a column of the run", "core"), required: true, doc: "of the run's history, without its unit"},
				{key: "measured", typ: text("a column of the measurement", "TC 3"), def: "the same name", doc: "its name there, without its unit"},
				{key: "noise", typ: noiseShape(), def: "the trial's; a table's must be stated", doc: "standard deviation from row to row"},
				{key: "offset", typ: noiseShape(), def: "the trial's; of a table none", doc: "how far the sensor may be off as a whole: half-width at 95 %; the match finds the offset within that"},
				{key: "sensor", typ: nameText(), def: "the measured column's name", doc: "one sensor in several trials or columns has one offset"},
			}}), 1), def: "every column of a trial that its run has too", doc: "what is compared"},
		}}), 1), required: true, doc: "from which they are found, and on which they are tried"},
		{key: "rows", typ: count(10, 5000), def: "120", doc: "at most so many rows of each column count; what was measured more often is averaged"},
		{key: "starts", typ: count(0, 10000), def: "four and four for each parameter", doc: "points of the spread from which the search begins"},
		{key: "seed", typ: count(0, 1e9), def: "0", doc: "shifts the spread"},
		{key: "finer grid", typ: flag(), def: "yes", doc: "at the end each fitted trial is computed once more on cells refined once, to tell what the runs' cells put into the parameters; that can take as long as some dozen runs of the fit for each trial"},
	}}
}
