package figure

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/heat"
)

// pictures draws everything from the invented result.
func pictures() map[string][]byte {
	rec := madeReceiver()
	r := madeResult(rec)
	return map[string][]byte{
		"history":       History(r, "Charge, hold & drain of an <invented> receiver"),
		"ledger":        Ledger(r, "Charge, hold & drain of an <invented> receiver", Range{}),
		"section-width": Section(r, rec, r.Fields[0], block.Width, 0.14, Range{}),
		"section-depth": Section(r, rec, r.Fields[0], block.Depth, 0.095, Range{}),
		"section-level": Section(r, rec, r.Fields[0], block.Height, 0.14, Range{}),
		"section-page":  SectionOf(r, rec, r.Fields[0], madeView()),
		"section-bare":  Drawn(rec, madeView()),
		"ledger-page":   LedgerFor(r, 560, Range{}),
		"ledger-now":    LedgerAt(r, madeNow(560)),
		"chain":         Chain(madeChain(), 480, 240, Range{Low: 20, Top: 250}),
		"circuit":       Circuit(madeProfile(), "Charge, hold & drain of an <invented> receiver", false),
		"map":           Map("Heat flow of an <invented> receiver & its water", []string{"a sentence & another"}, madeCharted()),
		"record":        madeRecordPicture(),
		"balance":       madeBalancePicture(),
		"compare":       madeCompared(Over{Time: true, What: "Block above ambient", Unit: "K"}),
		"compare-heat":  madeCompared(Over{What: "Heat flow", Unit: "W"}),
		"fit":           madeFit(),
		"corner": func() []byte {
			known, r := madeKnown()
			return Corner("What is known of an <invented> receiver", known, r)
		}(),
		"flux":           Flux("The light of an <invented> dish & its window", []string{"a sentence & another"}, madeSpot(), Place{}),
		"flux-page":      Flux("The light of an <invented> dish", nil, madeSpot(), Place{400, 420}),
		"intercept":      Intercept("What an <invented> window catches", []string{"a sentence & another"}, madeCatch(), Place{}),
		"intercept-page": Intercept("What an <invented> window catches", nil, madeCatch(), Place{380, 240}),
		"keeps":          Keeps("What an <invented> window keeps & loses", []string{"a sentence & another"}, madeKeeping(), Place{}),
		"keeps-page":     Keeps("What an <invented> window keeps", nil, madeKeeping(), Place{380, 300}),
		"beam":           Beam("Where the beam of an <invented> dish goes", "the dish's aperture", madeWent(), Place{}),
		"beam-page":      Beam("Where the beam goes", "the dish's aperture", madeWent(), Place{Wide: 560}),
		"plan": Foresight("Charge, hold & drain of an <invented> receiver", "one more <sensor>", []Foreseen{
			{Name: "contact", Unit: "W/(m2 K)", Value: 400, BoundLow: 100, BoundTop: 1500, Before: [2]float64{100, 1500}, Planned: [2]float64{360, 440}, Best: [2]float64{380, 420}},
			{Name: "absorptance", Unit: "1", Value: 0.9, BoundLow: 0.5, BoundTop: 1, Before: [2]float64{0.8, 1}, Planned: [2]float64{0.81, 0.99}, Best: [2]float64{0.81, 0.99}},
		}),
	}
}

var numberInText = regexp.MustCompile(`-?\d+\.?\d*(?:e[-+]\d+)?`)

// same compares two pictures: equal but for numbers, which may differ in the last of their printed digits. Other
// processors fuse multiplications, so a coordinate may land on the other side of a rounding.
func same(a, b string) bool {
	x, y := numberInText.FindAllString(a, -1), numberInText.FindAllString(b, -1)
	if len(x) != len(y) || numberInText.ReplaceAllString(a, "#") != numberInText.ReplaceAllString(b, "#") {
		return false
	}
	for i := range x {
		u, _ := strconv.ParseFloat(x[i], 64)
		v, _ := strconv.ParseFloat(y[i], 64)
		if math.Abs(u-v) > 0.0101+1e-5*math.Abs(u) {
			return false
		}
	}
	return true
}

