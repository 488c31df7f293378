package dossier

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

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
	d, err = TrialSheetOf(gathered(t, benchOf("3 bar", "")), "gone.yaml")
	if err != nil {
		t.Fatal(err)
	}
	holdsAll(t, textOf(t, d), "there is no trial to do")
}
