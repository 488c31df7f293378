package bench

import "emberbank/unit"

// noiseKeys are the keys that say how well a planned sensor reads.
func noiseKeys(needed bool) []field {
	noise := field{key: "noise", typ: noiseShape(), required: needed, doc: "standard deviation from reading to reading"}
	if !needed {
		noise.def = "that of the first planned sensor of its kind of quantity"
	}
	return []field{
		noise,
		{key: "offset", typ: noiseShape(), def: "none", doc: "how far the sensor may be off as a whole: half-width at 95 %; the same in every run"},
		{key: "lasting", typ: noiseShape(), def: "as `match` begins with: the noise, or 0.1 % of what the run spans where that is more", doc: "standard deviation of noise that lasts a while"},
		{key: "logger", typ: nameText(), def: "none", doc: "one of `loggers`, whose own error all its sensors share"},
	}
}

// planSensorForms are the ways of naming a sensor: a place in the solid, or a column of the run.
func planSensorForms(needed bool) []*shape {
	placed := placeShape().with("a sensor at a place", "A thermocouple that the run does not have yet.", append([]field{
		{key: "name", typ: nameText(), required: needed, def: map[bool]string{false: "its place"}[needed], doc: "its column"},
		{key: "lag", typ: like(quantity(unit.Time, "0 s", "1 d"), "2 s"), def: "0 s", doc: "time constant"},
	}, noiseKeys(needed)...)...)
	column := &form{name: "a sensor for a column", doc: "A sensor for what the run computes anyway.", fields: append([]field{
		{key: "column", typ: text("a column of the run", "circuit main outlet"), required: true, doc: "of the run's history, without its unit: the name of a sensor or probe of the run, `circuit main outlet`, `circuit main flow`, `block mean`, …"},
	}, noiseKeys(needed)...)}
	return []*shape{mapping(column), mapping(placed)}
}

// planFields is what describes a plan.
func planFields() *form {
	stretch := text("an event's name", "hold")
	return &form{name: "plan", doc: "A trial before it is done: what it will teach of the parameters of interest with the sensors as placed, and what would help most. A plan runs the model; it reads no measurement.", fields: []field{
		{key: "name", typ: nameText(), def: "the file's name", doc: "shown in results"},
		{key: "run", typ: list(text("a file name", "trial-day.yaml"), 1), required: true, doc: "a file of kind run: the receiver, and the duty as it is to be done; several for several days that are matched together"},
		{key: "parameters", typ: list(mapping(parameterForm()), 1), required: true, doc: "what is to be learnt; the same entries as in a file of kind match"},
		{key: "sensors", typ: list(either(planSensorForms(true)...), 1), required: true, doc: "what will be measured, and how well"},
		{key: "loggers", typ: named(noiseShape()), def: "none", doc: "by name: what all sensors of one logger read wrong alike, half-width at 95 %"},
		{key: "every", typ: like(above(unit.Time, "0 s", "1 d"), "30 s"), def: "the longest interval that suffices", doc: "logging interval"},
		{key: "may cost", typ: like(quantity(unit.Dimensionless, "0.1 %", "100 %"), "5 %"), def: "5 %", doc: "by so much a longer interval may widen any parameter's uncertainty and still suffice"},
		{key: "lasts", typ: like(above(unit.Time, "0 s", "30 d"), "5 min"), def: "3 % of the run's length", doc: "how long lasting noise lasts: after that time its correlation has fallen to 37 %"},
		{key: "model error", typ: mapping(&form{name: "the model's own error", doc: "No model is right: how far it may stray from the truth, smoothly over time. Without it short intervals would promise too much.", fields: []field{
			{key: "size", typ: list(noiseShape(), 1), def: "0.5 % of what the quantity spans, as `match` begins with", doc: "standard deviation; one for each kind of quantity"},
			{key: "over", typ: like(above(unit.Time, "0 s", "30 d"), "45 min"), def: "40 % of the run's length", doc: "time over which it changes"},
			{key: "alike", typ: share(), def: "50 %", doc: "share of its variance that all sensors of a quantity have in common"},
		}}), def: "as told there", doc: "discrepancy of the model"},
		{key: "target", typ: mapping(&form{name: "a target", doc: "How far the charge is to go.", fields: []field{
			{key: "column", typ: text("a column of the run", "block mean"), def: "block mean", doc: "a temperature of the run"},
			{key: "reaches", typ: temperature(), required: true, doc: "the temperature at which the charge is done"},
		}}), def: "none", doc: "asks how long the charge takes with the source left on"},
		{key: "candidates", typ: mapping(&form{name: "candidates", doc: "What could be done otherwise, one thing at a time. A kind that is given replaces the program's proposals of that kind.", fields: []field{
			{key: "propose", typ: flag(), def: "yes", doc: "let the program propose candidates of the kinds that are not given"},
			{key: "sensors", typ: list(either(planSensorForms(false)...), 1), def: "a lattice of places, and outlets not yet measured", doc: "one more sensor"},
			{key: "lattice", typ: tuple(count(1, 12), count(1, 12), count(1, 12)), def: "[2, 3, 3]", doc: "places proposed along depth, width and height of the block"},
			{key: "longer", typ: list(mapping(&form{name: "a longer stretch", doc: "What comes after an event is put off.", fields: []field{
				{key: "after", typ: stretch, def: "the start", doc: "name of the event with which the stretch begins"},
				{key: "by", typ: like(above(unit.Time, "0 s", "60 d"), "30 min"), required: true, doc: "how much longer"},
			}}), 1), def: "each stretch longer by half", doc: "a longer charge, hold or drain"},
			{key: "flows", typ: list(mapping(&form{name: "another flow", fields: []field{
				{key: "circuit", typ: nameText(), required: true, doc: "of the receiver"},
				{key: "flow", typ: like(above(unit.MassFlow, "0 kg/s", "1000 kg/s"), "0.03 kg/s"), required: true, doc: "in place of the duty's"},
			}}), 1), def: "half and double", doc: "another flow of water"},
			{key: "cover", typ: list(mapping(&form{name: "another state of the cover", fields: []field{
				{key: "state", typ: word("open", "shut"), required: true, doc: "of the cover"},
				{key: "from", typ: moment(), def: "the start", doc: "on the run's clock"},
				{key: "to", typ: moment(), def: "the end", doc: "on the run's clock"},
			}}), 1), def: "the other state in each stretch without light", doc: "the cover open or shut"},
		}}), def: "what the program proposes", doc: "among which the most helpful is sought"},
	}}
}
