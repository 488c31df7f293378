package bench

import "emberbank/unit"

// calendarFields say when and where a duty takes place.
func calendarFields() []field {
	return []field{
		{key: "starts", typ: text("a moment", "2026-06-21 04:00 +02:00"), doc: "day and time at which the run begins, year first, with the distance from UTC, or `UTC`; needed where the sun or a station counts"},
		{key: "site", typ: later("a site", siteForm), doc: "where it stands; needed where the sun counts"},
		{key: "stations", typ: named(later("a station", stationForm)), doc: "files of weather as stations write them, by names of your own"},
	}
}

func siteForm() *form {
	return &form{name: "a site", doc: "A place on the earth.", fields: []field{
		{key: "latitude", typ: like(quantity(unit.Angle, "-90 deg", "90 deg"), "47.5 deg"), required: true, doc: "north of the equator; south below zero"},
		{key: "longitude", typ: like(quantity(unit.Angle, "-180 deg", "180 deg"), "8.2 deg"), required: true, doc: "east of Greenwich; west below zero"},
		{key: "elevation", typ: like(quantity(unit.Length, "-430 m", "9000 m"), "420 m"), def: "0 m", doc: "above the sea"},
		{key: "pressure", typ: like(quantity(unit.Pressure, "300 mbar", "1100 mbar"), "960 mbar"), def: "the standard atmosphere's", doc: "of the air, mean of the year: refraction and air mass hang on it"},
	}}
}

// layoutFields say how a file of rows is laid out.
func layoutFields() []field {
	return []field{
		{key: "separator", typ: word("comma", "semicolon", "tab", "pipe", "blanks", "fixed"), def: "found", doc: "what parts the cells of a line; pipe: vertical bars; fixed: columns of fixed width"},
		{key: "widths", typ: list(count(1, 1000), 1), def: "found", doc: "of fixed columns, in characters"},
		{key: "decimal", typ: word("point", "comma"), def: "found", doc: "the decimal sign"},
		{key: "skip", typ: count(0, 100000), def: "found", doc: "lines before the headings"},
		{key: "headings", typ: count(0, 3), def: "found", doc: "lines of headings; units may stand in brackets or in the second"},
		{key: "missing", typ: list(text("a code", "-99"), 1), doc: "further codes for a missing value, as they stand in the file"},
		{key: "clock", typ: later("a clock", clockForm), def: "found", doc: "where the time of a row stands"},
	}
}

func stationForm() *form {
	fields := []field{{key: "file", typ: list(text("a file name", "weather-2026-06-21.dat"), 1), required: true, doc: "relative to this file, one or several in the order of time; read as a logger's file is"}}
	fields = append(fields, layoutFields()...)
	fields = append(fields,
		field{key: "rows", typ: word("moments", "means before", "means after"), def: "moments", doc: "whether a row is a reading of its moment, with straight lines between, or the mean of the time before its stamp, or of that after it"},
		field{key: "join", typ: like(quantity(unit.Time, "0 s", "1 d"), "30 min"), def: "30 min", doc: "gaps up to this are joined by a straight line; longer ones too, but they are said"},
	)
	return &form{name: "a station", doc: "Measured weather. Missing and doubtful values are left out, and told.", fields: fields}
}

// qualityShape is a column of codes beside a column of values.
func qualityShape() *shape {
	return mapping(&form{name: "a quality code", fields: []field{
		{key: "column", typ: columnText(), required: true, doc: "that holds the code"},
		{key: "good", typ: list(plainNumber(), 1), def: "0", doc: "codes of good values"},
	}})
}

// stationColumnForm is a signal from a station.
func stationColumnForm() *form {
	return &form{name: "a station's column over time", fields: []field{
		{key: "station", typ: text("a station's name", "hill"), required: true, doc: "one of the duty's stations"},
		{key: "column", typ: columnText(), required: true, doc: "its heading, with or without its unit, or its number from 1"},
		{key: "unit", typ: text("a unit", "degC"), def: "the heading's", doc: "of the numbers in the file"},
		{key: "quality", typ: qualityShape(), doc: "a column of codes beside that tells good values from doubtful ones"},
		{key: "mean over", typ: like(quantity(unit.Time, "1 s", "1 d"), "10 min"), def: "its rows as they are", doc: "means over this time, each held until the next: the integral stays, and the march stops less often"},
	}}
}

// beamShape is a direct normal irradiance over time.
func beamShape() *shape {
	beam := like(quantity(unit.HeatFlux, "0 W/m2", "2000 W/m2"), "850 W/m2")
	return either(append(signalOptions(beam), mapping(&form{name: "a clear sky's beam", fields: []field{
		{key: "clear sky", typ: word("ineichen-perez", "esra", "meinel"), required: true, doc: "the beam of each day under a clear sky, by the duty's starts and site, and by this published model"},
		{key: "turbidity", typ: like(quantity(unit.Dimensionless, "1", "10"), "3"), def: "3", doc: "Linke's factor at air mass 2: 2 very clear, 3 clear, 5 hazy; for ineichen-perez and esra, which were fitted from 2 to 6. meinel knows no haze"},
	}}))...).called("A beam over time", "Direct normal irradiance: a value over time in any of its forms, measured by a station too, or that of a clear sky (docs/physics/sun.md has the models' sources and limits). "+
		"Where starts and site are given, a beam while the sun is down is a mistake; up to 10 W/m2 of it are taken for the instrument's offset, and for zero.")
}

// tiltShape is the window's attitude over time.
func tiltShape() *shape {
	tilt := quantity(unit.Angle, "-90 deg", "90 deg")
	return either(append(signalOptions(tilt), mapping(&form{name: "a tilt that follows the sun", fields: []field{
		{key: "follows", typ: word("sun"), required: true, doc: "the dish looks at the sun, so that the window's outward normal points as far below the horizontal as the sun stands above it"},
		{key: "by night", typ: tilt, def: "0 deg, where the sun went down", doc: "while the sun is down"},
	}}))...).called("A tilt over time", "An angle over time in any of its forms, or that of a dish that follows the sun by the duty's starts and site.")
}