func TestPicturesMatchTheirGoldenFiles(t *testing.T) {
	for _, name := range []string{"history", "ledger", "section-width", "circuit", "plan"} {
		matchesGolden(t, name, pictures()[name])
	}
}

func TestTheSameResultGivesTheSameBytes(t *testing.T) {
	first := pictures()
	for range 3 {
		for name, p := range pictures() {
			if !bytes.Equal(p, first[name]) {
				t.Errorf("%s differs between two drawings", name)
			}
		}
	}
}

// walk calls f for every element of a picture, and fails where it is no well-formed XML.
func walk(t *testing.T, name string, picture []byte, f func(e xml.StartElement), text func(string)) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(picture))
	for {
		token, err := d.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			f(e)
		case xml.CharData:
			text(string(e))
		}
	}
}

func TestPicturesAreWellFormedLegibleAndKeepInside(t *testing.T) {
	for name, p := range pictures() {
		var w, h float64
		texts := 0
		ids := map[string]bool{}
		walk(t, name, p, func(e xml.StartElement) {
			a := map[string]string{}
			for _, x := range e.Attr {
				a[x.Name.Local] = x.Value
			}
			if id := a["id"]; id != "" {
				if ids[id] {
					t.Errorf("%s: the id %q stands twice", name, id)
				}
				ids[id] = true
			}
			switch e.Name.Local {
			case "svg":
				w, _ = strconv.ParseFloat(a["width"], 64)
				h, _ = strconv.ParseFloat(a["height"], 64)
			case "text":
				texts++
				size, err := strconv.ParseFloat(a["font-size"], 64)
				if err != nil || size < 10.5 {
					t.Errorf("%s: a text of %q px", name, a["font-size"])
				}
				x, _ := strconv.ParseFloat(a["x"], 64)
				y, _ := strconv.ParseFloat(a["y"], 64)
				if x < 0 || x > w || y < size*0.7 || y > h {
					t.Errorf("%s: a text at %v, %v leaves the picture of %v by %v", name, x, y, w, h)
				}
			}
			for _, v := range a {
				if strings.Contains(v, "NaN") || strings.Contains(v, "Inf") {
					t.Errorf("%s: %s holds %q", name, e.Name.Local, v)
				}
			}
		}, func(string) {})
		if w < 300 || h < 200 || texts < 10 {
			t.Errorf("%s is %v by %v with %d texts", name, w, h, texts)
		}
		// What is referred to is there.
		for _, m := range regexp.MustCompile(`url\(#([^)]+)\)`).FindAllSubmatch(p, -1) {
			if !ids[string(m[1])] {
				t.Errorf("%s refers to %q, which is not defined", name, m[1])
			}
		}
	}
}

// textsOf returns the texts of a picture.
func textsOf(t *testing.T, name string, p []byte) string {
	var all []string
	walk(t, name, p, func(xml.StartElement) {}, func(s string) { all = append(all, s) })
	return strings.Join(all, "\n")
}

func TestUserTextIsEscapedAndKept(t *testing.T) {
	all := pictures()
	for _, c := range []struct{ picture, text string }{
		{"history", "Charge, hold & drain of an <invented> receiver"},
		{"history", `front <1> & "core"`},
		{"history", "water main closed & <shut>"},
		{"ledger", "Charge, hold & drain of an <invented> receiver"},
		{"ledger", "water of circuit main"},
	} {
		if !strings.Contains(textsOf(t, c.picture, all[c.picture]), c.text) {
			t.Errorf("%s does not show %q", c.picture, c.text)
		}
	}
	rec := madeReceiver()
	r := madeResult(rec)
	r.Events[0].What = "\x00\x1b[31m]]></svg><script>\xff\ufffe"
	walk(t, "history", History(r, "]]><!--\x07"), func(e xml.StartElement) {
		if e.Name.Local == "script" {
			t.Error("a text became an element")
		}
	}, func(string) {})
}

