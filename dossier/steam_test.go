package dossier

import (
	"strings"
	"testing"
	"unicode"

	"emberbank/heat"
	"emberbank/history"
)

// Two circuits with 1 and 2 kg/h over the second of two half hours, rising evenly over the first: 0.75 + 1.5 kg.
func TestSteamIsSummedOverCircuits(t *testing.T) {
	const kgPerHour = 1.0 / 3600
	r := &heat.Result{History: history.History{Time: []float64{0, 1800, 3600}, Columns: []history.Column{
		{Name: "circuit a steam", Quantity: history.MassFlow, Values: []float64{0, 1 * kgPerHour, 1 * kgPerHour}},
		{Name: "circuit b steam", Quantity: history.MassFlow, Values: []float64{0, 2 * kgPerHour, 2 * kgPerHour}},
		{Name: "circuit b flow", Quantity: history.MassFlow, Values: []float64{1, 1, 1}},
	}}}
	p := &page{}
	p.steam(r)
	said := strings.Join(strings.FieldsFunc(p.b.String(), unicode.IsSpace), " ")
	if want := "About 2.25 kg leave as steam: 3 kg/h at the most, after 30 min, and 3 kg/h at last."; said != want {
		t.Errorf("it says %q, want %q", said, want)
	}
	for i := range 2 { // a kettle that has run dry: a wisp that fades
		r.History.Columns[i].Values = []float64{0, 0.02 * kgPerHour, 1e-12 * kgPerHour}
	}
	p = &page{}
	p.steam(r)
	said = strings.Join(strings.FieldsFunc(p.b.String(), unicode.IsSpace), " ")
	if want := "About 0.02 kg leave as steam: 0.04 kg/h at the most, after 30 min, and none at last."; said != want {
		t.Errorf("it says %q, want %q", said, want)
	}
	r.History.Columns = r.History.Columns[2:]
	p = &page{}
	if p.steam(r); p.b.String() != "" {
		t.Errorf("without steam it says %q", p.b.String())
	}
}
