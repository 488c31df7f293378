package bench

import (
	"slices"

	"emberbank/trial"
	"emberbank/unit"
)

// errorShape is a half-width of any quantity that a channel may have.
func errorShape() *shape {
	return either(
		like(quantity(unit.TemperatureDifference, "0 K", "1000 K"), "0.5 K"),
		like(quantity(unit.Dimensionless, "0", "1"), "2 %"),
		like(quantity(unit.VolumeFlow, "0 l/min", "1e5 l/min"), "0.1 l/min"),
		like(quantity(unit.MassFlow, "0 kg/s", "1000 kg/s"), "0.002 kg/s"),
		like(quantity(unit.Power, "0 W", "100 MW"), "20 W"),
		like(quantity(unit.HeatFlux, "0 W/m2", "100 MW/m2"), "15 W/m2"),
		like(quantity(unit.Pressure, "0 Pa", "100 MPa"), "0.1 bar"),
		like(quantity(unit.Speed, "0 m/s", "100 m/s"), "0.3 m/s"),
		like(quantity(unit.Angle, "0 deg", "360 deg"), "1 deg"),
		like(quantity(unit.Length, "0 m", "100 m"), "1 mm"),
		like(quantity(unit.Energy, "0 J", "1e15 J"), "1 kJ"),
	).called("An error of a channel", "In the channel's own quantity (\"0.5 K\", \"0.1 l/min\", \"20 W\"), or as a share of the reading (\"2 %\"; of a temperature's number of degC).")
}

func columnText() *shape { return text("a column: its heading, or its number from 1", "T1") }

func plainNumber() *shape { return like(quantity(unit.Dimensionless, "", ""), "4") }

// repairFields are the switches; those of a whole trial have more of them.
func repairFields(whole bool) []field {
	fields := []field{
		{key: "missing", typ: flag(), def: "yes", doc: "codes for a missing value (`-7999`, `-9999.9`, `NaN`, `OL`, an empty cell and others) are taken as missing; no: numbers among them stay"},
		{key: "quality", typ: flag(), def: "yes", doc: "values that their quality code calls doubtful are taken as missing"},
		{key: "range", typ: flag(), def: "yes", doc: "signals outside their calibration, by more than 2.5 % of its span, are taken as missing; no: it is drawn on"},
		{key: "spikes", typ: flag(), def: "yes for temperatures and pressures", doc: "one or two values far from their neighbours are taken as missing"},
		{key: "stuck", typ: flag(), def: "yes for temperatures and pressures", doc: "long runs of one value while others move are taken as missing"},
		{key: "dribble", typ: flag(), def: "yes", doc: "flows too small for the meter are set to zero"},
	}
	if whole {
		fields = append(fields,
			field{key: "duplicates", typ: flag(), def: "yes", doc: "of rows with one stamp the first is kept, or all are spread where the clock is coarser than the rows; no: they are a mistake"},
			field{key: "backward", typ: word("sort", "shift", "no"), def: "sort", doc: "rows out of order are put in place, and rows after a clock was set back are left out until it has caught up; shift: the clock runs on from there; no: they are a mistake"},
		)
	}
	return fields
}