func TestPicturesNameTheirUnits(t *testing.T) {
	all := pictures()
	for _, c := range []struct {
		picture string
		units   []string
	}{
		{"history", []string{"250\u2009°C", "kW", "h"}},
		{"ledger", []string{"kWh", "69\u2009%"}},
		{"section-width", []string{"°C", "lengths in mm", "after 4\u2009h", "235.1"}},
	} {
		s := textsOf(t, c.picture, all[c.picture])
		for _, u := range c.units {
			if !strings.Contains(s, u) {
				t.Errorf("%s does not show %q", c.picture, u)
			}
		}
	}
}

func TestSectionShowsWhatIsCut(t *testing.T) {
	s := textsOf(t, "section", pictures()["section-width"])
	for _, want := range []string{"tin in aluminium", "molten", "melting front, teeth to the solid", "insulation", "jacket", "window", "160", "280", "pass with water", "pass, drained", "\n6\n"} {
		if !strings.Contains(s, want) {
			t.Errorf("the section does not show %q", want)
		}
	}
}

func TestCircuitShowsPassesStatesAndQuality(t *testing.T) {
	s := textsOf(t, "circuit", pictures()["circuit"])
	for _, want := range []string{
		"Circuit main & <upper> after 4\u2009h, flowing with 21.6 kg/h, from 15.0 to 131.0 °C", "pass 1", "pass 2", "pass 3",
		"liquid", "subcooled boiling", "boiling", "drying", "mist", "steam", "water", "wall at the water", "around the tube", "along the tube from the inlet",
		"below 0 the liquid is colder, above 1 the steam is superheated", "scalds: see the cautions of the run",
	} {
		if !strings.Contains(s, want) {
			t.Errorf("the circuit does not show %q", want)
		}
	}
	if strings.Contains(s, "…") {
		t.Errorf("a text is cut: %s", s)
	}
	steady := textsOf(t, "steady", Circuit(madeProfile(), "", true))
	if !strings.Contains(steady, "in the steady state") || strings.Contains(steady, "after") {
		t.Errorf("the steady circuit shows %s", steady)
	}
	for name, p := range map[string]*heat.Profile{
		"no places": {Circuit: "a", State: "drained"},
		"empty": {Circuit: "a", State: "drained", Inlet: math.NaN(), Outlet: math.NaN(), Places: []heat.Place{
			{Distance: 0.5, Length: 1, Pass: "1", Run: "pass", State: "empty", Temperature: math.NaN(), Quality: math.NaN(), Inside: 300, Block: 300},
		}},
	} {
		walk(t, name, Circuit(p, "", false), func(xml.StartElement) {}, func(string) {})
	}
}

// Words of the water stand under their own brackets or hang on a leader; none overlaps another, and no leader goes through one.
func TestWordsOfACircuitKeepClearOfEachOther(t *testing.T) {
	words := []string{"liquid", "subcooled boiling", "stratified", "boiling", "stratified", "drying", "mist", "steam", "boiling", "drying", "subcooled boiling"}
	for _, lengths := range [][]float64{
		{0.08, 0.11, 0.17, 0.09, 0.3, 0.09, 0.1, 0.1, 0.1, 0.1, 0.18},
		{0.01, 0.01, 0.01, 0.01, 0.2, 0.01, 0.3, 0.02, 0.02, 0.02, 0.6},
		{0.3, 0.03, 0.03, 0.03, 0.03, 0.03, 0.03, 0.03, 0.03, 0.03, 0.03},
	} {
		p, at := &heat.Profile{State: "flowing"}, 0.0
		for i, l := range lengths {
			p.Places = append(p.Places, heat.Place{Distance: at + 0.5*l, Length: l, State: words[i]})
			at += l
		}
		s := layStates(p, at)
		f := frame{left: plotLeft, right: plotRight, x: axis{0, at, 1}}
		shown := 0
		for i, a := range s.all {
			if s.row[i] < 0 {
				continue
			}
			shown++
			half := widthOf(names, a.name) / 2
			if s.row[i] == 0 && (s.at[i]-half < f.px(a.from) || s.at[i]+half > f.px(a.to)) {
				t.Errorf("lengths %v: %q, the %d. word, overruns its bracket", lengths, a.name, i+1)
			}
			leader := (f.px(a.from) + f.px(a.to)) / 2
			for k, b := range s.all {
				if k == i || s.row[k] < 0 {
					continue
				}
				wide := widthOf(names, b.name) / 2
				if s.row[k] == s.row[i] && math.Abs(s.at[i]-s.at[k]) < half+wide {
					t.Errorf("lengths %v: words %d and %d overlap in row %d", lengths, i+1, k+1, s.row[i])
				}
				if s.row[i] > s.row[k] && math.Abs(leader-s.at[k]) < wide {
					t.Errorf("lengths %v: the leader of word %d goes through word %d, %q", lengths, i+1, k+1, b.name)
				}
			}
		}
		if shown < 6 {
			t.Errorf("lengths %v: only %d words are shown", lengths, shown)
		}
	}
}

