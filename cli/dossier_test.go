package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"image/gif"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"emberbank/binder"
	"emberbank/dossier"
	"emberbank/paper"
	"emberbank/verify"
)

// smallBench is the worked bench with a run so short and coarse that it takes a second, and none of what takes long.
func smallBench(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	makeBakery(t)
	for _, name := range []string{"match.yaml", "plan.yaml", "insulation.yaml", "passes.yaml", "window.yaml", "fills.yaml", "season.yaml", "light.yaml"} {
		if err := os.Remove(filepath.Join("bakery", name)); err != nil {
			t.Fatal(err)
		}
	}
	rewrite(t, "bakery/bench.yaml", regexp.MustCompile(`(?ms)^files:.*`), "")
}

func rewrite(t *testing.T, name string, what *regexp.Regexp, by string) {
	t.Helper()
	raw, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	changed := what.ReplaceAll(raw, []byte(by))
	if bytes.Equal(changed, raw) {
		t.Fatalf("%s has no %s", name, what)
	}
	if err := os.WriteFile(name, changed, 0o666); err != nil {
		t.Fatal(err)
	}
}

// outside are the outside checks: the same for every bench, they are computed once for all tests.
var outside = sync.OnceValues(func() ([]verify.Row, error) {
	return verify.Run(context.Background(), verify.Options{Clock: time.Now})
})

// mainOnce is Main, but the outside checks are not computed again where they have been.
func mainOnce(ctx context.Context, args []string, out, err io.Writer) int {
	c := &call{ctx: ctx, out: out, err: err, disk: realDisk(), checks: func(ctx context.Context, o verify.Options) ([]verify.Row, error) {
		if o.Only != "" {
			return verify.Run(ctx, o)
		}
		rows, err := outside()
		rows = slices.Clone(rows)
		for i := range rows {
			if o.Clock == nil {
				rows[i].Seconds = 0
			}
		}
		return rows, err
	}}
	return c.main(args)
}

// ok runs a command that must end well.
func ok(t *testing.T, args ...string) string {
	t.Helper()
	var out, err bytes.Buffer
	if code := mainOnce(t.Context(), args, &out, &err); code != ExitDone {
		t.Fatalf("%v ends with %d:\n%s%s", args, code, out.String(), err.String())
	}
	return out.String()
}

// reported composes the report of the bakery.
func reported(t *testing.T) (*dossier.Gathered, *paper.Document) {
	t.Helper()
	raw, err := os.ReadFile("bakery/results/dossier/" + binder.CheckedName)
	if err != nil {
		t.Fatal(err)
	}
	var checked binder.Checked
	if err := json.Unmarshal(raw, &checked); err != nil {
		t.Fatal(err)
	}
	g, err := dossier.Gather(os.DirFS("bakery"), dossier.Options{Version: Version, Verified: checked.Rows})
	if err != nil {
		t.Fatal(err)
	}
	d, err := dossier.Report(g)
	if err != nil {
		t.Fatal(err)
	}
	return g, d
}

// said are the texts of a document with an origin, by origin.
func said(d *paper.Document) map[string]string {
	out := map[string]string{}
	var walk func(all []paper.Chapter)
	walk = func(all []paper.Chapter) {
		for _, c := range all {
			for _, b := range c.Blocks {
				for _, t := range paper.Texts(b) {
					for _, s := range t {
						if s.Origin != "" {
							out[s.Origin] = s.Text
						}
					}
				}
			}
			walk(c.Chapters)
		}
	}
	walk(d.Chapters)
	return out
}

// TestDossier takes one bench through all, since the outside checks are computed at its first dossier.
func TestDossier(t *testing.T) {
	smallBench(t)
	t.Run("a place that nothing fills ends it", aPlaceThatNothingFillsEndsIt)
	t.Run("every number of a report follows its result", everyNumberOfAReportFollowsItsResult)
	t.Run("every picture can be had alone", everyPictureCanBeHadAlone)
	t.Run("unchanged it is not written again", unchangedItIsNotWrittenAgain)
	t.Run("against another it names files and numbers", againstAnotherItNamesFilesAndNumbers)
	t.Run("what cannot be read is told where it is wrong", whatCannotBeReadIsToldWhereItIsWrong)
}

