package account

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode"

	"emberbank/heat"
	"emberbank/history"
)

// Two circuits with 1 and 2 kg/h at last. How much left in all is the run's account, not a sum over rows, between which a tube
// may boil dry.
func TestSteamIsSummedOverCircuits(t *testing.T) {
	const kgPerHour = 1.0 / 3600
	r := &heat.Result{History: history.History{Time: []float64{0, 1800, 3600}, Columns: []history.Column{
		{Name: "circuit a steam", Quantity: history.MassFlow, Values: []float64{0, 1 * kgPerHour, 1 * kgPerHour}},
		{Name: "circuit b steam", Quantity: history.MassFlow, Values: []float64{0, 2 * kgPerHour, 2 * kgPerHour}},
		{Name: "circuit b flow", Quantity: history.MassFlow, Values: []float64{1, 1, 1}},
	}}, Left: []heat.Left{{Circuit: "a", Water: 1, Steam: 0.8}, {Circuit: "b", Water: 2, Steam: 1.5}}}
	p := &page{}
	p.steam(r)
	said := strings.Join(strings.FieldsFunc(p.b.String(), unicode.IsSpace), " ")
	if want := "2.3 kg of water leave as steam: 3 kg/h at the most, after 30 min, and 3 kg/h at last."; said != want {
		t.Errorf("it says %q, want %q", said, want)
	}
	for i := range 2 { // a kettle that has run dry: a wisp that fades
		r.History.Columns[i].Values = []float64{0, 0.02 * kgPerHour, 1e-12 * kgPerHour}
	}
	r.Left = []heat.Left{{Circuit: "a", Steam: 0.0439}}
	p = &page{}
	p.steam(r)
	said = strings.Join(strings.FieldsFunc(p.b.String(), unicode.IsSpace), " ")
	if want := "0.0439 kg of water leave as steam: 0.04 kg/h at the most, after 30 min, and none at last."; said != want {
		t.Errorf("it says %q, want %q", said, want)
	}
	r.History.Columns = r.History.Columns[2:]
	p = &page{}
	p.steam(r)
	said = strings.Join(strings.FieldsFunc(p.b.String(), unicode.IsSpace), " ")
	if want := "0.0439 kg of water leave as steam."; said != want { // all of it between two rows
		t.Errorf("it says %q, want %q", said, want)
	}
	r.Left = nil
	p = &page{}
	if p.steam(r); p.b.String() != "" {
		t.Errorf("without steam it says %q", p.b.String())
	}
}

// The caution stands with the numbers of what leaves, and of what is trapped.
func TestCautionsOfWaterStandWhereTheirNumbersStand(t *testing.T) {
	r := made()
	r.Left = []heat.Left{{Circuit: "main", Water: 2, Steam: 1.5}}
	r.Stopped = "the closed circuit main passes 220 bar"
	text := func(kinds ...string) string {
		r.Cautions = nil
		for _, k := range kinds {
			r.Cautions = append(r.Cautions, heat.Caution{Kind: k, Place: "circuit main", Value: 1, Text: "A danger."})
		}
		var b strings.Builder
		if err := Text(&b, r, info(), ""); err != nil {
			t.Fatal(err)
		}
		return strings.Join(strings.Fields(b.String()), " ")
	}
	for _, c := range []struct{ kind, want string }{
		{heat.KindSteam, "1.5 kg of water leave as steam. ! Steam scalds"},
		{heat.KindHotOutlet, "1.5 kg of water leave as steam. ! Let into the open, part of this water is steam at once"},
		{heat.KindFull, "passes 220 bar. ! Water trapped in a hot block bursts tubes: see the cautions."},
	} {
		if s := text(c.kind); !strings.Contains(s, c.want) {
			t.Errorf("with a caution of %s the text lacks %q:\n%s", c.kind, c.want, s)
		}
	}
	if s := text(); strings.Contains(s, "!") {
		t.Errorf("without cautions it says:\n%s", s)
	}
}

func TestSummaryListsWaterAndSteamThatLeft(t *testing.T) {
	r := made()
	r.Left = []heat.Left{{Circuit: "main", Water: 2, Steam: 1.5}}
	read := func() (s struct {
		Left []map[string]any `json:"left"`
	},
	) {
		m := &memory{files: map[string][]byte{}, room: -1}
		if err := Write(m, r, info()); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(m.files["summary.json"], &s); err != nil {
			t.Fatal(err)
		}
		return s
	}
	if l := read().Left; len(l) != 1 || l[0]["circuit"] != "main" || l[0]["water_kg"] != 2.0 || l[0]["steam_kg"] != 1.5 {
		t.Errorf("left: %v", l)
	}
	r.Ledger.Steady = true
	if l := read().Left; l != nil {
		t.Errorf("a steady state has left: %v", l)
	}
}