// What is hot or shut in carries its caution in the picture; a cool flow carries none.
func TestCircuitCarriesItsCaution(t *testing.T) {
	hot := madeProfile()
	hot.State = "closed"
	for i := range hot.Places {
		hot.Places[i].Pressure, hot.Places[i].Temperature = 35e5, 320 // cool as yet, in a hot block
	}
	if s := textsOf(t, "closed", Circuit(hot, "", false)); !strings.Contains(s, "closed at 35 bar") || !strings.Contains(s, "bursts tubes") {
		t.Errorf("a hot closed circuit shows %s", s)
	}
	cool := madeProfile()
	cool.Outlet = 330
	for i := range cool.Places {
		cool.Places[i].Temperature = 320
	}
	if s := textsOf(t, "cool", Circuit(cool, "", false)); strings.Contains(s, "caution") {
		t.Errorf("a cool flow shows %s", s)
	}
}

func TestLedgerStreamsAreAsWideAsTheirHeat(t *testing.T) {
	rec := madeReceiver()
	r := madeResult(rec)
	in, out := Books(r)
	sumIn, sumOut := total(in), total(out)
	// The invented ledger closes to a joule.
	if math.Abs(sumIn-sumOut) > 1 {
		t.Fatalf("in %v, out %v", sumIn, sumOut)
	}
	d := regexp.MustCompile(`<path d="M400 ([\d.]+)C[^"]*L580 [\d.]+C[^"]* 400 ([\d.]+)Z"`).FindAllSubmatch(Ledger(r, "x", Range{}), -1)
	var drawn []float64
	for _, m := range d {
		lo, _ := strconv.ParseFloat(string(m[1]), 64)
		hi, _ := strconv.ParseFloat(string(m[2]), 64)
		drawn = append(drawn, hi-lo)
	}
	i := 0
	for _, e := range out {
		if e.Amount == 0 {
			continue // a dry bed has no width
		}
		if i >= len(drawn) {
			t.Fatalf("%d streams drawn", len(drawn))
		}
		want := math.Max(0.6, printedLedger.full*e.Amount/sumIn) // a trickle is kept visible
		if math.Abs(drawn[i]-want) > 0.02 {                      // two roundings to a hundredth
			t.Errorf("%s is %v px wide, want %v", e.Name, drawn[i], want)
		}
		i++
	}
	if i != len(drawn) {
		t.Errorf("%d streams for %d entries", len(drawn), i)
	}
}

func TestBooksBalanceWhenTheBlockGivesUpHeat(t *testing.T) {
	r := &heat.Result{Ledger: heat.Ledger{
		Stored: -1000, Latent: -400, ToPasses: 900, Carried: 880, Lost: 100,
		StoredBy: []heat.Share{{Name: "block", Amount: -1050}, {Name: "insulation", Amount: 30}, {Name: "water in the tubes", Amount: 20}},
		ByPass:   []heat.Share{{Name: "1", Amount: 900}}, ByCircuit: []heat.Share{{Name: "main", Amount: 880}},
		ByPath: []heat.Share{{Name: "back", Amount: 125}, {Name: "top", Amount: -5}},
	}}
	in, out := Books(r)
	if a, b := total(in), total(out); a != b || a != 1055 {
		t.Errorf("in %v, out %v, want 1055: %v %v", a, b, in, out)
	}
	names := ""
	for _, e := range in {
		names += e.Name + ";"
	}
	if names != "melt freezing;block cooling;lost by top;" {
		t.Errorf("sources %q", names)
	}
}