// everyNumberOfAReportFollowsItsResult changes two inputs of a bench and computes it again: every number of the report must be the
// one that its origin holds, before and after, and those that hang on the inputs must be others.
func everyNumberOfAReportFollowsItsResult(t *testing.T) {
	text := "schema: emberbank/1\nkind: dossier\nparts: [question, receiver, materials, model, checks, runs, accuracy, trials, {title: Own, text: \"Lost: {charge-hold-drain: ledger lost, kWh}.\"}, conclusions, open questions]\n"
	if err := os.WriteFile("bakery/dossier.yaml", []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	ok(t, "run", "bakery", "--quiet")
	ok(t, "trial", "bakery/trials/lamp-slow.yaml", "--quiet")
	var first dossierJSON
	if err := json.Unmarshal([]byte(ok(t, "dossier", "bakery", "--json")), &first); err != nil || first.Same || !slices.ContainsFunc(first.Missing, func(m staleJSON) bool { return m.Renew == "emberbank trial trials/sun.yaml" }) {
		t.Errorf("as JSON it is %+v (%v)", first, err)
	}
	if err := os.CopyFS("earlier", os.DirFS("bakery/results/dossier")); err != nil {
		t.Fatal(err)
	}
	g, before := reported(t)
	for _, fault := range dossier.Audit(g, before) {
		t.Error(fault)
	}
	rewrite(t, "bakery/receiver.yaml", regexp.MustCompile(`(?m)^  depth: 200 mm`), "  depth: 210 mm")
	rewrite(t, "bakery/receiver.yaml", regexp.MustCompile(`(?m)^  absorptance: 0\.95 `), "  absorptance: 0.55 ")
	if told := ok(t, "dossier", "bakery"); !strings.Contains(told, "emberbank run charge-hold-drain.yaml") || !strings.Contains(told, "receiver.yaml") || !strings.Contains(told, "emberbank trial trials/sun.yaml") {
		t.Errorf("the stale run and what is missing are told as\n%s", told)
	}
	page, err := os.ReadFile("bakery/results/dossier/report.html")
	if err != nil || !strings.Contains(string(page), "older than what they were computed from") {
		t.Errorf("the report does not say that its numbers are old (%v)", err)
	}
	renewed := ok(t, "dossier", "bakery", "--renew", "--only", "trial-sheet", "-o", "sheet")
	for _, command := range []string{"emberbank run charge-hold-drain.yaml\n", "emberbank trial trials/sun.yaml\n"} {
		if strings.Count(renewed, command) != 1 {
			t.Errorf("%q is not given once:\n%s", command, renewed)
		}
	}
	g, after := reported(t)
	for _, fault := range dossier.Audit(g, after) {
		t.Error(fault)
	}
	slides, err := dossier.Slides(g)
	if err != nil || len(slides.Chapters) < 3 {
		t.Fatalf("there are %d slides (%v)", len(slides.Chapters), err)
	}
	for _, fault := range dossier.Audit(g, slides) {
		t.Error(fault)
	}
	if raw, err := os.ReadFile("bakery/results/dossier/slides.pdf"); err != nil || !bytes.Contains(raw, []byte("/MediaBox [0 0 720 405]")) {
		t.Errorf("slides are not 16 to 9, 10 inches wide (%v)", err)
	}
	old, now := said(before), said(after)
	if stored := "results/charge-hold-drain/summary.json /ledger/stored_J"; said(slides)[stored] == "" || said(slides)[stored] != now[stored] {
		t.Errorf("the heat stored is %q on slides and %q in the report", said(slides)[stored], now[stored])
	}
	for _, origin := range []string{
		"results/charge-hold-drain/summary.json /ledger/absorbed_J", "results/charge-hold-drain/summary.json /ledger/stored_J", "results/charge-hold-drain/summary.json /ledger/lost_J",
		"results/dossier/receiver.json /total_mass_kg", "receiver.yaml /block.depth",
	} {
		if old[origin] == "" || now[origin] == "" {
			t.Errorf("nothing in the report comes from %s", origin)
		}
		if old[origin] == now[origin] {
			t.Errorf("%s is %s before and after", origin, now[origin])
		}
	}
	if now["receiver.yaml /block.depth"] != "210 mm" {
		t.Errorf("the depth is told as %q", now["receiver.yaml /block.depth"])
	}
}

// everyPictureCanBeHadAlone: of the receiver, the run and the trial, each as it is named in the list.
func everyPictureCanBeHadAlone(t *testing.T) {
	var all []shownJSON
	if err := json.Unmarshal([]byte(ok(t, "picture", "bakery", "--json")), &all); err != nil || len(all) < 8 {
		t.Fatalf("there are %d pictures (%v)", len(all), err)
	}
	kinds := map[string]bool{}
	for _, s := range all {
		width := "200mm"
		if !s.Anew {
			width = "330mm"
		}
		var m pictureJSON
		if err := json.Unmarshal([]byte(ok(t, "picture", "bakery", s.Name, "-o", "alone/a.svg", "--width", width, "--json")), &m); err != nil || m.Anew != s.Anew || m.Bytes == 0 {
			t.Errorf("%s becomes %+v (%v)", s.Name, m, err)
		}
		raw, err := os.ReadFile("alone/a.svg")
		if err != nil || !strings.Contains(string(raw), `width="`+width+`"`) {
			t.Errorf("%s is not %s wide (%v)", s.Name, width, err)
		}
		kinds[strings.Split(s.Name, "/")[0]] = true
	}
	for _, kind := range []string{"receiver", "charge-hold-drain", "trials", "report"} {
		if !kinds[kind] {
			t.Errorf("there is none of %s", kind)
		}
	}
	ok(t, "picture", "bakery", "charge-hold-drain/history", "-o", "a.png", "--width", "127mm", "--dots", "100", "--quiet")
	raw, err := os.ReadFile("a.png")
	if err != nil {
		t.Fatal(err)
	}
	if c, err := png.DecodeConfig(bytes.NewReader(raw)); err != nil || c.Width != 500 {
		t.Errorf("127 mm at 100 dots an inch are %d (%v)", c.Width, err)
	}
	for _, name := range []string{"a.gif", "moves.svg"} {
		var m pictureJSON
		if err := json.Unmarshal([]byte(ok(t, "picture", "bakery", "charge-hold-drain", "-o", name, "--width", "127mm", "--dots", "50", "--over-time", "1s", "--json")), &m); err != nil || !m.Anew || !strings.Contains(m.Why, "computed again") {
			t.Errorf("%s: %+v (%v)", name, m, err)
		}
	}
	moves, err := os.Open("a.gif")
	if err != nil {
		t.Fatal(err)
	}
	defer moves.Close()
	if g, err := gif.DecodeAll(moves); err != nil || len(g.Image) != 6 || g.Config.Width != 250 {
		t.Errorf("a second is not six pictures of 250 dots: %+v (%v)", g.Config, err)
	}
	if raw, err := os.ReadFile("moves.svg"); err != nil || strings.Count(string(raw), " after ") < 6 || !strings.Contains(string(raw), "step-end infinite") {
		t.Errorf("the SVG does not show six times (%v)", err)
	}
	for _, wrong := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"nothing"}, ExitInput, "there is no picture nothing"},
		{[]string{"history"}, ExitInput, "5 pictures are called history"},
		{[]string{"receiver", "-o", "a.jpg"}, ExitUsage, "let it end in .svg, .pdf or .png"},
		{[]string{"receiver", "-o", "a.gif", "--over-time", "3s"}, ExitInput, "does not move"},
		{[]string{"charge-hold-drain", "-o", "b.png", "--over-time", "3s"}, ExitUsage, "let it end in .svg or .gif"},
		{[]string{"charge-hold-drain", "-o", "b.gif", "--over-time", "1 h"}, ExitUsage, "at most 40 s"},
		{[]string{"receiver", "--width", "wide"}, ExitUsage, "--width is wide"},
		{[]string{"receiver", "--width", "2m"}, ExitUsage, "from 20 to 1200 mm"},
		{[]string{"receiver", "--width", "0 mm"}, ExitUsage, "from 20 to 1200 mm"},
		{[]string{"receiver", "--type", "9"}, ExitUsage, "in points"},
		{[]string{"receiver", "--type", "0pt"}, ExitUsage, "from 4 to 96 pt"},
		{[]string{"receiver", "--type", "NaN pt"}, ExitUsage, "from 4 to 96 pt"},
		{[]string{"receiver", "--dots", "NaN"}, ExitUsage, "--dots is NaN"},
		{[]string{"-o", "a.svg"}, ExitUsage, "no picture is named"},
		{[]string{"charge-hold-drain/history", "-o", "b.svg", "--width", "40mm", "--type", "20pt"}, ExitInput, "there is room from"},
		{[]string{"receiver", "-o", "b.svg", "--width", "100mm", "--type", "20pt"}, ExitInput, "there is room from 193 mm of width on, or for type of 10.3 pt"},
	} {
		var out, err bytes.Buffer
		if code := Main(t.Context(), append([]string{"picture", "bakery"}, wrong.args...), Streams{&out, &err}); code != wrong.code || !strings.Contains(err.String(), wrong.says) {
			t.Errorf("%v ends with %d:\n%s", wrong.args, code, err.String())
		}
	}
	if isFile("a.jpg") || isFile("b.svg") {
		t.Error("something was written")
	}
	if err := os.WriteFile("bakery/dossier.yaml", []byte("schema: emberbank/1\nkind: dossier\nparts:\n  - {title: More, text: \"{nothing: there}\"}\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	defer os.Remove("bakery/dossier.yaml")
	ok(t, "picture", "bakery", "charge-hold-drain/history", "-o", "b.svg", "--quiet") // a mistake in the report's words is none of a run's picture
}

func unchangedItIsNotWrittenAgain(t *testing.T) {
	ok(t, "dossier", "bakery", "--quiet")
	first := tree(t, "bakery/results/dossier")
	st, err := os.Stat("bakery/results/dossier/report.html")
	if err != nil {
		t.Fatal(err)
	}
	if told := ok(t, "dossier", "bakery"); !strings.Contains(told, "Nothing has changed") {
		t.Errorf("it says\n%s", told)
	}
	again, err := os.Stat("bakery/results/dossier/report.html")
	if err != nil || !again.ModTime().Equal(st.ModTime()) {
		t.Errorf("the report was written again (%v)", err)
	}
	var d dossierJSON
	if err := json.Unmarshal([]byte(ok(t, "dossier", "bakery", "--json")), &d); err != nil || !d.Same || len(d.Missing) != 0 {
		t.Errorf("as JSON it is %+v (%v)", d, err)
	}
	if err := os.WriteFile("bakery/results/dossier/report.html", []byte("scribbled"), 0o666); err != nil {
		t.Fatal(err)
	}
	ok(t, "dossier", "bakery", "--quiet")
	for name, text := range tree(t, "bakery/results/dossier") {
		if first[name] != text {
			t.Errorf("%s is another", name)
		}
	}
}

func aPlaceThatNothingFillsEndsIt(t *testing.T) {
	if err := os.WriteFile("bakery/dossier.yaml", []byte("schema: emberbank/1\nkind: dossier\nparts:\n  - {title: Own, text: \"{charge-hold-drain: ledger lost, kWh}\"}\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	var out, err bytes.Buffer
	if code := mainOnce(t.Context(), []string{"dossier", "bakery"}, &out, &err); code != ExitInput {
		t.Errorf("it ends with %d", code)
	}
	for _, want := range []string{"bakery/dossier.yaml:4:25", "emberbank run charge-hold-drain.yaml"} {
		if !strings.Contains(err.String(), want) {
			t.Errorf("%q is not in\n%s", want, err.String())
		}
	}
	if _, e := os.Stat("bakery/results/dossier/report.html"); e == nil {
		t.Error("something was written")
	}
	if code := Main(t.Context(), []string{"dossier", "bakery", "--font", "bakery/bench.yaml"}, Streams{&out, &err}); code != ExitInput || !strings.Contains(err.String(), "no face can be read from bakery/bench.yaml") {
		t.Errorf("a file that is no face ends with %d:\n%s", code, err.String())
	}
	if code := Main(t.Context(), []string{"dossier", "bakery", "--only", "letter"}, Streams{&out, &err}); code != ExitUsage {
		t.Errorf("an unknown document ends with %d", code)
	}
}

// againstAnotherItNamesFilesAndNumbers compares with the dossier that stood before the inputs were changed.
func againstAnotherItNamesFilesAndNumbers(t *testing.T) {
	var d dossierJSON
	if err := json.Unmarshal([]byte(ok(t, "dossier", "bakery", "--against", "earlier", "--json")), &d); err != nil || d.Against == nil {
		t.Fatalf("it says %+v (%v)", d, err)
	}
	has := func(all []dossier.Changed, from string) bool {
		return slices.ContainsFunc(all, func(c dossier.Changed) bool { return c.From == from && c.First != "" && c.Second != "" })
	}
	if !has(d.Against.Inputs, "receiver.yaml") || has(d.Against.Inputs, "duty.yaml") {
		t.Errorf("the files that differ are %v", d.Against.Inputs)
	}
	if !has(d.Against.Says, "results/charge-hold-drain/summary.json /ledger/stored_J") || !has(d.Against.Says, "receiver.yaml /block.depth") {
		t.Errorf("they say otherwise %v", d.Against.Says)
	}
	if told := ok(t, "dossier", "bakery", "--against", "bakery"); !strings.Contains(told, "say the same") {
		t.Errorf("against itself it says\n%s", told)
	}
	var out, err bytes.Buffer
	if code := Main(t.Context(), []string{"dossier", "bakery", "--against", "nowhere"}, Streams{&out, &err}); code != ExitInput {
		t.Errorf("against nothing it ends with %d", code)
	}
}

// whatCannotBeReadIsToldWhereItIsWrong: the documents then lack the receiver, and whoever composes them hears why.
func whatCannotBeReadIsToldWhereItIsWrong(t *testing.T) {
	rewrite(t, "bakery/receiver.yaml", regexp.MustCompile(`(?m)^  depth: 210 mm`), "  depth: 210")
	told := ok(t, "dossier", "bakery")
	for _, words := range []string{"Left out, since files of runs hold mistakes", `receiver.yaml:8:10: block.depth "210" has no unit`, `fix: give a unit`} {
		if strings.Count(told, words) != 1 {
			t.Errorf("%q is not told once:\n%s", words, told)
		}
	}
	var d dossierJSON
	if err := json.Unmarshal([]byte(ok(t, "dossier", "bakery", "--json")), &d); err != nil || len(d.Unread) != 1 || d.Unread[0].Line != 8 {
		t.Errorf("as JSON: %+v (%v)", d.Unread, err)
	}
}
