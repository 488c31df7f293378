package account

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/parquet-go/parquet-go"

	"emberbank/history"
	"emberbank/unit"
)

// madeVaried is an invented study of three variants, of which one failed.
func madeVaried() *Varied {
	return &Varied{
		Name:      "made up",
		Axes:      []VariedAxis{{Name: "wool", Dimension: unit.Length, Unit: "mm"}},
		Responses: []VariedResponse{{Name: "kept", Read: "block mean", Quantity: history.Temperature}, {Name: "lost", Read: "ledger lost", Quantity: history.Heat}},
		Variants: []Variant{
			{Key: "a", At: []float64{0.02}, Values: []float64{500.15, 1.5e6}, Meets: true, Cautions: []string{"hot surface"}},
			{Key: "b", At: []float64{0.04}, Failure: "=it cannot, by \"far\""},
			{Key: "c", At: []float64{0.08}, Values: []float64{math.NaN(), 2000}, Stopped: "cold"},
		},
		Constraints: []VariedConstraint{{Text: "kept at least 200 °C", Meet: 1, Words: "kept at least 200 °C: 1 of 3 variants meet it.", Above: 473.15, Below: math.Inf(1)}},
	}
}

func TestStudyStandsInTableTextAndJSONWithItsUnits(t *testing.T) {
	s := &memory{files: map[string][]byte{}, room: -1}
	if err := WriteStudy(s, madeVaried()); err != nil {
		t.Fatal(err)
	}
	const want = "variant [1],wool [mm],kept [degC],lost [J],meets the constraints,cautions,ended early,failure,key\n" +
		"1,20,227,1500000,yes,hot surface,,,a\n" +
		"2,40,,,no,,,\"'=it cannot, by \"\"far\"\"\",b\n" +
		"3,80,,2000,no,,cold,,c\n"
	if got := string(s.files["table.csv"]); got != want {
		t.Errorf("the table is\n%s", got)
	}
	f, err := parquet.OpenFile(bytes.NewReader(s.files["table.parquet"]), int64(len(s.files["table.parquet"])))
	if err != nil {
		t.Fatal(err)
	}
	for heading, want := range map[string]string{"wool [mm]": "mm", "kept [degC]": "degC", "variant [1]": "1"} {
		if unit, _ := f.Lookup("unit:" + heading); unit != want {
			t.Errorf("the unit of %q is %q in the metadata of table.parquet", heading, unit)
		}
	}
	text := string(s.files["report.txt"])
	for _, part := range []string{"1 of 3 variants have no results:\n  variant 2: =it cannot", "227\u00a0°C", "1.5\u00a0MJ", "2\u00a0kJ", "3 *", "Caution: 1 of 3 variants warns (hot surface)", "licensed practice"} {
		if !strings.Contains(text, part) {
			t.Errorf("the report lacks %q:\n%s", part, text)
		}
	}
	for _, part := range []string{`"unit": "mm"`, `"answers": []`, `"ended_early": "cold"`, "null"} {
		if !strings.Contains(string(s.files["study.json"]), part) {
			t.Errorf("study.json lacks %s:\n%s", part, s.files["study.json"])
		}
	}
	for _, l := range strings.Split(text, "\n") {
		if len([]rune(l)) > 80 {
			t.Errorf("a line is too wide: %s", l)
		}
	}
}

// TestResponsesStandInTheListHoweverManyInputsThereAre: they are what is asked for; the inputs left out are counted.
func TestResponsesStandInTheListHoweverManyInputsThereAre(t *testing.T) {
	v := madeVaried()
	v.Kind = "sample"
	for _, name := range []string{"medium[mineral-wool].conductivity", "receiver.surfaces.back.film", "medium[mineral-wool].density"} {
		v.Axes = append(v.Axes, VariedAxis{Name: name, Dimension: unit.Dimensionless})
	}
	for i := range v.Variants {
		v.Variants[i].At = append(v.Variants[i].At, 1.0123, 0.98765, 1.1111)
	}
	for len(v.Variants) <= rowsInText {
		v.Variants = append(v.Variants, v.Variants[0])
	}
	lines := func() []string {
		var b strings.Builder
		if err := StudyText(&b, v); err != nil {
			t.Fatal(err)
		}
		return strings.Split(b.String(), "\n")
	}
	said := lines()
	for _, want := range []string{"variant  wool   medium[mineral-wool].conductivity  kept    lost", "and 1 more, and 2 inputs of each, in table.csv"} {
		if !slices.Contains(said, want) {
			t.Errorf("no line is %q:\n%s", want, strings.Join(said, "\n"))
		}
	}
	v.Responses[0].Name = strings.Repeat("kept ", 13)
	v.Responses[1].Name = strings.Repeat("lost ", 13)
	if said := lines(); !slices.Contains(said, "and 1 more, and 4 inputs and 1 response of each, in table.csv") {
		t.Errorf("it does not count what it leaves out:\n%s", strings.Join(said, "\n"))
	}
}

func TestAmountsTakeThePrefixThatFits(t *testing.T) {
	for _, one := range []struct {
		q          history.Quantity
		v          float64
		difference bool
		want       string
	}{
		{history.Heat, 999, false, "999 J"},
		{history.Heat, -1234567, false, "-1.235 MJ"},
		{history.HeatFlow, 2600, false, "2.6 kW"},
		{history.Heat, 5e13, false, "5e+04 GJ"},
		{history.Temperature, 373.15, false, "100 °C"},
		{history.Temperature, 1.5, true, "1.5 K"},
		{history.Fraction, 0.25, false, "0.25"},
	} {
		if got := strings.ReplaceAll(Amount(one.q, one.v, one.difference), "\u00a0", " "); got != one.want {
			t.Errorf("%g is %q, want %q", one.v, got, one.want)
		}
	}
}
