package bench

import (
	"sync"

	"emberbank/unit"
)

// Shapes that several forms use.

func lengthAlong() *shape { return quantity(unit.Length, "-20 m", "20 m") }
func thickness() *shape   { return quantity(unit.Length, "0.1 mm", "2 m") }
func temperature() *shape { return quantity(unit.Temperature, "0 K", "3000 degC") }
func moment() *shape      { return like(quantity(unit.Time, "0 s", "40000 d"), "2 h") }
func share() *shape       { return quantity(unit.Dimensionless, "0", "1") }
func nameText() *shape    { return text("a name", "core") }

func outdoors() *shape { return like(quantity(unit.Temperature, "-90 degC", "100 degC"), "20 degC") }

// signalOptions are the ways of giving a value over time.
func signalOptions(s *shape) []*shape {
	pair := tuple(moment(), s)
	every := field{key: "every", typ: like(above(unit.Time, "0 s", "40000 d"), "1 d"), def: "it does not repeat", doc: "after which it begins anew, at its time 0"}
	return []*shape{
		s,
		mapping(&form{name: "a table over time", fields: []field{
			{key: "table", typ: list(pair, 1), required: true, doc: "pairs of time and value, straight lines between; before the first and after the last pair the value stays"},
			every,
		}}),
		mapping(&form{name: "steps over time", fields: []field{
			{key: "steps", typ: list(pair, 1), required: true, doc: "pairs of time and value, each held until the next"},
			every,
		}}),
		mapping(&form{name: "a file of values over time", fields: []field{
			{key: "file", typ: text("a file name", "weather.csv"), required: true, doc: "a CSV table, relative to this file"},
			{key: "column", typ: text("a column's heading", "ambient [degC]"), required: true, doc: "the heading of the column, its unit in brackets"},
			{key: "time", typ: text("a column's heading", "time [s]"), def: "time [s]", doc: "the heading of the column of times"},
			{key: "between", typ: word("lines", "steps"), def: "lines", doc: "straight lines between rows, or each row held until the next"},
			every,
		}}),
		later("a station's column over time", stationColumnForm),
	}
}

// signalShape is a value over time.
func signalShape(s *shape) *shape {
	return either(signalOptions(s)...).called("A value over time", "A constant (\"20 degC\"), a table with straight lines between, steps, a column of a CSV file, or a column of a station's file. "+
		"Two rows at the same time make a jump. With `every: 1 d` what is not constant repeats each day.")
}

// curveOptions are the ways of giving a property over temperature.
func curveOptions(s *shape) []*shape {
	return []*shape{
		s,
		mapping(&form{name: "points", fields: []field{
			{key: "points", typ: list(tuple(temperature(), s), 1), required: true, doc: "pairs of temperature and value, straight lines between"},
			{key: "outside", typ: word("hold"), doc: "\"hold\": keep the end values outside without a warning; without it they are kept with a warning"},
		}}),
		mapping(&form{name: "a polynomial", fields: []field{
			{key: "polynomial", typ: list(like(quantity(unit.Dimensionless, "", ""), "900"), 1), required: true, doc: "coefficients of 1, T, T², …, each a plain number"},
			{key: "of", typ: word("degC", "K"), def: "degC", doc: "whether T counts in degC or in K"},
			{key: "unit", typ: text("a unit", s.dim.SI()), required: true, doc: "unit of the polynomial's value"},
			{key: "from", typ: temperature(), def: "no limit", doc: "lower end of the range in which it holds"},
			{key: "to", typ: temperature(), def: "no limit", doc: "upper end of the range"},
			{key: "outside", typ: word("hold"), doc: "as for points"},
		}}),
	}
}

func curveShape(s *shape) *shape {
	return either(curveOptions(s)...).called("A property over temperature",
		"A constant, points, or a polynomial. A conductivity may also be given by direction: {depth: …, width: …, height: …}, each in one of these forms.")
}

func conductivityShape() *shape {
	one := above(unit.Conductivity, "0 W/(m K)", "5000 W/(m K)")
	dir := curveShape(one)
	options := append(curveOptions(one), mapping(&form{name: "conductivity by direction", fields: []field{
		{key: "depth", typ: dir, required: true, doc: "from the window inwards"},
		{key: "width", typ: dir, required: true, doc: "across"},
		{key: "height", typ: dir, required: true, doc: "up"},
	}}))
	return either(options...).called("A property over temperature", "")
}

func heatCapacityShape() *shape {
	return curveShape(above(unit.HeatCapacity, "0 J/(kg K)", "20000 J/(kg K)"))
}

func filmValue() *shape { return quantity(unit.HeatTransfer, "0 W/(m2 K)", "1e6 W/(m2 K)") }

func placeShape() *form {
	return &form{name: "a place", doc: "Coordinates from the block's corner at the window face, low in width and height.", fields: []field{
		{key: "depth", typ: lengthAlong(), required: true, doc: "from the window inwards"},
		{key: "width", typ: lengthAlong(), required: true, doc: "across"},
		{key: "height", typ: lengthAlong(), required: true, doc: "up"},
	}}
}

func spanShape() *shape { return tuple(lengthAlong(), lengthAlong()) }

// boxFields are the three spans of a box.
func boxFields() []field {
	return []field{
		{key: "depth", typ: spanShape(), required: true, doc: "from and to, in the receiver's coordinates"},
		{key: "width", typ: spanShape(), required: true, doc: "from and to"},
		{key: "height", typ: spanShape(), required: true, doc: "from and to"},
	}
}

func schemaFields(kind string) []field {
	return []field{
		{key: "schema", typ: word(Version), required: true, doc: "the form that the file follows; its first line"},
		{key: "kind", typ: word(kind), required: true, doc: "what the file describes; its second line"},
	}
}

// fileForm is the form of the files of a kind. It is laid when it is first asked for: a command reads few kinds.
type fileForm struct {
	kind string
	laid func() *form
}

// withHeader makes the form of a whole file from that of its content.
func withHeader(kind string, content func() *form) fileForm {
	return fileForm{kind, sync.OnceValue(func() *form {
		c := content()
		return &form{name: kind, doc: c.doc, fields: append(schemaFields(kind), c.fields...)}
	})}
}

// The forms of whole files, in the order of the docs.
var (
	receiverContent = sync.OnceValue(receiverFields)
	dutyContent     = sync.OnceValue(dutyFields)
	receiverForm    = withHeader("receiver", receiverContent)
	dutyForm        = withHeader("duty", dutyContent)
	runForm         = withHeader("run", func() *form { return runFields(receiverContent(), dutyContent()) })
	benchForm       = withHeader("bench", benchFields)
	materialForm    = withHeader("material", materialFileFields)
	trialForm       = withHeader("trial", trialFields)
	matchForm       = withHeader("match", matchFields)
	planForm        = withHeader("plan", planFields)
	studyForm       = withHeader("study", studyFields)
	lightFileForm   = withHeader("light", lightFields)
	seasonForm      = withHeader("season", seasonFields)
	dossierForm     = withHeader("dossier", dossierFields)
	fileForms       = []fileForm{receiverForm, dutyForm, runForm, benchForm, materialForm, trialForm, matchForm, planForm, studyForm, lightFileForm, seasonForm, dossierForm}
)
