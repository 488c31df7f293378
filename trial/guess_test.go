package trial

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"
)

// namesOf are ways of heading the columns of a bench, one row a logger's owner.
var namesOf = []map[string]string{
	{
		"front": "T front", "core": "T core", "back": "T back", "jacket": "T jacket", "circuit main inlet": "T inlet", "circuit main outlet": "T outlet",
		"circuit main flow": "Flow", "ambient": "T ambient", "lamp power": "Lamp power", "irradiance": "Irradiance", "wind": "Wind", "circuit main pressure": "Pressure",
	},
	{
		"front": "T1", "core": "T2", "back": "T3", "jacket": "T4", "circuit main inlet": "Tin", "circuit main outlet": "Tout",
		"circuit main flow": "mdot", "ambient": "Tamb", "lamp power": "P_lamp", "irradiance": "POA", "wind": "WS", "circuit main pressure": "p_water",
	},
	{
		"front": "Block vorne", "core": "Block Mitte", "back": "Block hinten", "jacket": "Mantel", "circuit main inlet": "Eintritt", "circuit main outlet": "Austritt",
		"circuit main flow": "Durchfluss", "ambient": "Umgebung", "lamp power": "Lampe", "irradiance": "Einstrahlung", "wind": "Wind", "circuit main pressure": "Druck",
	},
	{
		"front": "TC_01", "core": "TC_02", "back": "TC_03", "jacket": "TC_04", "circuit main inlet": "T_entree", "circuit main outlet": "T_sortie",
		"circuit main flow": "debit", "ambient": "T_ambiante", "lamp power": "Lampe", "irradiance": "rayonnement", "wind": "vent", "circuit main pressure": "pression",
	},
	{
		"front": "Tabs1", "core": "Tabs2", "back": "Tabs3", "jacket": "Piel", "circuit main inlet": "Entrada", "circuit main outlet": "Salida",
		"circuit main flow": "Caudal", "ambient": "Ambiente", "lamp power": "Potencia lampara", "irradiance": "DNI", "wind": "Viento", "circuit main pressure": "Presion",
	},
	{}, // nothing: Ch1, Ch2, …
}

var roleOf = map[string]Role{
	"front": Body, "core": Body, "back": Body, "jacket": Body, "circuit main inlet": Inlet, "circuit main outlet": Outlet, "circuit main flow": Flow,
	"ambient": Ambient, "lamp power": LampPower, "irradiance": Irradiance, "wind": Wind, "circuit main pressure": PressureAt,
}