// trialFields is what describes a trial.
func trialFields() *form {
	return &form{name: "trial", doc: "What was measured: loggers' files, and what each of their channels is.", fields: []field{
		{key: "name", typ: nameText(), def: "the file's name", doc: "shown in results"},
		{key: "receiver", typ: text("a file name", "receiver.yaml"), def: "none", doc: "a file of kind receiver: what was measured on"},
		{key: "duty", typ: text("a file name", "duty.yaml"), def: "none", doc: "a file of kind duty: what was done, where no channel tells"},
		{key: "ambient", typ: like(temperature(), "20 ± 2 degC"), def: "not known", doc: "of the air, where no channel measures it; its half-width counts in the balances"},
		{key: "zone", typ: text("a zone", "+01:00"), doc: "time zone of clocks that do not say theirs: `UTC`, or the distance from it, such as `+01:00`; no names, since those change with summer time"},
		{key: "from", typ: moment(), def: "the first row", doc: "rows before this time are left out; counted from the first row"},
		{key: "to", typ: moment(), def: "the last row", doc: "rows after this time are left out; counted from the first row"},
		{key: "gap", typ: like(above(unit.Time, "0 s", "40000 d"), "1 min"), def: "three intervals", doc: "a longer distance of rows is a gap, which nothing is drawn across"},
		{key: "repairs", typ: mapping(&form{name: "repairs", doc: "What may be mended. Each repair is listed with its count; taken out means missing, nothing is filled in.", fields: repairFields(true)}), doc: "what may be mended in all channels"},
		{key: "trust mapping", typ: flag(), def: "no", doc: "yes: the mapping is right although physics speaks against it, as where hot water heats the block; suspicions are then told as warnings"},
		{key: "loggers", typ: list(later("a logger", loggerForm), 1), required: true, doc: "files and their channels; the rows of the fastest make the time axis"},
		{key: "axis", typ: count(1, 100), def: "the logger with the shortest interval", doc: "number of the logger whose rows make the time axis; the others are brought to it, by straight lines, or by means where they are faster"},
		{key: "phases", typ: list(mapping(&form{name: "a phase", doc: "A stretch of the trial, given by hand.", fields: []field{
			{key: "kind", typ: word("heat-up", "hold", "drain", "cool"), required: true, doc: "what happened"},
			{key: "from", typ: moment(), required: true, doc: "counted from the first row that is kept"},
			{key: "to", typ: moment(), required: true, doc: "its end"},
			{key: "name", typ: nameText(), def: "its kind", doc: "shown in results"},
		}}), 1), def: "found from the data", doc: "phases that replace those found"},
		{key: "block", typ: mapping(&form{name: "a lump", doc: "The storage as a lump, where no receiver is named.", fields: []field{
			{key: "mass", typ: above(unit.Mass, "0 kg", "1e6 kg"), required: true, doc: "of what stores heat"},
			{key: "heat capacity", typ: above(unit.HeatCapacity, "0 J/(kg K)", "20000 J/(kg K)"), required: true, doc: "its mean"},
			{key: "within", typ: like(quantity(unit.Dimensionless, "0", "1"), "5 %"), def: "0 %", doc: "half-width at 95 % of their product"},
		}}), doc: "mass and heat capacity, instead of a receiver"},
		{key: "uptake", typ: list(mapping(&form{name: "an uptake", doc: "What of a source goes into the receiver: its reading times area times share.", fields: []field{
			{key: "of", typ: text("a place", "lamp power"), required: true, doc: "of the channel: lamp power, light or irradiance"},
			{key: "share", typ: like(quantity(unit.Dimensionless, "0", "1"), "45 %"), def: "100 %", doc: "of the light or power that the receiver takes up"},
			{key: "area", typ: like(above(unit.Area, "0 m2", "1e6 m2"), "0.5 m2"), doc: "that catches an irradiance; needed there"},
			{key: "within", typ: like(quantity(unit.Dimensionless, "0", "1"), "5 %"), def: "0 %", doc: "half-width at 95 % of share times area"},
		}}), 1), doc: "watts into the receiver; without it lamp, light and irradiance only tell when the source is on"},
		{key: "follow", typ: later("following", followForm), doc: "what is watched while the trial runs"},
	}}
}

func loggerForm() *form {
	return &form{name: "a logger", doc: "One logger: its file, or its files in the order of time, and what they hold. What is left out of the layout is found from the first lines, and told.", fields: slices.Concat([]field{
		{key: "file", typ: list(text("a file name", "logger.csv"), 1), required: true, doc: "relative to this file; it is read, never written"},
	}, layoutFields(), []field{
		{key: "accuracy", typ: like(quantity(unit.TemperatureDifference, "0 K", "100 K"), "0.5 K"), doc: "half-width at 95 % of the logger's own error of temperatures, with its cold junction; all its channels share it"},
		{key: "share", typ: like(share(), "0.1 %"), doc: "the same of its other channels, as a share of the reading"},
		{key: "channels", typ: list(later("a channel", channelForm), 1), required: true, doc: "the columns that are wanted; others are left aside"},
	})}
}

