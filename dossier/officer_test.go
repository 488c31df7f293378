package dossier

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/paper"
)

// textOf is all that a document says.
func textOf(t *testing.T, d *paper.Document) string {
	t.Helper()
	n, err := paper.Number(d)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, f := range d.Facts {
		b.WriteString(f.Name + ": " + paper.Words(f.Says) + "\n")
	}
	for _, p := range n.Pieces {
		if p.Chapter != nil {
			b.WriteString(p.Chapter.Title + "\n")
			continue
		}
		for _, text := range paper.Texts(p.Block) {
			b.WriteString(paper.Words(text) + "\n")
		}
	}
	return b.String()
}

func officerText(t *testing.T, root fstest.MapFS) (string, *Gathered) {
	t.Helper()
	g := gathered(t, root)
	d, err := Officer(g)
	if err != nil {
		t.Fatal(err)
	}
	return textOf(t, d), g
}

func holdsAll(t *testing.T, text string, wanted ...string) {
	t.Helper()
	for _, w := range wanted {
		if !strings.Contains(text, w) {
			t.Errorf("the text does not say %q", w)
		}
	}
}

func TestOfficerSaysWhatToSupplyForAMargin(t *testing.T) {
	root := benchOf("3 bar", "")
	compute(t, root, "run.yaml")
	text, _ := officerText(t, root)
	holdsAll(t, text, "The margin cannot be stated", "no allowable stress is stated", "strength: {allowable stress: … MPa", "Local codes and licensed practice decide.")
}

// TestOfficersMarginIsThatOfTheCode holds the page's capacity against the formula worked by hand:
//
//	P = 2 · 110 MPa · 0.85 · (0.875 · 1 mm − 0.1 mm)/(12 mm − 0.8 (0.875 · 1 mm − 0.1 mm)) = 12.735 MPa
//
// Source: ASME B31.1, para. 104.1.2.
func TestOfficersMarginIsThatOfTheCode(t *testing.T) {
	root := benchOf("3 bar", ", strength: {allowable stress: 110 MPa, up to: 450 degC, joint: 0.85, allowance: 0.1 mm, source: invented for this test}")
	compute(t, root, "run.yaml")
	text, g := officerText(t, root)
	s := g.facts[SafetyName]
	bears, ok := s.float("/circuits/0/bears_Pa")
	if want := 2 * 110e6 * 0.85 * 0.775 / (12 - 0.8*0.775); !ok || math.Abs(bears-want) > 1e-6*want {
		t.Errorf("the tube bears %g Pa, not %g", bears, want)
	}
	over, _ := s.float("/circuits/0/bears_over_line")
	if want := bears / (3e5 - 101325); math.Abs(over-want) > 1e-9*want {
		t.Errorf("it bears the line's pressure %g times, not %g", over, want)
	}
	if k, ok := s.float("/circuits/0/warmed_until_it_bears_no_more_K"); !ok || !(k > 5 && k < 60) {
		t.Errorf("a full tube may be warmed by %g K", k)
	}
	holdsAll(t, text, "invented for this test", "\n127\n", "12.5\u2009%")
	if strings.Contains(text, "cannot be stated") {
		t.Error("a margin that is stated is said not to be")
	}
}

func TestOfficersHeatIsThatOfTheBlock(t *testing.T) {
	root := benchOf("3 bar", "")
	compute(t, root, "run.yaml")
	_, g := officerText(t, root)
	s := g.facts[SafetyName]
	mean, _ := s.float("/runs/0/warmest_block_mean_degC")
	holds, _ := s.float("/runs/0/block_above_ambient_J")
	rise, _ := s.float("/runs/0/rise_of_all_J")
	// 0.004 m³ of aluminium less two bores of 12 mm; 2702 kg/m³ and about 0.94 kJ/(kg K) up to 200 °C (Incropera: 903 at 300 K, 949 at 400 K).
	want := (0.004 - 2*math.Pi/4*0.012*0.012*0.2) * 2702 * 940 * (mean - 20)
	if math.Abs(holds-want) > 0.05*want {
		t.Errorf("the block holds %g J at %g °C, by handbook values %g", holds, mean, want)
	}
	if !(rise > holds && rise < 1.5*holds) {
		t.Errorf("all together rose by %g J, the block alone by %g", rise, holds)
	}
	above, _ := s.float("/runs/0/block_above_100_degC_J")
	steam, _ := s.float("/runs/0/steam_kg")
	// 2675.6 kJ/kg of steam at 1.01325 bar less 63.1 kJ/kg of water of 15 °C. Source: steam tables by IAPWS-IF97, from memory.
	if want := above / (2675.6e3 - 63.1e3); !(above > 0) || math.Abs(steam-want) > 1e-3*want {
		t.Errorf("%g J make %g kg of steam, not %g", above, steam, want)
	}
}

// TestEveryNumberOfTheHandedPapersStandsWhereItSays walks all texts: a digit needs a place, and the place holds it.
func TestEveryNumberOfTheHandedPapersStandsWhereItSays(t *testing.T) {
	root := benchOf("3 bar", ", strength: {allowable stress: 110 MPa, up to: 450 degC, source: invented}")
	compute(t, root, "run.yaml")
	g := gathered(t, root)
	for name, compose := range map[string]func(*Gathered) (*paper.Document, error){"officer": Officer, "sheet": TrialSheet} {
		d, err := compose(g)
		if err != nil {
			t.Fatal(err)
		}
		n, err := paper.Number(d)
		if err != nil {
			t.Fatal(err)
		}
		checked := 0
		for _, p := range n.Pieces {
			if _, formula := p.Block.(paper.Equation); p.Block == nil || formula {
				continue
			}
			for _, text := range paper.Texts(p.Block) {
				for _, s := range text {
					if s.Origin == "" {
						if strings.ContainsAny(s.Text, "0123456789") && !strings.Contains(s.Text, "Source:") && s.Style != paper.Code && !strings.HasSuffix(s.Text, "95\u2009%.") {
							t.Errorf("%s: %q has a digit and no place", name, s.Text)
						}
						continue
					}
					file, pointer, found := strings.Cut(s.Origin, " ")
					at := readTree(root, file)
					for fact, raw := range g.Facts() {
						if strings.HasSuffix(file, "/"+fact) {
							at = treeOf(file, raw)
						}
					}
					if _, holds := at.at(pointer); !found || !holds {
						t.Errorf("%s: %q is said to stand in %q, and does not", name, s.Text, s.Origin)
					}
					checked++
				}
			}
		}
		if checked < 20 {
			t.Errorf("%s: %d spans with a place only", name, checked)
		}
	}
}

