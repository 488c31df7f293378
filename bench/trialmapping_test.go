package bench

import (
	"os"
	"strings"
	"testing"
	"testing/fstest"
)

func TestAMappingTellsTheChannelsAsTheyAreTyped(t *testing.T) {
	m, problems := LoadMapping(os.DirFS("../examples/bakery-trial"), "trial.yaml")
	if problems.Failed() {
		t.Fatal(problems)
	}
	if len(m.Loggers) != 1 || len(m.Loggers[0].Channels) != 8 || m.Loggers[0].Files[0] != "logger.csv" {
		t.Fatalf("it holds %+v", m)
	}
	c := m.Loggers[0].Channels
	if c[0].Path != "loggers[1].channels[1]" || c[0].Column.Heading != "T front" || c[0].Place != "front" || c[0].Known != "couple K, class 1" {
		t.Errorf("the first channel is %+v", c[0])
	}
	if c[5].Known != "± 1.5 %" || !c[7].Hold {
		t.Errorf("the flow is %+v, the lamp %+v", c[5], c[7])
	}
}

// TestAMappingIsToldThoughTheTrialCannotBeUsed: the sheet on which it is corrected needs it then most.
func TestAMappingIsToldThoughTheTrialCannotBeUsed(t *testing.T) {
	const text = `schema: emberbank/1
kind: trial
loggers:
  - file: gone.csv
    channels:
      - {column: A, place: core}
      - {column: B, place: core}
      - {column: 3, place: circuit main inlett}
`
	m, problems := LoadMapping(fstest.MapFS{"t.yaml": {Data: []byte(text)}}, "t.yaml")
	if m == nil || len(m.Loggers) != 1 || len(m.Loggers[0].Channels) != 3 || m.Loggers[0].Channels[2].Column.Number != 3 {
		t.Fatalf("it holds %+v, %v", m, problems)
	}
	said := ""
	for _, p := range problems {
		said += p.Field + ": " + p.Message + "\n"
	}
	for _, want := range []string{"loggers[1].channels[2].place", "has this place already", "loggers[1].channels[3].place"} {
		if !strings.Contains(said, want) {
			t.Errorf("nothing says %q in %s", want, said)
		}
	}
}