func TestOutletsThatRunAsOneShareAName(t *testing.T) {
	r := madeResult(madeReceiver())
	main := *r.History.Column("circuit main outlet")
	for _, name := range []string{"second", "third"} {
		c := main
		c.Name = "circuit " + name + " outlet"
		r.History.Columns = append(r.History.Columns, c)
	}
	apart := main
	apart.Name = "circuit apart outlet"
	apart.Values = append([]float64(nil), main.Values...)
	for i := range apart.Values {
		apart.Values[i] += 60
	}
	r.History.Columns = append(r.History.Columns, apart)
	s := textsOf(t, "history", History(r, ""))
	for _, want := range []string{"\noutlets of 3 circuits\n", "circuit apart outlet"} {
		if !strings.Contains(s, want) {
			t.Errorf("the history does not show %q", want)
		}
	}
}

func TestWallsOfCircuitsAreNoOutlets(t *testing.T) {
	r := madeResult(madeReceiver())
	before := Ledger(r, "", Range{})
	wall := *r.History.Column("circuit main outlet")
	wall.Name, wall.Values = "circuit main wall max", slices.Clone(wall.Values)
	for i := range wall.Values {
		wall.Values[i] += 400
	}
	r.History.Columns = append(r.History.Columns, wall)
	if !bytes.Equal(before, Ledger(r, "", Range{})) {
		t.Error("a wall's temperature colours the ledger's water")
	}
	if strings.Contains(textsOf(t, "history", History(r, "")), "wall max") {
		t.Error("the history draws a circuit's wall")
	}
}

func TestWithoutAWindowNoLightIsNamed(t *testing.T) {
	r := madeResult(madeReceiver())
	r.Ledger.Absorbed, r.Ledger.ByPath = 0, r.Ledger.ByPath[1:]
	clear(r.History.Column("absorbed").Values)
	for name, p := range map[string][]byte{"history": History(r, ""), "ledger": Ledger(r, "", Range{})} {
		if strings.Contains(textsOf(t, name, p), "light taken in") {
			t.Errorf("%s names light where there is no window", name)
		}
	}
}

func TestEmptyAndOddResultsStillDraw(t *testing.T) {
	rec := madeReceiver()
	for name, r := range map[string]*heat.Result{"no rows": {}, "one row": oneRow()} {
		walk(t, name, History(r, ""), func(xml.StartElement) {}, func(string) {})
		walk(t, name, Ledger(r, "", Range{}), func(xml.StartElement) {}, func(string) {})
	}
	r := madeResult(rec)
	even := heat.Field{Temperature: make([]float64, r.Grid.Cells()), Melted: make([]float64, r.Grid.Cells())}
	for i := range even.Temperature {
		even.Temperature[i] = 293.15
	}
	for _, at := range []float64{-1, 0, 5} { // outside too
		for a := block.Depth; a <= block.Height; a++ {
			walk(t, "even", Section(r, rec, even, a, at, Range{}), func(xml.StartElement) {}, func(string) {})
		}
	}
}

func oneRow() *heat.Result {
	r := madeResult(madeReceiver())
	r.History.Time = r.History.Time[:1]
	for i := range r.History.Columns {
		r.History.Columns[i].Values = r.History.Columns[i].Values[:1]
	}
	r.Ended = 0
	r.Ledger = heat.Ledger{Steady: true}
	return r
}

// TestLightInBlockAndGlassReadsAsTwoPartsOfOne: "light taken in, 98 %" beside "by the glass, 2 %" would not.
func TestLightInBlockAndGlassReadsAsTwoPartsOfOne(t *testing.T) {
	r := madeResult(madeReceiver())
	r.Ledger.Glass = 1e3
	in, _ := Books(r)
	if in[0].Name != "light taken in by the block" || in[1].Name != "light taken in by the glass" {
		t.Errorf("the sources are %q and %q", in[0].Name, in[1].Name)
	}
	r.Ledger.Glass = 0
	if in, _ = Books(r); in[0].Name != "light taken in" {
		t.Errorf("without a glass it is %q", in[0].Name)
	}
}
