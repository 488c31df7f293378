package bench

import "emberbank/unit"

// readingShape is a reading of any quantity that a channel may have.
func readingShape() *shape {
	return either(
		like(temperature(), "450 degC"),
		like(quantity(unit.MassFlow, "0 kg/s", "1000 kg/s"), "0.05 kg/s"),
		like(quantity(unit.VolumeFlow, "0 l/min", "1e5 l/min"), "6 l/min"),
		like(quantity(unit.Power, "-100 MW", "100 MW"), "7 kW"),
		like(quantity(unit.HeatFlux, "0 W/m2", "100 MW/m2"), "900 W/m2"),
		like(quantity(unit.Pressure, "0 Pa", "100 MPa"), "9 bar"),
		like(quantity(unit.Speed, "0 m/s", "100 m/s"), "8 m/s"),
	)
}

// followForm is what a trial says for the time while it runs.
func followForm() *form {
	of := text("a place", "core")
	return &form{name: "following", doc: "What is watched while the trial runs (`emberbank trial FILE --follow`).", fields: []field{
		{key: "run", typ: text("a file name", "charge.yaml"), def: "none", doc: "a file of kind run that computes this trial: what is measured is held against it"},
		{key: "match", typ: text("a folder", "results/match"), def: "none", doc: "results of a match, relative to this file: its parameters, how well they are known, and how far the model departs"},
		{key: "begins", typ: moment(), def: "0 s", doc: "the trial's time at which the run begins"},
		{key: "inputs", typ: word("measured", "as stated"), def: "measured", doc: "measured: what channels measure (ambient, inlet, flow, light, powers) takes the place of the run's duty; as stated: the run is left as it is"},
		{key: "within", typ: like(quantity(unit.TemperatureDifference, "0 K", "1000 K"), "3 K"), def: "what the match found; else 0 K", doc: "half-width at 95 % of the model's own error in temperatures"},
		{key: "targets", typ: list(mapping(&form{name: "a target", doc: "A reading that is waited for.", fields: []field{
			{key: "of", typ: of, required: true, doc: "of the channel"},
			{key: "reaches", typ: readingShape(), required: true, doc: "from below or from above"},
		}}), 1), doc: "the time left to each is shown"},
		{key: "limits", typ: list(mapping(&form{name: "a limit", doc: "A reading that must not be passed. Exactly one of above and below.", fields: []field{
			{key: "of", typ: of, required: true, doc: "of the channel; or `temperatures`: every one in or on the receiver"},
			{key: "above", typ: readingShape(), doc: "readings above it are too high"},
			{key: "below", typ: readingShape(), doc: "readings below it are too low"},
			{key: "near", typ: errorShape(), def: "20 K; of other quantities 5 % of the limit", doc: "so close to it is near"},
			{key: "why", typ: text("a text", "the seal of the lid"), doc: "shown with the call"},
		}}), 1), def: "service temperatures of the receiver's media, where one is named", doc: "nearing and passing one is called out"},
		{key: "false alarms", typ: like(above(unit.Dimensionless, "0", "0.5"), "1 %"), def: "1 %", doc: "chance that an undisturbed trial is called a departure, over all channels and the time under `over`"},
		{key: "over", typ: like(above(unit.Time, "0 s", "400 d"), "8 h"), def: "8 h", doc: "the time for which false alarms counts"},
		{key: "memory", typ: like(above(unit.Time, "0 s", "10 d"), "3 min"), def: "3 min, ten rows at least", doc: "over which differences are averaged before they are judged"},
		{key: "lost after", typ: like(above(unit.Time, "0 s", "10 d"), "1 min"), def: "30 s, five intervals at least", doc: "a channel without a reading for so long, or a logger without a row, is called lost"},
	}}
}
