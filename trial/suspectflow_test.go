package trial

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"emberbank/history"
)

// twoCircuits reads a made-up trial whose water goes through two circuits, a share of it through each, with every column
// written and read in the unit given by its place, "written/read" where the two differ.
func twoCircuits(t *testing.T, p toyPlan, seed uint64, share float64, known bool, units map[string]string) []Finding {
	t.Helper()
	return twoCircuitsFrom(t, p, seed, share, known, units, 0)
}

// twoCircuitsFrom has meters that read from a least flow on, in kg/s or, of volumes, as litres a second.
func twoCircuitsFrom(t *testing.T, p toyPlan, seed uint64, share float64, known bool, units map[string]string, least float64) []Finding {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 17))
	y := runToy(p, rng)
	whole := y.col["circuit main flow"]
	y.col["circuit main flow"], y.col["circuit other flow"] = make([]float64, len(whole)), make([]float64, len(whole))
	for k, v := range whole {
		y.col["circuit main flow"][k], y.col["circuit other flow"][k] = share*v, (1-share)*v
	}
	cols := append(usualColumns(), toyColumn{"circuit other inlet", "T in 2", "degC", 0.05, 2, 0}, toyColumn{"circuit other outlet", "T out 2", "degC", 0.05, 2, -0.1},
		toyColumn{"circuit other flow", "flow 2", "l/min", 0.01, 3, 0})
	y.col["circuit other inlet"], y.col["circuit other outlet"] = y.col["circuit main inlet"], y.col["circuit main outlet"]
	roles := map[string]Role{"inlet": Inlet, "outlet": Outlet, "flow": Flow, "ambient": Ambient, "power": LampPower, "front": Body, "core": Body, "back": Body}
	var ch []Channel
	for i := range cols {
		c := &cols[i]
		unitRead := c.unit
		if u := units[c.place]; u != "" {
			c.unit, unitRead, _ = strings.Cut(u, "|")
			c.round = 5
		}
		one := channel(t, i+2, c.place, roles[c.place[strings.LastIndex(c.place, " ")+1:]], unitRead)
		if w := strings.Fields(c.place); w[0] == "circuit" {
			one.Of = w[1]
		}
		if one.Role == Flow {
			one.Least = least
		}
		ch = append(ch, one)
	}
	f := &toyFile{sep: ",", decimal: ".", clock: "iso", every: 10, start: time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC), columns: cols}
	k := Known{}
	if known {
		k = stored(p)
	}
	return Suspect(read(t, &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: ch}}}, f.write(y, rng)), k)
}

func TestWrongUnitsAmongTwoCircuitsAreNamedWithTheirChannel(t *testing.T) {
	water := func(unit string) map[string]string {
		m := map[string]string{}
		for _, of := range []string{"main", "other"} {
			m["circuit "+of+" inlet"], m["circuit "+of+" outlet"] = unit, unit
		}
		return m
	}
	flows := func(unit string) map[string]string {
		return map[string]string{"circuit main flow": unit, "circuit other flow": unit}
	}
	for _, c := range []struct {
		name      string
		units     map[string]string
		says, fix string
		found     int // findings
	}{
		{"all is right", nil, "", "", 0},
		{"all is right, water in degF, flows in l/h and kg/s", map[string]string{
			"circuit main inlet": "degF|degF", "circuit main outlet": "degF|degF", "circuit main flow": "l/h|l/h", "circuit other flow": "kg/s|kg/s",
		}, "", "", 0},
		{"one flow in l/min read as kg/s", map[string]string{"circuit other flow": "l/min|kg/s"}, "in circuit other: circuit other flow may be read in the wrong unit, kg/s", "is the unit of circuit other flow l/min", 1},
		{"one flow in l/h read as l/min", map[string]string{"circuit main flow": "l/h|l/min"}, "in circuit main: circuit main flow may be read in the wrong unit, l/min", "is the unit of circuit main flow l/h", 1},
		{"both flows in l/h read as l/min", flows("l/h|l/min"), "may be read in the wrong unit", "is the unit of all flows l/h", 1},
		{"all water in degF read as degC", water("degF|degC"), "while the water stands", "is its unit degF", 4},
		{"all water in degC read as degF", water("degC|degF"), "while the water stands", "is its unit degC", 4},
	} {
		for seed := range uint64(12) {
			p := somePlan(rand.New(rand.NewPCG(seed, 11)))
			found := twoCircuits(t, p, seed, 0.35+0.03*float64(seed), true, c.units)
			if len(found) != c.found {
				t.Errorf("%s, seed %d: %+v", c.name, seed, found)
				continue
			}
			for _, f := range found {
				if !strings.Contains(f.Message, c.says) || !strings.Contains(f.Fix, c.fix) {
					t.Errorf("%s, seed %d: %s: %s", c.name, seed, f.Message, f.Fix)
				}
			}
		}
	}
}

