package figure

import (
	"encoding/xml"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/receiver"
)

// madeView is an invented section for a page: lengths with where they would be written, sensors, and water.
func madeView() View {
	return View{
		Axis: block.Width, At: 0.14, Wide: 620, High: 480, Colours: Range{Low: 20, Top: 250},
		Given: []Given{
			{File: "receiver.yaml", Path: "block.depth", Text: "160 mm", What: "depth of the <block>", Axis: block.Depth, To: 0.16},
			{File: "receiver.yaml", Path: "block.height", Text: "28 cm", What: "height of the block", Axis: block.Height, To: 0.28},
			{File: "receiver.yaml", Path: "insulation.back[1].thickness", Text: "80 mm", What: "board behind", Axis: block.Depth, From: 0.16, To: 0.24},
			{File: "receiver.yaml", Path: "window.height", Text: "160 mm", What: "height of the window", Kind: GivenWindow, Axis: block.Height, From: 0.06, To: 0.22},
			{File: "receiver.yaml", Path: "passes[1].depth", Text: "95 mm", What: "depth of pass 1", Kind: GivenPlace, Axis: block.Depth, To: 0.095, Pass: "1"},
			{File: "receiver.yaml", Path: "tube.outer", Text: "12 mm", What: "outer diameter", Kind: GivenOuter, Pass: "1"},
			{File: "receiver.yaml", Path: "tube.wall", Text: "1 mm", What: "wall", Kind: GivenWall, Pass: "1"},
			{File: "receiver.yaml", Path: "tube.contact", Text: "400 W/(m2 K)", What: "contact", Kind: GivenContact, Pass: "1"},
		},
		Sensors: []Sensor{{1, "front <1>", block.Point{0.02, 0.14, 0.14}}, {2, "beside the plane", block.Point{0.1, 0.04, 0.2}}},
	}
}

// madeChain is an invented chain: 100 K from the block to the mean water, and 80 K to the water that comes in.
func madeChain() *heat.Chain {
	c := &heat.Chain{Pass: "3 & <4>", State: "flowing", Block: 273.15 + 230, Water: 273.15 + 130, Heat: 400}
	for _, l := range []struct {
		name string
		K    float64
	}{{"block", 5}, {"spreading", 2}, {"contact", 70}, {"tube wall", 3}, {"film", 20}, {"water heating up", 0}, {"boiling point", 80}} {
		c.Links = append(c.Links, heat.Link{Name: l.name, Share: l.K / 180, Resistance: l.K / 400, Gain: math.NaN()})
	}
	return c
}

// given reads the lengths that can be touched off a picture, by their paths.
func given(t *testing.T, p []byte) map[string][]string {
	out := map[string][]string{}
	walk(t, "section", p, func(e xml.StartElement) {
		a := map[string]string{}
		for _, x := range e.Attr {
			a[x.Name.Local] = x.Value
		}
		if a["class"] == "given" {
			if a["role"] != "button" || a["tabindex"] != "0" || a["data-file"] != "receiver.yaml" {
				t.Errorf("%s cannot be touched: %v", a["data-path"], a)
			}
			out[a["data-path"]] = append(out[a["data-path"]], a["aria-label"])
		}
	}, func(string) {})
	return out
}

func TestLengthsOfASectionTellWhereTheyAreWritten(t *testing.T) {
	rec := madeReceiver()
	r := madeResult(rec)
	for name, p := range map[string][]byte{"computed": SectionOf(r, rec, r.Fields[0], madeView()), "shapes alone": Drawn(rec, madeView())} {
		got := given(t, p)
		for _, g := range madeView().Given {
			if !slices.ContainsFunc(got[g.Path], func(label string) bool { return strings.HasSuffix(label, g.What+", "+g.Text) }) {
				t.Errorf("%s: %s is told as %q", name, g.Path, got[g.Path])
			}
		}
		if !strings.Contains(string(p), `role="group"`) {
			t.Errorf("%s: a screen reader would take it for one image", name)
		}
	}
	if got := given(t, Section(r, rec, r.Fields[0], block.Width, 0.14, Range{})); len(got) > 0 {
		t.Errorf("on paper %v can be touched", got)
	}
	v := madeView()
	v.At = -0.05 // in the insulation: no pass shows, nothing of tubes is said
	if got := given(t, Drawn(rec, v)); got["tube.outer"] != nil || got["passes[1].depth"] != nil || got["block.depth"] == nil {
		t.Errorf("beside the passes there is %v", got)
	}
}

// TestSectionsForAPageKeepToTheirRoom over sizes of windows, so that their text is never scaled.
func TestSectionsForAPageKeepToTheirRoom(t *testing.T) {
	rec := madeReceiver()
	r := madeResult(rec)
	for _, wide := range []float64{420, 560, 900, 1400} {
		for _, high := range []float64{380, 500, 800} {
			for a := block.Depth; a <= block.Height; a++ {
				v := madeView()
				v.Axis, v.At, v.Wide, v.High = a, 0.1, wide, high
				var w, h float64
				walk(t, "section", SectionOf(r, rec, r.Fields[0], v), func(e xml.StartElement) {
					for _, x := range e.Attr {
						if e.Name.Local == "svg" && x.Name.Local == "width" {
							w, _ = strconv.ParseFloat(x.Value, 64)
						}
						if e.Name.Local == "svg" && x.Name.Local == "height" {
							h, _ = strconv.ParseFloat(x.Value, 64)
						}
					}
				}, func(string) {})
				if w != wide || h > high+60 { // a narrow key takes more rows
					t.Errorf("in %v by %v the section across %s is %v by %v", wide, high, a, w, h)
				}
			}
		}
	}
}