// guessFile makes the n-th made-up file: another owner, another layout, other channels, with headings exchanged or
// without meaning in some. It returns the text and the truth by column number.
func guessFile(n int, seed uint64) (text string, truth map[int]toyColumn, told string) {
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	p := somePlan(rng)
	y := runToy(p, rng)
	f := &toyFile{every: float64(5 + 5*rng.IntN(3)), start: time.Date(2026, 3, 1+rng.IntN(20), 8, 0, 0, 0, time.UTC)}
	forms := []struct{ sep, decimal string }{{",", "."}, {";", ","}, {"\t", "."}, {";", "."}, {"\t", ","}, {"  ", "."}}
	form := forms[rng.IntN(len(forms))]
	f.sep, f.decimal = form.sep, form.decimal
	f.clock = []string{"iso", "dotted", "elapsed", "split", "doy"}[rng.IntN(5)]
	if f.sep == "  " {
		f.clock = []string{"elapsed", "doy"}[rng.IntN(2)]
	}
	f.unitsRow = rng.IntN(3) == 0
	for range rng.IntN(4) {
		f.preamble = append(f.preamble, "made-up logger of a bakery bench")
	}
	names := namesOf[n%len(namesOf)]
	temp := []string{"degC", "°C", "°F", "C"}[rng.IntN(4)]
	flow := []string{"l/min", "l/h", "kg/h", "m3/h", "gal/min"}[rng.IntN(5)]
	add := func(place, unit string, noise float64, round int) {
		heading, ok := names[place]
		if !ok {
			heading = fmt.Sprintf("Ch%d", len(f.columns)+1)
		}
		if f.sep == "  " {
			heading = strings.ReplaceAll(heading, " ", "_")
		}
		f.columns = append(f.columns, toyColumn{place, heading, unit, noise, round, 0.3 * rng.NormFloat64()})
		if place != "front" && place != "core" && place != "back" && place != "ambient" && place[0] != 'c' {
			f.columns[len(f.columns)-1].bias = 0
		}
	}
	noise := 0.03 + 0.15*rng.Float64()
	add("core", temp, noise, 2)
	if rng.IntN(2) == 0 {
		add("front", temp, noise, 1)
	}
	if rng.IntN(2) == 0 {
		add("back", temp, noise, 1)
	}
	if rng.IntN(2) == 0 {
		add("jacket", temp, noise, 1)
	}
	add("circuit main inlet", temp, noise/2, 2)
	add("circuit main outlet", temp, noise/2, 2)
	if rng.IntN(6) > 0 {
		add("circuit main flow", flow, 0.004, 4)
	}
	if rng.IntN(5) > 0 {
		add("ambient", temp, noise/2, 2)
	}
	if p.sun {
		add("irradiance", "W/m2", 2, 1)
		add("wind", "m/s", 0.1, 2)
	} else {
		add("lamp power", []string{"W", "kW"}[rng.IntN(2)], 0.002, 3)
	}
	if rng.IntN(3) == 0 {
		add("circuit main pressure", "bar", 0.002, 3)
	}
	for i := range f.columns {
		c := &f.columns[i]
		if c.place == "circuit main flow" || c.place == "lamp power" || c.place == "circuit main pressure" {
			c.bias = 0
		}
	}
	told = names["core"]
	index := func(place string) int {
		for i := range f.columns {
			if f.columns[i].place == place {
				return i
			}
		}
		return -1
	}
	exchange := func(a, b string) {
		i, j := index(a), index(b)
		if i >= 0 && j >= 0 {
			f.columns[i].heading, f.columns[j].heading = f.columns[j].heading, f.columns[i].heading
			told += fmt.Sprintf(", %s and %s exchanged", a, b)
		}
	}
	switch n % 7 {
	case 1, 4:
		exchange("circuit main inlet", "circuit main outlet")
	case 2:
		exchange("circuit main inlet", "ambient")
	case 3:
		exchange("core", "circuit main outlet")
	case 5:
		exchange("ambient", "circuit main outlet")
	}
	rng.Shuffle(len(f.columns), func(i, j int) { f.columns[i], f.columns[j] = f.columns[j], f.columns[i] })
	text = f.write(y, rng)
	first := map[string]int{"elapsed": 2, "iso": 2, "dotted": 2, "split": 3, "doy": 4}[f.clock]
	truth = map[int]toyColumn{}
	for i, c := range f.columns {
		truth[first+i] = c
	}
	return text, truth, told
}

// TestGuessesCalledSureAreRight makes twenty made-up files, with headings exchanged or without meaning, and counts how
// many of the guesses that are called sure are right: 98 % at least. So that this is no empty claim, a third of all
// columns must be called sure, and of all guesses three quarters be right.
func TestGuessesCalledSureAreRight(t *testing.T) { countGuesses(t, 20, 2026) }

// TestGuessesHoldOnManyMoreFiles draws a hundred others.
func TestGuessesHoldOnManyMoreFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	countGuesses(t, 100, 4711)
}