// TestHotWaterThatHeatsABlockIsNotSuspected lets hot water stand before a cold block, and flow from the first row.
func TestHotWaterThatHeatsABlockIsNotSuspected(t *testing.T) {
	text := "time [s],block [degC],air [degC],in [degC],out [degC],flow [l/min]\n"
	for i := range 400 {
		w := 20 + 45*float64(min(i, 300))/300
		text += strings.Join([]string{fmt.Sprint(float64(10 * i)), fmt.Sprint(w), "21", "60", "58", "3"}, ",") + "\n"
	}
	s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{
		channel(t, "block", "core", Body, "degC"), channel(t, "air", "ambient", Ambient, "degC"), channel(t, "in", "circuit main inlet", Inlet, "degC"),
		channel(t, "out", "circuit main outlet", Outlet, "degC"), channel(t, "flow", "circuit main flow", Flow, "l/min"),
	}}}}
	for _, f := range Suspect(read(t, s, text), Known{}) {
		t.Errorf("%s: %s", f.Message, f.Fix)
	}
}

// TestAMeterThatReadsLessThanItCanIsSuspected: l/min read as l/h lie below the meter's least, so that all are set to zero and
// the balance lacks that circuit; the other may hide it. A circuit that is shut scatters about zero and is left alone.
func TestAMeterThatReadsLessThanItCanIsSuspected(t *testing.T) {
	least := 0.2 / 60 // 0.2 l/min
	for seed := range uint64(12) {
		p := somePlan(rand.New(rand.NewPCG(seed, 11)))
		share := 0.35 + 0.03*float64(seed)
		wrong := map[string]string{"circuit other flow": "l/min|l/h"}
		found := twoCircuitsFrom(t, p, seed, share, true, wrong, least)
		if len(found) != 1 || found[0].Doubt || !strings.Contains(found[0].Message, "below the least that its meter can read, 12 l/h") ||
			!strings.Contains(found[0].Fix, "is the unit of circuit other flow l/min") {
			t.Errorf("seed %d: %+v", seed, found)
		}
		if found := twoCircuitsFrom(t, p, seed, share, true, nil, least); len(found) > 0 {
			t.Errorf("seed %d, all is right: %+v", seed, found)
		}
		if found := twoCircuitsFrom(t, p, seed, 1, true, nil, least); len(found) > 0 {
			t.Errorf("seed %d, the other circuit is shut: %+v", seed, found)
		}
	}
}

