package dossier

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/paper"
	"emberbank/press"
)

// pagesOf counts the pages of a document as it is printed.
func pagesOf(t *testing.T, d *paper.Document) int {
	t.Helper()
	var b bytes.Buffer
	if _, err := press.Set(&b, d, press.Options{}); err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile(`/Type /Pages[^>]*/Count (\d+)`).FindSubmatch(b.Bytes())
	if m == nil {
		t.Fatal("the file does not say how many pages it has")
	}
	n := 0
	fmt.Sscan(string(m[1]), &n)
	return n
}

func TestTheTrialSheetHasWhatIsForetoldOnOnePage(t *testing.T) {
	root := benchOf("3 bar", "")
	compute(t, root, "run.yaml")
	d, err := TrialSheet(gathered(t, root))
	if err != nil {
		t.Fatal(err)
	}
	holdsAll(t, textOf(t, d), "T one", "dark: light off", "drain: water in all circuits flowing", "low, high", "Stop as well", "Local codes and licensed practice decide.")
	if n := pagesOf(t, d); n != 1 {
		t.Errorf("it has %d pages", n)
	}
}

func TestATrialSheetOfOldResultsSaysSoOnOnePage(t *testing.T) {
	root := benchOf("3 bar", "")
	compute(t, root, "run.yaml")
	root["receiver.yaml"].Data = append(root["receiver.yaml"].Data, "# changed\n"...)
	d, err := TrialSheet(gathered(t, root))
	if err != nil {
		t.Fatal(err)
	}
	holdsAll(t, textOf(t, d), "older than receiver.yaml: renew it")
	if n := pagesOf(t, d); n != 1 {
		t.Errorf("it has %d pages", n)
	}
}

func TestACrowdedTrialSheetHasOnePage(t *testing.T) {
	root := benchOf("3 bar", "")
	run := string(root["run.yaml"].Data)
	var sensors, events []string
	for i := range 9 {
		sensors = append(sensors, fmt.Sprintf("{name: thermometer number %d, depth: %d mm, width: 100 mm, height: 100 mm}", i+1, 10*i+10))
		events = append(events, fmt.Sprintf("    - {at: %d min, name: switching number %d, do: {light: off, water low: flowing, water high: drained}}\n", 5*i+5, i+1))
	}
	run = strings.Replace(run, "{name: T one, depth: 40 mm, width: 100 mm, height: 100 mm}", strings.Join(sensors, ", "), 1)
	run = strings.Replace(run, "    - {at: 60 min, name: dark, do: {light: off}}\n", strings.Join(events, ""), 1)
	run = strings.Replace(run, "water: {all: {", "water: {low: {flow: 0.01 kg/s, inlet: 12 degC, pressure: 4 bar, state: drained}, high: {", 1)
	run = strings.Replace(run, "name: made day", "name: a day with a name that takes two lines of the sheet", 1)
	root["run.yaml"].Data = []byte(run)
	compute(t, root, "run.yaml")
	d, err := TrialSheet(gathered(t, root))
	if err != nil {
		t.Fatal(err)
	}
	if n := pagesOf(t, d); n != 1 {
		t.Errorf("it has %d pages", n)
	}
	holdsAll(t, textOf(t, d), "thermometer number 5", "Further sensors are left out here", "switching number 5")
}

func TestATrialSheetBeforeAnyRunHasWhatTheFilesSay(t *testing.T) {
	d, err := TrialSheet(gathered(t, benchOf("3 bar", "")))
	if err != nil {
		t.Fatal(err)
	}
	holdsAll(t, textOf(t, d), "T one", "dark: light off")
	holdsAll(t, textOf(t, d), "Nothing foretells T one: emberbank run run.yaml --uncertainty", "The trial states no limits of its own")
	empty := fstest.MapFS{"bench.yaml": {Data: []byte("schema: emberbank/1\nkind: bench\nname: empty\n")}}
	if d, err = TrialSheet(gathered(t, empty)); err != nil {
		t.Fatal(err)
	}
	holdsAll(t, textOf(t, d), "there is no trial to do")
}

// TestATrialSheetIsAboutTheFileThatIsNamed: a bench with two runs, of which dossier.yaml names the second, and then one that is not there.
func TestATrialSheetIsAboutTheFileThatIsNamed(t *testing.T) {
	root := benchOf("3 bar", "")
	root["other.yaml"] = &fstest.MapFile{Data: []byte(strings.Replace(string(root["run.yaml"].Data), "name: made day", "name: the other day", 1))}
	name := func(file string) (*paper.Document, error) {
		root["dossier.yaml"] = &fstest.MapFile{Data: []byte("schema: emberbank/1\nkind: dossier\ntrial sheet: " + file + "\n")}
		return TrialSheet(gathered(t, root))
	}
	d, err := name("other.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(d.Subtitle, "the other day") {
		t.Errorf("it is about %q", d.Subtitle)
	}
	if _, err := name("gone.yaml"); err == nil || !strings.Contains(err.Error(), "dossier.yaml:3:14") {
		t.Errorf("a file that is not there is told as %v", err)
	}
}

// TestABandSaysWhereToCall: the highest with its band may stand elsewhere than the highest alone.
func TestABandSaysWhereToCall(t *testing.T) {
	c := course{time: []float64{0, 1, 2}, value: []float64{400, 500, 490}, half: []float64{5, 10, 30}}
	if got := c.top(); got != 520 {
		t.Errorf("it calls at %g K", got)
	}
	if got := (&course{value: []float64{400}}).top(); got == got {
		t.Errorf("without a band it calls at %g K", got)
	}
}