func countGuesses(t *testing.T, files int, seed uint64) {
	sure, sureRight, all, right, sureUnit := 0, 0, 0, 0, 0
	for n := range files {
		text, truth, told := guessFile(n, seed)
		g, found := Look(strings.NewReader(text), "a.csv")
		if g == nil {
			t.Errorf("file %d (%s) cannot be read: %+v\n%s", n, told, found, text[:500])
			continue
		}
		for _, c := range g.Columns {
			want, ok := truth[c.Number]
			if !ok {
				t.Errorf("file %d: column %d is of the clock, and is guessed as %+v", n, c.Number, c)
				continue
			}
			all++
			role := roleOf[want.place]
			if want.place == "irradiance" && c.Place == "direct normal" { // so headed by its owner
				role = Other
			}
			good := c.Role == role && c.Place != ""
			if good {
				right++
			}
			if c.Sure != Sure {
				continue
			}
			sure++
			if c.Unit == "" {
				sureUnit++
			}
			if good {
				sureRight++
			} else {
				t.Logf("file %d (%s): column %d is %s, headed %q, and is called surely %q: %s", n, told, c.Number, want.place, c.Heading, c.Place, c.Why)
			}
		}
	}
	t.Logf("%d columns, %d right; %d called sure, %d of them right", all, right, sure, sureRight)
	if float64(sureRight) < 0.98*float64(sure) {
		t.Errorf("of %d guesses called sure %d are right: less than 98 %%", sure, sureRight)
	}
	if 3*sure < all {
		t.Errorf("only %d of %d guesses are called sure", sure, all)
	}
	if 4*right < 3*all {
		t.Errorf("only %d of %d guesses are right", right, all)
	}
}

func TestRealFilesAreGuessed(t *testing.T) {
	for name, want := range map[string]struct {
		clock ClockKind
		rows  int
	}{"station-day-2016-01-01.dat": {Parts, 1440}, "two-heater-bench.csv": {Elapsed, 201}} {
		raw, err := os.ReadFile("testdata/" + name)
		if err != nil {
			t.Fatal(err)
		}
		g, found := Look(strings.NewReader(string(raw)), name)
		if g == nil {
			t.Errorf("%s: %+v", name, found)
			continue
		}
		if want.clock == Parts && (g.Clock.Hour.Number != 5 || g.Clock.Minute.Number != 6 || g.Interval != 60) {
			t.Errorf("%s: the clock is taken as %+v", name, g.Clock)
		}
		if g.Clock.Kind != want.clock || g.Rows != want.rows {
			t.Errorf("%s: clock of kind %d, %d rows: %s", name, g.Clock.Kind, g.Rows, g.ClockHow)
		}
		for _, c := range g.Columns {
			if c.Sure == Sure {
				t.Errorf("%s: column %d %q is called surely %q: nothing there says so twice", name, c.Number, c.Heading, c.Place)
			}
		}
	}
}

func TestNoWordHasTwoMeanings(t *testing.T) {
	seen := map[string]int{}
	for m, text := range vocabulary {
		for _, w := range strings.Fields(text) {
			if other, twice := seen[w]; twice && other != m {
				t.Errorf("%q has two meanings", w)
			}
			seen[w] = m
		}
	}
}

// TestSeveralCircuitsAreToldApartAndNothingOfThemIsSure: two outlets whose headings name their circuits, one flow that
// is a raw voltage.
func TestSeveralCircuitsAreToldApartAndNothingOfThemIsSure(t *testing.T) {
	var b strings.Builder
	b.WriteString("t [s],core [degC],In [degC],OutV [degC],OutR [degC],FV [V],FR [l/min]\n")
	for i := range 300 {
		hot, flow, volts, out := 20+1.5*float64(i), 0.0, 0.0, 20.0
		if i >= 150 {
			hot, flow, volts, out = 395-float64(i), 4, 2, 15+0.2*(395-float64(i))
		}
		fmt.Fprintf(&b, "%d,%.2f,%.2f,%.2f,%.2f,%.3f,%.2f\n", 10*i, hot, 15+0.01*float64(i%7), out, out-2, volts, flow)
	}
	g, found := Look(strings.NewReader(b.String()), "a.csv")
	if g == nil {
		t.Fatalf("%+v", found)
	}
	want := map[int]string{3: "circuit v inlet", 4: "circuit v outlet", 5: "circuit r outlet", 6: "", 7: "circuit r flow"}
	for _, c := range g.Columns {
		if place, ok := want[c.Number]; ok && (c.Place != place || c.Sure == Sure) {
			t.Errorf("column %d, %s, is %s %q, want %q, and not sure: %s", c.Number, c.Heading, c.Sure, c.Place, place, c.Why)
		}
	}
	// Headings that do not pair leave one circuit, of which nothing is sure.
	text := strings.Replace(b.String(), "OutV [degC],OutR [degC],FV [V],FR [l/min]", "Out [degC],back [degC],FV [V],Flow [l/min]", 1)
	if g, _ = Look(strings.NewReader(text), "a.csv"); g == nil {
		t.Fatal("it cannot be read")
	}
	for _, c := range g.Columns {
		if (c.Role == Flow || c.Role == Outlet || c.Role == Inlet) && c.Sure == Sure {
			t.Errorf("%s is called sure beside a raw signal of which nobody knows what it is: %s", c.Heading, c.Why)
		}
	}
}

