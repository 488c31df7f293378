package bench

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/history"
	"emberbank/trial"
	"pgregory.net/rapid"
)

// draftOf drafts a description of loggers' files, and loads it.
func draftOf(t interface{ Fatalf(string, ...any) }, files map[string]string, names ...string) (string, *Trial) {
	fsys := fstest.MapFS{}
	var loggers []Drafted
	for _, name := range names {
		fsys[name] = &fstest.MapFile{Data: []byte(files[name])}
		g, found := trial.Look(strings.NewReader(files[name]), name)
		if g == nil {
			if len(found) == 0 {
				t.Fatalf("%s: neither a guess nor a reason", name)
			}
			continue
		}
		loggers = append(loggers, Drafted{name, g})
	}
	if len(loggers) == 0 {
		return "", nil
	}
	text, refused := DraftTrial(fsys, "x.yaml", "made up", loggers)
	if refused != nil {
		for _, l := range loggers {
			for _, c := range l.Guess.Columns {
				if c.Quantity != history.Time {
					t.Fatalf("nothing is left of the first description:\n%s\n%s", refused, files)
				}
			}
		}
		return "", nil
	}
	fsys["x.yaml"] = &fstest.MapFile{Data: []byte(text)}
	tr, ps := LoadTrial(fsys, "x.yaml", Options{})
	if ps.Failed() {
		t.Fatalf("what was drafted is refused:\n%s\n%s", ps, text)
	}
	return text, tr
}

// TestAnyDraftLoads makes up loggers' files of all sorts of headings, units, clocks and layouts, one or two at a time:
// whatever the guesses are, the description that is drafted can be loaded.
func TestAnyDraftLoads(t *testing.T) {
	headings := []string{
		"T core", "front", "In", "Out", "OutV", "OutR", "Vorlauf", "Rücklauf vorn", "Rücklauf hinten", "Flow", "FlowV", "FlowR", "Durchfluss vorn", "FV", "Lamp", "Lamp 2", "Heater 1",
		"Room", "ambient", "wind", "DNI", "GHI", "stored", "time", "light", "source", "circuit main", "circuit main flow", "heater", "block mean", "a: b", "#7", "yes", "x, y", "In_F", "Out_F", "p", "Pressure",
		"Batt", "TC1", "RH", "level", "angle", "energy", "a \"b\"", "{x}", "[x]", "-", "*", "&a", "!t", "0", "12", "", "öl", "  two  blanks ", "T core", "outlet circuit main",
	}
	units := []string{"", "degC", "°C", "C", "K", "°F", "l/min", "lpm", "kg/s", "gpm", "W", "kW", "W/m2", "bar", "kPa", "m/s", "V", "mV", "mA", "%", "mm", "kWh", "deg", "s", "furlong"}
	courses := []func(i, n int) float64{
		func(i, n int) float64 { return 20 + 200*math.Min(1, 2*float64(i)/float64(n)) },
		func(i, _ int) float64 { return 15 + 0.1*math.Sin(float64(i)) },
		func(i, n int) float64 { // a flow, a lamp
			if 2*i > n {
				return 6
			}
			return 0
		},
		func(i, n int) float64 { // an outlet
			if 2*i > n {
				return 70 - 30*float64(i)/float64(n)
			}
			return 18
		},
		func(i, _ int) float64 { return float64(i % 7) },
		func(int, int) float64 { return 0 },
		func(i, _ int) float64 { return 1e5 + float64(i) },
		func(i, _ int) float64 { return -40 - float64(i%3) },
	}
	rapid.Check(t, func(q *rapid.T) {
		n := rapid.IntRange(3, 70).Draw(q, "rows")
		logger := func(k int) string {
			sep := rapid.SampledFrom([]string{",", ";", "\t", "  "}).Draw(q, "separator")
			clock := rapid.SampledFrom([]string{"iso", "zoned", "elapsed", "doy", "split", "none"}).Draw(q, "clock")
			every := rapid.SampledFrom([]int{1, 10, 60}).Draw(q, "interval")
			var b strings.Builder
			for range rapid.IntRange(0, 2).Draw(q, "preamble") {
				b.WriteString("made up\n")
			}
			head := map[string][]string{"iso": {"Time"}, "zoned": {"Time"}, "elapsed": {"t [s]"}, "doy": {"DOY", "HHMM"}, "split": {"Date", "Time"}, "none": nil}[clock]
			columns := rapid.IntRange(1, 7).Draw(q, "columns")
			var course []int
			for range columns {
				h, u := rapid.SampledFrom(headings).Draw(q, "heading"), rapid.SampledFrom(units).Draw(q, "unit")
				form := rapid.SampledFrom([]string{"%s [%s]", "%s %s", "%s_%s", "%s (%s)", "%s, %s"}).Draw(q, "form")
				if u == "" {
					form = "%s%s"
				}
				h = fmt.Sprintf(form, h, u)
				if strings.Contains(h, strings.TrimSpace(sep)) && sep != "  " && sep != "\t" {
					h = `"` + strings.ReplaceAll(h, `"`, `'`) + `"`
				}
				head = append(head, h)
				course = append(course, rapid.IntRange(0, len(courses)-1).Draw(q, "course"))
			}
			if rapid.IntRange(0, 9).Draw(q, "headed") > 0 {
				b.WriteString(strings.Join(head, sep) + "\n")
			}
			for i := range n {
				at := 9*3600 + i*every + 600*k
				hh, mm, ss := at/3600, at/60%60, at%60
				var row []string
				switch clock {
				case "iso":
					row = append(row, fmt.Sprintf("2026-04-06 %02d:%02d:%02d", hh, mm, ss))
				case "zoned":
					row = append(row, fmt.Sprintf("2026-04-06T%02d:%02d:%02d+02:00", hh, mm, ss))
				case "elapsed":
					row = append(row, fmt.Sprint(i*every))
				case "doy":
					row = append(row, "96", fmt.Sprint(100*(at/3600)+mm))
				case "split":
					row = append(row, "06.04.2026", fmt.Sprintf("%02d:%02d:%02d", hh, mm, ss))
				}
				for _, c := range course {
					row = append(row, fmt.Sprintf("%.2f", courses[c](i, n)))
				}
				b.WriteString(strings.Join(row, sep) + "\n")
			}
			return b.String()
		}
		files := map[string]string{"a b.csv": logger(0)}
		names := []string{"a b.csv"}
		if rapid.Bool().Draw(q, "two") {
			files["zwei.dat"] = logger(1)
			names = append(names, "zwei.dat")
		}
		draftOf(q, files, names...)
	})
}

