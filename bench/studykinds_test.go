package bench

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/history"
	"emberbank/sample"
)

// behindRun is what stands in a study file behind its run.
func behindRun(name string) string {
	_, text, _ := strings.Cut(kept(name), "run: run.yaml\n")
	return text
}

// studyOf is a study of the run with tubes, with this text behind its run.
func studyOf(t *testing.T, text string) (*Study, fstest.MapFS) {
	t.Helper()
	files := tubes()
	files["study.yaml"] = &fstest.MapFile{Data: []byte("schema: emberbank/1\nkind: study\nrun: run.yaml\n" + text)}
	s, ps := LoadStudy(files, "study.yaml")
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	return s, files
}

var sampleText = behindRun("sample.yaml")

// TestASampleDrawsFromWhatIsKnown: quantiles of each input, computed by hand from the words of the file.
func TestASampleDrawsFromWhatIsKnown(t *testing.T) {
	s, files := studyOf(t, sampleText)
	same(t, "kind", s.Kind, Sample)
	same(t, "count", s.Design.Count(), int64(64))
	for i, c := range []struct{ u, want float64 }{
		{0.25, 7.5e-3},
		{0.975, 500},
		{0.975, 0.06},
		{1.0 / 3, 473.15}, // the mode parts the area as 20 to 40
		{0.74, 0},
		{0.5, 2},
		{0.5, 0.95},
	} {
		got := s.Axes[i].From.Quantile(c.u)
		if math.Abs(got-c.want) > 2e-6*math.Abs(c.want) {
			t.Errorf("%s: %g, not %g", s.Axes[i].Name, got, c.want)
		}
	}
	near(t, "the rarer word", s.Axes[4].From.Quantile(0.76), 1)
	x := make([]float64, len(s.Axes))
	for n := range s.Design.Count() {
		s.Design.At(n, x)
		built(t, files, s, x...)
	}
	again, _ := studyOf(t, strings.Replace(sampleText, "seed: 7", "seed: 8", 1))
	y := make([]float64, len(s.Axes))
	again.Design.At(5, y)
	s.Design.At(5, x)
	if x[0] == y[0] {
		t.Error("another seed draws the same")
	}
}

// TestAMistakeOfATriangleIsToldAlikeEachTime: of two ends that lack, or that are mistaken, the lower one comes first.
func TestAMistakeOfATriangleIsToldAlikeEachTime(t *testing.T) {
	for text, want := range map[string]string{"mode: 400 W/(m2 K)": "add low", "low: 3 K, mode: 400 W/(m2 K), high: 4 K": `"3 K"`} {
		files := tubes()
		files["study.yaml"] = &fstest.MapFile{Data: []byte("schema: emberbank/1\nkind: study\nrun: run.yaml\nresponses: [{read: block mean}]\n" +
			"sample: {count: 8, inputs: [{name: contact, path: receiver.tube.contact, " + text + "}]}\n")}
		for range 20 {
			if _, ps := LoadStudy(files, "study.yaml"); len(ps) != 1 || !strings.Contains(ps.String(), want) {
				t.Fatalf("%s: it says %v, not %s", text, ps, want)
			}
		}
	}
}

func TestAStatedInputIsDrawnAsItsHalfWidthSays(t *testing.T) {
	s, _ := studyOf(t, behindRun("stated.yaml"))
	var contact *StudyAxis
	for i := range s.Axes {
		if s.Axes[i].Name == "receiver.tube.contact" {
			contact = &s.Axes[i]
		}
	}
	if contact == nil {
		t.Fatalf("it draws %+v", s.Axes)
	}
	if got := contact.From.Quantile(0.975); math.Abs(got-600) > 0.01 {
		t.Errorf("19 of 20 reach up to %g", got)
	}
	if _, is := s.Design.(*sample.Exchange); !is || s.Design.Count() != 16*int64(len(s.Axes)+2) {
		t.Errorf("%d variants for %d inputs", s.Design.Count(), len(s.Axes))
	}
	for _, a := range s.Axes {
		if a.Name == "receiver.surfaces.all.emissivity" {
			if high := a.From.Quantile(1); high > 1 {
				t.Errorf("an emissivity of %g is drawn", high)
			}
			return
		}
	}
	t.Error("the emissivity is not drawn")
}