// TestSupplyAndReturnAreToldByTheirCourse: which of Vorlauf and Rücklauf is the inlet is not in the words.
func TestSupplyAndReturnAreToldByTheirCourse(t *testing.T) {
	for _, exchanged := range []bool{false, true} {
		text := "Zeit;Vorlauf °C;Rücklauf °C;Durchfluss l/min\n"
		if exchanged {
			text = "Zeit;Rücklauf °C;Vorlauf °C;Durchfluss l/min\n"
		}
		for i := range 120 {
			flow, out := 0.02, 20.0
			if i >= 60 {
				flow, out = 4, 40-0.1*float64(i)
			}
			text += strings.ReplaceAll(fmt.Sprintf("2026-04-06 07:%02d:%02d;%.2f;%.2f;%.2f\n", i/6, i%6*10, 15.0, out, flow), ".", ",")
		}
		g, found := Look(strings.NewReader(text), "a.csv")
		if g == nil {
			t.Fatalf("%+v", found)
		}
		for i, role := range []Role{Inlet, Outlet, Flow} {
			if len(g.Columns) != 3 || g.Columns[i].Role != role {
				t.Errorf("column %d of %q is no %s: %+v", i+2, text[:40], role, g.Columns)
			}
		}
	}
}

// TestOneHeadingOverDateAndTimeOfDayKeepsTheOthers reads columns of fixed width under such headings.
func TestOneHeadingOverDateAndTimeOfDayKeepsTheOthers(t *testing.T) {
	for name, head := range map[string]string{
		"single words": "Zeit                  Tvorn[C]  Lampe[W]",
		"wide blanks":  "Zeit                  T vorn [C]  Lampe [W]",
		"several":      "Zeit                T vorn [C] Lampe [W]",
	} {
		text := "made up\n" + head + "\n"
		for i := range 30 {
			text += fmt.Sprintf("2026-04-06 09:%02d:%02d %10.2f%10.1f\n", i/6, i%6*10, 20+float64(i), 3000+float64(i))
		}
		g, found := Look(strings.NewReader(text), "a.txt")
		if g == nil {
			t.Fatalf("%s: %+v", name, found)
		}
		roles := map[Role]bool{}
		for _, c := range g.Columns {
			roles[c.Role] = c.Heading != ""
		}
		if !roles[Body] || !roles[LampPower] || g.Clock.Kind != DateTime || g.Interval != 10 {
			t.Errorf("%s: the headings are lost: %+v", name, g)
		}
	}
}

func TestUnitsStandWithoutBrackets(t *testing.T) {
	for heading, want := range map[string][2]string{
		"Durchfluss vorn l/min": {"Durchfluss vorn", "l/min"}, "flow_l/min": {"flow", "l/min"}, "Vorlauf °C": {"Vorlauf", "°C"}, "T_core": {"T_core", ""},
		"GHI W/m2": {"GHI", "W/m2"}, "T in": {"T in", ""}, "flow / l/min": {"flow", "l/min"}, "T deg C": {"T", "deg C"},
	} {
		if name, u := splitHeading(heading); name != want[0] || u != want[1] {
			t.Errorf("%q is %q in %q, want %q in %q", heading, name, u, want[0], want[1])
		}
	}
}