func TestWaterAboveItsBoilingPointAtTheInletIsSuspected(t *testing.T) {
	text := "time [s],block [degC],in [degC],out [degC],flow [l/min],p [bar]\n"
	for i := range 200 {
		text += strings.Join([]string{fmt.Sprint(float64(10 * i)), "300", "122", "140", "3", "1.2"}, ",") + "\n"
	}
	s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{
		channel(t, "block", "core", Body, "degC"), channel(t, "in", "circuit main inlet", Inlet, "degC"), channel(t, "out", "circuit main outlet", Outlet, "degC"),
		channel(t, "flow", "circuit main flow", Flow, "l/min"), channel(t, "p", "circuit main pressure", PressureAt, "bar"),
	}}}}
	s.Sources[0].Channels[4].Of = "main"
	found := Suspect(read(t, s, text), Known{})
	if len(found) != 1 || !strings.Contains(found[0].Message, "above its boiling point") || !strings.Contains(found[0].Fix, "degF? That would be 50 degC") {
		t.Errorf("an inlet of 122 degC at 1.2 bar: %+v", found)
	}
}

// TestAPressureBelowTheAirsIsDoubtedNotRefused: 3 psi are a gauge's reading; 0.9 bar is the air on a hill.
func TestAPressureBelowTheAirsIsDoubtedNotRefused(t *testing.T) {
	for _, c := range []struct {
		p, unit, fix string
	}{{"3", "psi", "shift: 14.7}"}, {"0.4", "bar", "shift: 1.01}"}, {"0.9", "bar", ""}, {"17.7", "psi", ""}} {
		text := "time [s],in [degC],out [degC],flow [l/min],p [" + c.unit + "]\n"
		for i := range 200 {
			text += fmt.Sprintf("%d,15,25,3,%s\n", 10*i, c.p)
		}
		s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{
			channel(t, "in", "circuit main inlet", Inlet, "degC"), channel(t, "out", "circuit main outlet", Outlet, "degC"),
			channel(t, "flow", "circuit main flow", Flow, "l/min"), channel(t, "p", "circuit main pressure", PressureAt, c.unit),
		}}}}
		s.Sources[0].Channels[3].Of = "main"
		found := Suspect(read(t, s, text), Known{})
		if c.fix == "" && len(found) > 0 || c.fix != "" && (len(found) != 1 || !found[0].Doubt || !strings.Contains(found[0].Fix, c.fix) ||
			!strings.Contains(found[0].Message, c.p+" "+c.unit)) {
			t.Errorf("%s %s: %+v", c.p, c.unit, found)
		}
	}
}

func TestAHeadingOfAGaugeSaysHowItBecomesAbsolute(t *testing.T) {
	for _, heading := range []string{"p [bar(g)]", "p (bar(g))", "p (barg)", "p / bar g"} {
		s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{
			{Column: Ref{Number: 2}, Name: "circuit main pressure", Role: PressureAt, Of: "main", Quantity: history.Pressure},
		}}}}
		rec, found := tryRead(s, "time [s],"+heading+"\n0,3\n10,3\n20,3\n30,3\n")
		if rec != nil || len(found) != 1 || !strings.Contains(found[0].Fix, "unit: bar, signal: {factor: 1, shift: …}") {
			t.Errorf("%s: %+v", heading, found)
		}
	}
}

func TestASensorColderThanAllElseAtRestIsDoubtedNotRefused(t *testing.T) {
	for _, c := range []struct {
		front string // degC at the start
		told  int
	}{{"-4.2", 1}, {"13.1", 1}, {"19.2", 0}, {"27", 0}} {
		text := "time [s],front [degC],core [degC],air [degC]\n"
		for i := range 200 {
			text += fmt.Sprintf("%d,%s,20.8,20.1\n", 10*i, c.front)
		}
		s := &Setup{Axis: -1, Sources: []Source{{Name: "a", Layout: open, Channels: []Channel{
			channel(t, "front", "front", Body, "degC"), channel(t, "core", "core", Body, "degC"), channel(t, "air", "ambient", Ambient, "degC"),
		}}}}
		found := Suspect(read(t, s, text), Known{})
		if len(found) != c.told || c.told == 1 && (!found[0].Doubt || !strings.Contains(found[0].Fix, "junction")) {
			t.Errorf("front at %s degC: %+v", c.front, found)
		}
	}
}