func clockForm() *form {
	return &form{name: "a clock", doc: "Columns with dates and times, with a count of time, or with year, day and hour apart.", fields: []field{
		{key: "column", typ: columnText(), doc: "of dates with times, of dates, or of elapsed time"},
		{key: "time", typ: columnText(), doc: "of times of day, where column holds dates alone"},
		{key: "order", typ: word("year-month-day", "day-month-year", "month-day-year"), def: "found", doc: "of dates that do not begin with four digits"},
		{key: "unit", typ: word("ms", "s", "min", "h", "d"), def: "the heading's", doc: "of elapsed time"},
		{key: "since", typ: text("a moment", "2026-03-14 09:30:00 +01:00"), doc: "the moment at which elapsed time is zero; `1970-01-01 UTC` for the seconds of many computers, `1899-12-30` for the days of spreadsheets"},
		{key: "year", typ: columnText(), doc: "column of years"},
		{key: "in year", typ: count(1900, 2200), doc: "the year of the first row, where no column gives it; days may run over new year"},
		{key: "month", typ: columnText(), doc: "column of months"},
		{key: "day", typ: columnText(), doc: "column of days of the month"},
		{key: "day of year", typ: columnText(), doc: "column of days of the year, 1 to 366"},
		{key: "hour", typ: columnText(), doc: "column of hours"},
		{key: "minute", typ: columnText(), doc: "column of minutes"},
		{key: "second", typ: columnText(), doc: "column of seconds"},
		{key: "hour-minute", typ: columnText(), doc: "column of hours and minutes in one number: 930 for 9:30; 2400 is the end of the day"},
		{key: "decimal hour", typ: columnText(), doc: "column of hours with a fraction"},
		{key: "zone", typ: text("a zone", "UTC"), def: "the file's, else the trial's", doc: "`UTC`, or the distance from it, such as `+01:00`"},
		{key: "offset", typ: like(quantity(unit.Time, "-40000 d", "40000 d"), "90 s"), def: "0 s", doc: "is added to what the clock says: above zero for a clock that was slow or, counting from its own start, started later"},
		{key: "align", typ: mapping(&form{name: "an alignment", doc: "Finds the offset: one channel of this logger is moved in time until it lies best on one of another.", fields: []field{
			{key: "channel", typ: text("a column of the record", "core"), required: true, doc: "of this logger, by its place"},
			{key: "with", typ: text("a column of the record", "core 2"), required: true, doc: "of another logger, that shows the same course"},
			{key: "within", typ: like(above(unit.Time, "0 s", "10 d"), "10 min"), def: "10 min", doc: "the largest offset looked for"},
		}}), doc: "finds a further offset from two channels"},
	}}
}

