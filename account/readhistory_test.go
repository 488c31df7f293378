package account

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"emberbank/history"
	"emberbank/internal/testkit"
)

func TestAWrittenHistoryIsReadBack(t *testing.T) {
	h := &history.History{Time: []float64{0, 60}, Columns: []history.Column{
		{Name: "core", Quantity: history.Temperature, Values: []float64{300, math.NaN()}},
		{Name: "tilt", Quantity: history.Angle, Values: []float64{0, math.Pi / 6}},
		{Name: "flow", Quantity: history.MassFlow, Values: []float64{0.001, 0.002}},
	}}
	var b bytes.Buffer
	if err := WriteCSV(&b, h); err != nil {
		t.Fatal(err)
	}
	back, err := ReadHistory(&b)
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range h.Columns {
		if got := back.Columns[i]; got.Name != c.Name || got.Quantity != c.Quantity || math.IsNaN(got.Values[1]) != math.IsNaN(c.Values[1]) {
			t.Errorf("%+v, want %+v", got, c)
		}
		testkit.Close(t, c.Name, back.Columns[i].Values[0], c.Values[0], 1e-9, 1e-6)
	}
	for _, text := range []string{"", "time [s],core [degC]\n", "a,b\n1,2\n", "time [s],core [degC]\n1\n"} {
		if _, err := ReadHistory(strings.NewReader(text)); err == nil {
			t.Errorf("%q is read", text)
		}
	}
}