var searchText = behindRun("search.yaml")

func TestASearchHoldsItsRangesAndAims(t *testing.T) {
	s, _ := studyOf(t, searchText)
	same(t, "kind", s.Kind, Search)
	same(t, "no design", s.Design == nil, true)
	same(t, "search", s.Search.Runs*100+s.Search.AtOnce, 4003)
	same(t, "by surrogate", s.Search.Surrogate, false)
	same(t, "seed", s.Search.Seed, uint64(1))
	near(t, "low", s.Axes[0].Low, 0.02)
	near(t, "high", s.Axes[0].High, 0.2)
	same(t, "ratio", s.Axes[0].Ratio, true)
	same(t, "passes", s.Axes[1].Kind, AxisFirst)
	near(t, "up to", s.Axes[1].High, 5)
	same(t, "words", strings.Join(s.Axes[2].Words, " "), "aluminium graphite-isotropic")
	same(t, "levels", s.Axes[3].Levels.Len(), int64(2))
	same(t, "first aim", s.Search.Aims[0], StudyAim{Response: 0, Most: true, Flat: 50e3})
	same(t, "second aim", s.Search.Aims[1], StudyAim{Response: 1, Flat: 20})
	near(t, "limit on the price", s.Constraints[0].Below, 500)
	same(t, "currency", s.Responses[1].Unit, "EUR")
	near(t, "time limit", s.Limit, 300)
	same(t, "carried", len(s.Carry), 2)
	same(t, "carried", s.Carry[1].Path, FilmsPath)
	near(t, "half-width", s.Carry[0].Half, 100)
}

// TestAStudyInPlaceOfARunIsToldOfItsVariants: the number of a variant is what is missing most likely.
func TestAStudyInPlaceOfARunIsToldOfItsVariants(t *testing.T) {
	_, files := studyOf(t, searchText)
	_, ps := LoadRun(files, "study.yaml", Options{})
	if len(ps) != 1 || !strings.Contains(ps[0].Fix, "--variant N") {
		t.Error(ps)
	}
}

// TestCarriedFilmsReachTheRun: their share of their spread is a setting like any other.
func TestCarriedFilmsReachTheRun(t *testing.T) {
	run, ps := LoadRun(tubes(), "run.yaml", OptionsOf([]Setting{{Path: FilmsPath, Value: -1}}))
	if len(ps) > 0 || run.Problem.Films != -1 {
		t.Fatal(ps)
	}
}

func TestAnswersAskOfPlateausAndOfWhatPays(t *testing.T) {
	s, _ := studyOf(t, behindRun("answers.yaml"))
	same(t, "twins", s.Answers[0].Twins, true)
	p := s.Answers[1].Pays
	same(t, "axis", s.Answers[1].Axis, 0)
	same(t, "responses", p.Responses[0]*10+p.Responses[1], 12)
	same(t, "control", p.Control, 2)
	near(t, "worth", p.Worth, 50)
	for i, want := range []history.Quantity{history.Heat, history.HeatFlow, history.HeatFlow, history.Time, history.Heat, history.Mass} {
		same(t, s.Responses[i].Name, s.Responses[i].Quantity, want)
	}
	near(t, "level", s.Responses[1].Read.Level, 423.15)
	carried := map[string]bool{}
	for _, u := range s.Carry {
		carried[u.Path] = true
	}
	if !carried["receiver.tube.contact"] || !carried["receiver.surfaces.all.emissivity"] || !carried[FilmsPath] || carried["receiver.insulation.all[1].thickness"] {
		t.Errorf("it carries %v", carried)
	}
}