// twoCircuits is a block's logger and a water logger of two circuits, made up: 20 min without water, then 20 with it in
// both, the second ten minutes later.
func twoCircuits(heading string, year bool) map[string]string {
	var block, water strings.Builder
	block.WriteString("Zeit;T vorne [°C];Lampe [W];Raum [°C]\n")
	water.WriteString(heading + "\n")
	hot := 21.0
	for i := range 240 {
		lamp, v, r := 0.0, 0.0, 0.0
		if i < 120 {
			lamp, hot = 3500, hot+2
		} else {
			v, hot = 0.7, hot-1.2
		}
		if i >= 180 {
			r = 0.5
		}
		out := func(flow float64) float64 {
			if flow > 0 {
				return 15 + 0.2*(hot-15)
			}
			return 21
		}
		fmt.Fprintf(&block, "2026-04-03 08:%02d:%02d;%.2f;%.0f;%.2f\n", i/6, i%6*10, hot, lamp, 21+0.1*math.Sin(float64(i)/9))
		if i%6 == 0 {
			date := "93,"
			if year {
				date = "2026,93,"
			}
			fmt.Fprintf(&water, "%s%d,%.2f,%.2f,%.2f,%.2f,%.2f\n", date, 800+i/6, 15*1.8+32, out(v)*1.8+32, out(r)*1.8+32, v, r)
		}
	}
	return map[string]string{"block.csv": block.String(), "water.dat": water.String()}
}

func TestDraftsOfTwoCircuitsLoadAndNameBoth(t *testing.T) {
	text, tr := draftOf(t, twoCircuits("DOY,HHMM,In_F,OutV_F,OutR_F,FlowV_lpm,FlowR_lpm", false), "block.csv", "water.dat")
	for _, want := range []string{
		"in year: 2026", "the year is that of block.csv", "{column: In_F, place: circuit v inlet, unit: degF}", "{column: In_F, place: circuit r inlet, unit: degF}",
		"{column: OutV_F, place: circuit v outlet, unit: degF}", "{column: FlowR_lpm, place: circuit r flow}",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	if strings.Contains(text, "sure: its unit is one of flow") {
		t.Errorf("with two circuits nothing of them is sure:\n%s", text)
	}
	if i := tr.Record.Index("circuit r outlet"); i < 0 || len(tr.Record.History.Time) < 200 {
		t.Errorf("the record lacks the second circuit or its rows:\n%s", text)
	}
}

// TestASecondFlowIsDraftedAsAFlow: "FlowR" without a circuit of its own is no temperature.
func TestASecondFlowIsDraftedAsAFlow(t *testing.T) {
	files := twoCircuits("DOY,HHMM,In_F,OutV_F,Spare_F,FlowV_lpm,Other_lpm", false)
	text, _ := draftOf(t, files, "block.csv", "water.dat")
	if !strings.Contains(text, "{column: Other_lpm, place: Other, quantity: flow}") {
		t.Errorf("the second flow is no flow:\n%s", text)
	}
}
