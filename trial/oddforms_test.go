package trial

import (
	"fmt"
	"strings"
	"testing"
)

// TestNamesOverUnitsInFixedColumnsAreFound: names that hold single blanks stand over a line of units, both to the right as the
// numbers are. Parted by blanks only the units would be headings, one like the other.
func TestNamesOverUnitsInFixedColumnsAreFound(t *testing.T) {
	text := "Enregistreur, donnees inventees\n\n" +
		fmt.Sprintf("%-10s%10s%10s%12s%10s\n", "Heure", "T avant", "T arriere", "Debit eau", "T local") +
		fmt.Sprintf("%-10s%10s%10s%12s%10s\n", "hh:mm:ss", "degC", "degC", "l/min", "degC")
	for k := range 60 {
		text += fmt.Sprintf("%-10s%10.1f%10.1f%12.3f%10.1f\n", fmt.Sprintf("%02d:%02d:00", 22+k/60, k%60), 20+float64(k), 19.5+0.9*float64(k), 0.0, 21.2)
	}
	g, found := Look(strings.NewReader(text), "a.txt")
	if g == nil {
		t.Fatalf("%+v", found)
	}
	var headings []string
	for _, c := range g.Columns {
		headings = append(headings, c.Heading)
		if strings.Contains(c.Why, "degC is a guess") {
			t.Errorf("%s: %s", c.Heading, c.Why)
		}
	}
	if got, want := strings.Join(headings, "; "), "T avant; T arriere; Debit eau; T local"; got != want {
		t.Errorf("headings %q, want %q", got, want)
	}
}

// TestMomentsThatCountsBeginAtAreRead: the forms that the pages name for counts of seconds and of days.
func TestMomentsThatCountsBeginAtAreRead(t *testing.T) {
	for _, c := range []struct {
		text  string
		unix  int64 // s
		zoned bool
	}{
		{"2026-03-14 09:30 +01:00", 1773477000, true},
		{"2026-03-14 09:30:00", 1773480600, false},
		{"1970-01-01 UTC", 0, true},
		{"1970-01-01 +02:00", -7200, true},
		{"1899-12-30", -25569 * 86400, false},
	} {
		at, zoned, ok := Moment(c.text)
		if !ok || zoned != c.zoned || at.Unix() != c.unix {
			t.Errorf("%q: %v at %d, zoned %v", c.text, ok, at.Unix(), zoned)
		}
	}
	for _, text := range []string{"", "UTC", "09:30", "1970-13-01 UTC", "1970-01-01 noon", "1850-01-01"} {
		if at, _, ok := Moment(text); ok {
			t.Errorf("%q is taken for %v", text, at)
		}
	}
}

// TestCellsPartedByVerticalBarsAreRead: also where bars stand around each row.
func TestCellsPartedByVerticalBarsAreRead(t *testing.T) {
	for _, around := range []string{"", "|"} {
		text := around + "t [s]|core [degC]|room [degC]" + around + "\n"
		for k := range 40 {
			text += around + fmt.Sprintf("%d|%.2f|%.1f", 10*k, 20+0.5*float64(k), 21.0) + around + "\n"
		}
		s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{channel(t, "core", "core", Body, "degC")}}}}
		r := read(t, s, text)
		if v := r.History.Columns[0].Values; len(v) != 40 || v[39] != 20+0.5*39+273.15 {
			t.Errorf("bars around %q: %d rows", around, len(v))
		}
	}
}

// TestRawSignalsAndGaugesAreDraftedAsLinesToFill: what a column in mV, V or mA measures nobody can guess, but how it is said
// stands in the draft; a gauge's pressure is not taken for an absolute one.
func TestRawSignalsAndGaugesAreDraftedAsLinesToFill(t *testing.T) {
	text := "t [s],TE 1 [mV],FT [mA],PT [V],p out [psi(g)],T room [degC],core [degC]\n"
	for k := range 60 {
		text += fmt.Sprintf("%d,%.3f,%.2f,%.2f,3.1,21.0,%d\n", 10*k, 0.8+0.01*float64(k), 4+0.1*float64(k), 1.5, 20+k)
	}
	g, found := Look(strings.NewReader(text), "a.txt")
	if g == nil {
		t.Fatalf("%+v", found)
	}
	want := map[string]string{
		"TE 1 [mV]": "signal: {couple: K, junction: …}", "FT [mA]": "points: [[4, …], [20, …]]", "PT [V]": "signal: {unit: V,",
		"p out [psi(g)]": "place: circuit main pressure, unit: psi, signal: {factor: 1, shift: …}",
	}
	for _, c := range g.Columns {
		w := want[c.Heading]
		if w != "" && (c.Place != "" || c.Hint == "" || !strings.Contains(c.Template, w)) || w == "" && c.Template != "" {
			t.Errorf("%s is drafted as %q with %q (%s)", c.Heading, c.Place, c.Template, c.Hint)
		}
		delete(want, c.Heading)
	}
	if len(want) > 0 {
		t.Errorf("not looked at: %v", want)
	}
}
