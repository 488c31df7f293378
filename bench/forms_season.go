package bench

import "emberbank/unit"

// seasonFields is what describes a season.
func seasonFields() *form {
	day := &form{name: "a day of a season", doc: "A whole day, or several in a row, that the full model computes.", fields: []field{
		{key: "day", typ: count(1, 40000), required: true, doc: "which day of the run, the first is 1"},
		{key: "lasts", typ: like(above(unit.Time, "0 s", "30 d"), "2 d"), def: "1 d", doc: "how long the stretch is"},
		{key: "block", typ: either(word("ambient"), like(temperature(), "250 degC")), def: "ambient, of days to build from; as the season has it, of days apart", doc: "the block's temperature at its beginning, with its surroundings as they would stand around so hot a block; ambient: all as cold as the air"},
	}}
	days := either(count(1, 60), list(mapping(day), 1))
	return &form{name: "season", doc: "A run over many days, computed by a fast model that builds itself from the full model and is held to days of the full model that it was not built from. Where its error is too large, or the season leaves the states that it knows, it refuses to answer.", fields: []field{
		{key: "name", typ: nameText(), def: "the file's name", doc: "shown in results"},
		{key: "run", typ: text("a file name", "season-run.yaml"), required: true, doc: "a file of kind run that lasts the whole season: the receiver on a coarse grid, and the duty with weather, light and load. Its output are the season's rows"},
		{key: "build", typ: days, def: "4", doc: "days that the model is built from: how many, spread from the brightest to the darkest, or which. Days on which the season leaves the states of these are added"},
		{key: "apart", typ: days, def: "4", doc: "days that it is held against: how many, spread over the light of the other days, or which. The day that is least like all of these and those of building is added"},
		{key: "layers", typ: count(1, 12), def: "4", doc: "nodes of the block, by depth"},
		{key: "shells", typ: count(1, 6), def: "3", doc: "nodes of what surrounds the block"},
		{key: "allowed", typ: mapping(&form{name: "errors that are allowed", doc: "On every day apart; beyond them the model refuses to answer.", fields: []field{
			{key: "heat", typ: like(above(unit.Dimensionless, "0 %", "50 %"), "5 %"), def: "5 %", doc: "of heat delivered, lost and stored, as a share of the day's heat, or of what warms the receiver by the kelvins below where a day has less"},
			{key: "block mean", typ: like(above(unit.TemperatureDifference, "0 K", "100 K"), "5 K"), def: "5 K", doc: "of the block's mean over an hour"},
		}}), def: "5 % and 5 K", doc: "how far the fast model may be off"},
	}}
}