// TestMassAndCostAreThoseOfTheDrawing: tubes of 8 mm over 6 mm, five passes of 80 mm, four leads of 40 mm and three bends of
// 60 mm, so 740 mm; prices by hand.
func TestMassAndCostAreThoseOfTheDrawing(t *testing.T) {
	s, files := studyOf(t, behindRun("prices.yaml"))
	run := built(t, files, s, 5)
	rec := &run.Problem.Receiver
	density := map[string]float64{}
	for _, m := range rec.Media {
		density[m.Name] = m.Density
	}
	bore := math.Pi / 4 * 64e-6
	block, wool := 0.1*0.08*0.08-0.4*bore, 0.14*0.16*0.16-0.1*0.08*0.08-0.34*bore
	tubes := math.Pi / 4 * (64 - 36) * 1e-6 * 0.74 * density["stainless-304"]
	want := []float64{
		math.NaN(), block*density["aluminium"] + wool*density["mineral-wool"] + tubes, block * density["aluminium"], wool * density["mineral-wool"], tubes, tubes,
		6*block*density["aluminium"] + 100*wool + 12*0.74 + 5*25 + 2*40 + 300*0.0016 + 900,
	}
	for i, got := range s.Built(run) {
		if math.IsNaN(got) != math.IsNaN(want[i]) || math.Abs(got-want[i]) > 1e-9*want[i] {
			t.Errorf("%s: %g, not %g", s.Responses[i].Name, got, want[i])
		}
	}
	none := s.Built(built(t, files, s, 0))
	near(t, "tubes of no pass", none[4], 0)
	near(t, "block without bores", none[2], 0.1*0.08*0.08*density["aluminium"])
}

// TestWhatIsBoughtByThePieceIsNotChargedByItsMaterialAgain: tubes by the metre and a pane by the piece.
func TestWhatIsBoughtByThePieceIsNotChargedByItsMaterialAgain(t *testing.T) {
	const study = `
sweep: {axes: [{name: passes, path: receiver.passes, from: 0, to: 5}]}
prices: {currency: EUR, list: [{of: aluminium, per: kg, price: "0"}, {of: mineral-wool, per: kg, price: "0"}, {of: stainless-304, per: kg, price: "5"}, MORE]}
responses: [{read: cost}, {read: mass of tubes}]
`
	s, files := studyOf(t, strings.Replace(study, ", MORE", "", 1))
	got := s.Built(built(t, files, s, 5))
	near(t, "by mass", got[0], 5*got[1])
	s, files = studyOf(t, strings.Replace(study, "MORE", `{of: tube, per: m, price: "10"}`, 1))
	got = s.Built(built(t, files, s, 5))
	near(t, "by length", got[0], 7.4)
}

// TestWhatAnAxisBringsWithoutAPriceIsTold: the file's own material has its price, the axis's other one has none.
func TestWhatAnAxisBringsWithoutAPriceIsTold(t *testing.T) {
	const study = `
sweep: {axes: [{name: medium, path: receiver.block.medium, values: [aluminium, graphite-isotropic]}]}
prices: {currency: EUR, list: [{of: aluminium, per: kg, price: "6"}, {of: mineral-wool, per: kg, price: "2"}, {of: tube, per: m, price: "1"}MORE]}
responses: [{read: cost}]
`
	s, _ := studyOf(t, strings.Replace(study, "MORE", "", 1))
	if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0], "variants with graphite-isotropic have no cost") {
		t.Errorf("it warns: %v", s.Warnings)
	}
	s, _ = studyOf(t, strings.Replace(study, "MORE", `, {of: graphite-isotropic, per: kg, price: "9"}`, 1))
	if len(s.Warnings) != 0 {
		t.Errorf("with all priced it warns: %v", s.Warnings)
	}
}