// TestWaterIsDrawnByItsStateAlongThePass whichever way it flows.
func TestWaterIsDrawnByItsStateAlongThePass(t *testing.T) {
	rec := madeReceiver()
	rec.Circuits = []receiver.Circuit{{Name: "main", Runs: []receiver.Run{
		{Kind: receiver.RunPass, Pass: 0, From: block.Point{0.095, 0, 0.035}, To: block.Point{0.095, 0.28, 0.035}},
		{Kind: receiver.RunBend, Pass: 0, From: block.Point{0.095, 0.28, 0.035}, To: block.Point{0.095, 0.28, 0.077}},
		{Kind: receiver.RunPass, Pass: 1, From: block.Point{0.095, 0.28, 0.077}, To: block.Point{0.095, 0, 0.077}},
	}}}
	r := madeResult(rec)
	d := cutThrough(r, rec, r.Fields[0], block.Width, 0.07)
	d.view.Water = []Wet{{Circuit: "main", Along: []WetStretch{{0.14, "liquid"}, {0.30, "subcooled boiling"}, {0.40, "stratified"}, {0.602, "steam"}}}}
	d.water = d.waters()
	for _, c := range []struct {
		pass string
		at   float64
		want string
	}{
		{"1", 0.07, liquid},
		{"1", 0.2, subcooled},
		{"2", 0.25, boiling},
		{"2", 0.05, steam}, // it flows back: 0.25 m is 0.03 m behind the bend's end at 0.322
		{"3", 0.1, liquid},
		{"6", 0.1, drained}, // of no circuit that is told: by its chain
	} {
		if got := d.lookAt(c.pass, c.at, d.wet()); got != c.want {
			t.Errorf("pass %s at %v m looks like %s, want %s", c.pass, c.at, got, c.want)
		}
	}
	v := madeView()
	v.Water = d.view.Water
	s := textsOf(t, "section", SectionOf(r, rec, r.Fields[0], v))
	if !strings.Contains(s, "pass, drained") || !strings.Contains(s, "front <1>") {
		t.Errorf("the section shows %s", s)
	}
}

// TestTheChainFallsByItsShares: the steepest link is the one with the largest share, and its kelvins are those between block
// and water.
func TestTheChainFallsByItsShares(t *testing.T) {
	s := strings.Join(strings.FieldsFunc(textsOf(t, "chain", Chain(madeChain(), 480, 240, Range{Low: 20, Top: 250})), func(r rune) bool { return r == '\n' }), "|")
	for _, want := range []string{"What limits pass 3 & <4>", "block 230.0", "water in 50.0", "|contact|39\u2009%|70.0\u2009K|", "80.0\u2009K"} {
		if !strings.Contains(s, want) {
			t.Errorf("the chain does not show %q: %s", want, s)
		}
	}
	if strings.Contains(s, "heating up") {
		t.Error("a link that takes nothing has a place")
	}
	dry := &heat.Chain{Pass: "1", State: "drained", Block: 400}
	if s := textsOf(t, "dry", Chain(dry, 480, 240, Range{Low: 20, Top: 250})); !strings.Contains(s, "No heat flows to pass 1: it is drained.") {
		t.Errorf("a drained pass shows %s", s)
	}
}

// TestLinesOfEqualTemperatureAreRoundInTheUnitThatIsShown: a section in kelvins says round ones at its lines, on the same colours; an
// axis in °C says how it lies, so that a page can move its marks.
func TestLinesOfEqualTemperatureAreRoundInTheUnitThatIsShown(t *testing.T) {
	rec := madeReceiver()
	r := madeResult(rec)
	for _, kelvin := range []bool{false, true} {
		v := madeView()
		v.Kelvin = kelvin
		var levels []float64
		axes := 0
		class := ""
		p := SectionOf(r, rec, r.Fields[0], v)
		walk(t, "section", p, func(e xml.StartElement) {
			a := map[string]string{}
			for _, x := range e.Attr {
				a[x.Name.Local] = x.Value
			}
			class = a["class"]
			if strings.HasPrefix(class, "degrees") && a["data-along"] == "y" && strings.HasPrefix(a["data-kelvin"], "-") && a["data-step"] == "50" {
				axes++
			}
			if a["stroke-width"] != "3" || a["stroke-linejoin"] == "" || !strings.HasPrefix(class, "numbers") {
				class = ""
			}
		}, func(s string) {
			if x, err := strconv.ParseFloat(strings.TrimSpace(s), 64); err == nil && class != "" {
				levels = append(levels, x)
				if strings.Contains(class, celsius) == kelvin {
					t.Errorf("%g, in kelvins %v, is of class %q", x, kelvin, class)
				}
			}
		})
		if len(levels) < 3 || axes != 1 {
			t.Fatalf("%d lines have their number, %d axes say how they lie", len(levels), axes)
		}
		for _, x := range levels {
			if x != math.Round(x) || kelvin != (x > 270) || math.Mod(x, 2) != 0 && math.Mod(x, 5) != 0 {
				t.Errorf("a line says %g, in kelvins %v", x, kelvin)
			}
		}
	}
}