// TestResultsThatWereTamperedWithAreBorne: numbers that are none, and a dish that sends less than nothing.
func TestResultsThatWereTamperedWithAreBorne(t *testing.T) {
	root := benchOf("3 bar", "")
	compute(t, root, "run.yaml")
	rows := strings.Split(string(root["results/run/history.csv"].Data), "\n")
	cells := strings.Split(rows[len(rows)/2], ",")
	for i := range cells[1:] {
		cells[i+1] = "Inf"
	}
	rows[len(rows)/2] = strings.Join(cells, ",")
	root["results/run/history.csv"].Data = []byte(strings.Join(rows, "\n"))
	root["light.yaml"] = &fstest.MapFile{Data: []byte("schema: emberbank/1\nkind: light\n")}
	root["results/light/light.json"] = &fstest.MapFile{Data: []byte(`{"power_W":{"value":-1},"rim_angle_rad":0.7,"peak_flux_W_m2":{"value":1e999}}`)}
	root["results/light/manifest.json"] = &fstest.MapFile{Data: []byte(`{"schema":"emberbank/1","files":[{"name":"light.json"}]}`)}
	text, g := officerText(t, root)
	holdsAll(t, text, "The block holds most in the run run", "The block takes in up to")
	if strings.Contains(text, "the dish sends") {
		t.Error("a dish that sends less than nothing is told of")
	}
	if q, ok := g.facts[SafetyName].float("/light/absorbed_W"); !ok || !(q > 0 && q < 1500) {
		t.Errorf("%g W are taken in of 1500", q)
	}
}

func TestWhatIsOldIsNamedWithWhatRenewsIt(t *testing.T) {
	root := benchOf("3 bar", "")
	compute(t, root, "run.yaml")
	fresh, _ := officerText(t, root)
	if strings.Contains(fresh, "older than") {
		t.Error("fresh results are said to be old")
	}
	root["receiver.yaml"].Data = append(root["receiver.yaml"].Data, "# changed\n"...)
	text, _ := officerText(t, root)
	holdsAll(t, text, "is older than receiver.yaml", "emberbank run run.yaml")
}

func TestABenchWithoutResultsHasPagesThatSaySo(t *testing.T) {
	text, _ := officerText(t, benchOf("3 bar", ""))
	holdsAll(t, text, "No run has results yet", "The run run.yaml has no results", "Before. Two people at least")
	text, _ = officerText(t, fstest.MapFS{"bench.yaml": {Data: []byte(madeBench)}})
	holdsAll(t, text, "No run of the bench can be read", "emberbank check .")
}

// TestTheChecklistFollowsFromTheBench changes one thing of the bench at a time.
func TestTheChecklistFollowsFromTheBench(t *testing.T) {
	with := func(old, new string) string {
		root := benchOf("3 bar", "")
		for _, f := range root {
			f.Data = []byte(strings.ReplaceAll(string(f.Data), old, new))
		}
		text, _ := officerText(t, root)
		return text
	}
	usual := with("nothing", "nothing")
	for _, c := range []struct{ what, says, old, new string }{
		{"light", "The ways of the beam", "  light: {power: 1.5 kW, map: {gaussian: {sigma: 40 mm}}}\n", ""},
		{"pane", "The pane is clean", ", glass: {material: borosilicate-glass, thickness: 4 mm, gap: 20 mm, transmittance: 0.9}", ""},
		{"insulation", "moves insulation", "insulation: {all: [{material: mineral-wool, thickness: 40 mm}]}\n", ""},
	} {
		without := with(c.old, c.new)
		if !strings.Contains(usual, c.says) || strings.Contains(without, c.says) {
			t.Errorf("%s: %q stands there: %v, and without it: %v", c.what, c.says, strings.Contains(usual, c.says), strings.Contains(without, c.says))
		}
	}
	for _, c := range []struct{ what, says, medium string }{
		{"graphite", "Air is kept from hot graphite", "graphite-isostatic"},
		{"a melt", "The filler is dry", "mix}\ncomposites: [{name: mix, matrix: aluminium, filler: tin, filler fraction: 30 %, void fraction: 3 %}"},
	} {
		other := with("medium: aluminium}", "medium: "+strings.Replace(c.medium+"}", "%}}", "%}]", 1))
		if strings.Contains(usual, c.says) || !strings.Contains(other, c.says) {
			t.Errorf("%s: %q stands in aluminium: %v, in %s: %v", c.what, c.says, strings.Contains(usual, c.says), c.medium, strings.Contains(other, c.says))
		}
	}
	dry := with("passes: [{along: width, depth: 50 mm, height: [60 mm, 140 mm]}]\ncircuits: [{name: low, passes: [1]}, {name: high, passes: [2]}]\n", "")
	if strings.Contains(usual, "First water") == strings.Contains(dry, "First water") {
		t.Error("water is on the list of a receiver without tubes, or not on that of one with")
	}
}