// TestAMaterialThatAWordBringsInIsNotFreeForLackOfAPrice: its variants have no cost and are told; what the files have
// without a price counts as free, and is told too.
func TestAMaterialThatAWordBringsInIsNotFreeForLackOfAPrice(t *testing.T) {
	s, files := studyOf(t, `
sweep: {axes: [{name: block, path: receiver.block.medium, values: [aluminium, graphite-isotropic]}]}
prices: {currency: EUR, list: [{of: aluminium, per: kg, price: 6}]}
responses: [{read: cost}, {read: mass of aluminium}]
`)
	said := strings.Join(s.Warnings, "\n")
	for _, want := range []string{"counted as free, are mineral-wool (", "variants with graphite-isotropic have no cost"} {
		if !strings.Contains(said, want) {
			t.Errorf("it does not warn %q:\n%s", want, said)
		}
	}
	got := s.Built(built(t, files, s, 0))
	near(t, "of aluminium", got[0], 6*got[1])
	if got := s.Built(built(t, files, s, 1)); !math.IsNaN(got[0]) {
		t.Errorf("graphite without a price costs %g", got[0])
	}
	files["study.yaml"].Data = append(files["study.yaml"].Data, "constraints: [{response: cost, below: 0.001 EUR}]\n"...)
	if _, ps := LoadStudy(files, "study.yaml"); !ps.Failed() || !strings.Contains(ps.Error(), "no variant can meet it") {
		t.Errorf("beside a variant without a cost a limit below all others is taken: %v", ps)
	}
}

// TestEveryMediumOfAnAxisIsCarried: what is known of a material counts in the variants that have it, and no variant fails for
// lack of it.
func TestEveryMediumOfAnAxisIsCarried(t *testing.T) {
	s, files := studyOf(t, `
sweep: {axes: [{name: medium, path: receiver.block.medium, values: [aluminium, graphite-isotropic]}]}
carry: yes
responses: [{read: block mean}]
`)
	seen := map[string]bool{}
	for _, u := range s.Carry {
		seen[u.Path] = true
		for word := range 2 {
			set := append(s.Settings([]float64{float64(word)}), Setting{Path: u.Path, Value: u.Value + u.Half/2})
			if _, ps := LoadRun(files, s.Run, OptionsOf(set)); ps.Failed() {
				t.Errorf("%s with word %d: %v", u.Path, word, ps)
			}
		}
	}
	if !seen["medium[aluminium].density"] || !seen["medium[graphite-isotropic].density"] {
		t.Errorf("it carries %v", seen)
	}
}

// TestStudyFilesSuitTheirSchema: by a library that knows the standard.
func TestStudyFilesSuitTheirSchema(t *testing.T) {
	s := compiled(t, "study")
	for _, name := range []string{"words", "sample", "search", "answers", "prices", "stated"} {
		if err := s.Validate(instance(t, []byte(kept(name+".yaml")))); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if s.Validate(instance(t, []byte(strings.Replace(kept("search.yaml"), "by: trials", "by: guesses", 1)))) == nil {
		t.Error("a word that is not known suits it")
	}
}

// TestSlipsInStudyFilesGiveProblemsOrStudies: whatever is typed, nothing panics, and a study that reads can be built.
func TestSlipsInStudyFilesGiveProblemsOrStudies(t *testing.T) {
	names := []string{"words", "sample", "search", "answers", "prices", "stated"}
	read, refused := 0, 0
	for n := range 300 {
		text := mangle(rand.New(rand.NewPCG(uint64(n), 11)), kept(names[n%len(names)]+".yaml"))
		files := tubes()
		files["study.yaml"] = &fstest.MapFile{Data: []byte(text)}
		s, ps := LoadStudy(files, "study.yaml")
		for _, p := range ps {
			if strings.Contains(p.String(), "NaN") || p.Fix == "" || p.Line > 0 && p.Column < 1 {
				t.Errorf("slip %d: %s", n, p)
			}
		}
		if s == nil {
			refused++
			continue
		}
		read++
		if s.Kind != Search && s.Design == nil || s.Kind == Search && len(s.Search.Aims) == 0 || len(s.Axes) == 0 {
			t.Fatalf("slip %d: not a whole study:\n%s", n, text)
		}
		if s.Design != nil {
			x := make([]float64, len(s.Axes))
			s.Design.At(s.Design.Count()-1, x)
			OptionsOf(s.Settings(x))
		}
	}
	if read < 20 || refused < 80 {
		t.Errorf("%d texts read and %d were refused: the slips are too harsh or too mild to tell anything", read, refused)
	}
}