func channelForm() *form {
	return &form{name: "a channel", doc: "What one column of a logger's file is.", fields: []field{
		{key: "column", typ: columnText(), required: true, doc: "its heading, with or without its unit, or its number from 1; a heading that is a number stands in quotes"},
		{key: "place", typ: text("a place", "core"), required: true, doc: "what it measures; names the column of the record, as a run names it (see below)"},
		{key: "quantity", typ: word("temperature", "flow", "irradiance", "power", "pressure", "speed", "angle", "share", "length", "energy", "voltage", "current"), def: "by place and unit", doc: "what kind of number it is"},
		{key: "unit", typ: text("a unit", "degC"), def: "the heading's", doc: "of the numbers in the file, or of what the signal becomes"},
		{key: "signal", typ: either(
			mapping(&form{name: "a signal by points", fields: []field{
				{key: "points", typ: list(tuple(plainNumber(), plainNumber()), 2), required: true, doc: "pairs of signal and value, straight lines between: `[[4, 0], [20, 400]]`"},
				{key: "unit", typ: text("a unit", "mA"), doc: "of the signal, for the reader"},
			}}),
			mapping(&form{name: "a linear signal", fields: []field{
				{key: "factor", typ: plainNumber(), required: true, doc: "value = shift + factor · signal"},
				{key: "shift", typ: plainNumber(), def: "0", doc: "the value at signal zero"},
				{key: "unit", typ: text("a unit", "V"), doc: "of the signal, for the reader"},
			}}),
			mapping(&form{name: "a thermocouple's voltage", fields: []field{
				{key: "couple", typ: word("K", "N"), required: true, doc: "type, by IEC 60584-1"},
				{key: "unit", typ: word("mV", "uV", "V"), def: "the heading's", doc: "of the voltage"},
				{key: "junction", typ: text("a place", "cold junction"), def: "0 degC", doc: "the channel with the temperature of the cold junction"},
			}}),
		), doc: "where the file holds volts, milliamperes or other raw numbers"},
		{key: "quality", typ: qualityShape(), doc: "a column of codes beside that tells good values from doubtful ones"},
		{key: "meter at", typ: text("a place", "circuit main inlet"), def: "the circuit's inlet", doc: "of a flow of volume: the temperature at the meter, which makes kilograms of litres"},
		{key: "least", typ: either(quantity(unit.VolumeFlow, "0 l/min", "1e5 l/min"), quantity(unit.MassFlow, "0 kg/s", "1000 kg/s")), def: "2 % of the usual flow", doc: "of a flow meter: what it cannot read; below, it counts as zero"},
		{key: "hold", typ: flag(), def: "no", doc: "a value lasts until the next row, as switched power does"},
		{key: "sensor", typ: text("a text", "thermocouple K, 1.5 mm"), doc: "for the reader"},
		{key: "couple", typ: word(trial.Couples...), doc: "type of a thermocouple, for its tolerance"},
		{key: "class", typ: count(1, 3), doc: "its tolerance class by IEC 60584-1"},
		{key: "position", typ: mapping(placeShape()), doc: "of the sensor in the receiver"},
		{key: "outside", typ: flag(), def: "no", doc: "yes: a temperature that is neither in nor on the receiver"},
		{key: "lag", typ: like(quantity(unit.Time, "0 s", "1 d"), "2 s"), def: "0 s", doc: "time constant of the sensor"},
		{key: "uncertainty", typ: list(errorShape(), 1), doc: "half-width at 95 % of its lasting error; a second one, such as [0.5 K, 0.4 %], is added as a root of squares. It takes the place of the class"},
		{key: "drift", typ: errorShape(), doc: "half-width at 95 % of what may have changed since the calibration"},
		{key: "noise", typ: errorShape(), def: "estimated from the data", doc: "standard deviation from sample to sample"},
		{key: "calibration", typ: mapping(&form{name: "a calibration", doc: "A record of comparison with a better instrument.", fields: []field{
			{key: "name", typ: nameText(), required: true, doc: "channels calibrated together share its error"},
			{key: "uncertainty", typ: errorShape(), required: true, doc: "half-width at 95 %; it takes the place of the class"},
			{key: "corrections", typ: list(tuple(like(temperature(), "300 degC"), like(quantity(unit.TemperatureDifference, "-1000 K", "1000 K"), "-0.4 K")), 1), doc: "pairs of reading and what is added to it, straight lines between, the end values beyond; for temperatures"},
		}}), doc: "replaces the tolerance class"},
		{key: "pair", typ: nameText(), doc: "sensors with one name here, as two in inlet and outlet, share the error given or that of their class"},
		{key: "pair difference", typ: errorShape(), doc: "half-width at 95 % of the difference between the two of a pair that read the same"},
		{key: "spike", typ: errorShape(), def: "found, 2 K at least", doc: "height from which a spike is one"},
		{key: "repairs", typ: mapping(&form{name: "repairs of a channel", doc: "As those of the trial, for this channel.", fields: repairFields(false)}), doc: "what may be mended in this channel"},
	}}
}
