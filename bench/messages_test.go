package bench

import (
	"strings"
	"testing"
	"testing/fstest"
)

const emptyBlock = `schema: emberbank/1
kind: receiver
block: {depth: 100 mm, width: 100 mm, height: 100 mm, medium: mix}
composites:
  - {name: mix, matrix: graphite-isostatic, filler: zinc, filler fraction: 15 %, melting: none, heat capacity: 800 J/(kg K)}
window: {}
`

// TestSensorsOutsideTheReceiverAreToldInOneMessage: coordinates that count from elsewhere put all of them outside.
func TestSensorsOutsideTheReceiverAreToldInOneMessage(t *testing.T) {
	text := `schema: emberbank/1
kind: trial
receiver: receiver.yaml
loggers:
  - file: logger.csv
    channels:
      - {column: T1, place: core, position: {depth: 50 mm, width: 50 mm, height: 50 mm}}
      - {column: T2, place: edge, position: {depth: 900 mm, width: 50 mm, height: 50 mm}}
      - {column: T3, place: back, position: {depth: -900 mm, width: 50 mm, height: 50 mm}}
`
	fsys := fstest.MapFS{
		"receiver.yaml": {Data: []byte(emptyBlock)}, "logger.csv": {Data: []byte("time [s],T1 [degC],T2 [degC],T3 [degC]\n0,20,20,20\n1,20,20,20\n2,20,20,20\n")},
		"trial.yaml": {Data: []byte(text)},
	}
	_, ps := LoadTrial(fsys, "trial.yaml", Options{})
	if len(ps) != 1 || !strings.Contains(ps.String(), "2 sensors are not in the receiver: edge (line 8) lies outside the body, back (line 9) lies outside the body") {
		t.Errorf("not one message:\n%s", ps)
	}
}

// TestAFileInTheFolderAboveSaysHowThatBecomesTheBench: the first thing that a folder of trials meets.
func TestAFileInTheFolderAboveSaysHowThatBecomesTheBench(t *testing.T) {
	run := "schema: emberbank/1\nkind: run\nreceiver: ../receiver.yaml\nduty: {ambient: 20 degC}\nuntil: 1 min\n"
	fsys := fstest.MapFS{"run.yaml": {Data: []byte(run)}}
	_, ps := LoadRun(fsys, "run.yaml", Options{})
	if text := ps.String(); !strings.Contains(text, `put a file bench.yaml with the lines "schema: emberbank/1" and "kind: bench" into the folder above: it makes that folder the bench`) {
		t.Errorf("the way out is not told:\n%s", text)
	}
	above := fstest.MapFS{
		"bench.yaml": {Data: []byte("schema: emberbank/1\nkind: bench\n")}, "receiver.yaml": {Data: []byte(emptyBlock)}, "trials/run.yaml": {Data: []byte(run)},
	}
	if _, ps := LoadRun(above, "trials/run.yaml", Options{}); strings.Contains(ps.String(), "leaves the bench") || strings.Contains(ps.String(), "bench.yaml") {
		t.Errorf("what the message says does not help:\n%s", ps)
	}
	above["trials/run.yaml"].Data = []byte(strings.Replace(run, "../", "../../", 1))
	if _, ps := LoadRun(above, "trials/run.yaml", Options{}); strings.Contains(ps.String(), "put a file bench.yaml") {
		t.Errorf("a bench.yaml is there already:\n%s", ps)
	}
}

// TestAMatchNamesTheNearestPathThatExists: a property that the file states has no factor "medium[NAME]" any more.
func TestAMatchNamesTheNearestPathThatExists(t *testing.T) {
	for path, want := range map[string]string{
		"medium[mix].heat capacity":    "its file states it: receiver.composites[1].heat capacity",
		"receiver.block.conductivty":   "below receiver.block stand: depth, height, width",
		"receiver.blok.depth":          `did you mean "receiver.block.depth"?`,
		"receiver.mix.filler fraction": "the nearest that exists is receiver.composites[1].filler fraction",
	} {
		fsys := fstest.MapFS{
			"receiver.yaml": {Data: []byte(emptyBlock)},
			"run.yaml":      {Data: []byte("schema: emberbank/1\nkind: run\nreceiver: receiver.yaml\nduty: {ambient: 20 degC}\nuntil: 1 min\n")},
			"match.yaml": {Data: []byte(`schema: emberbank/1
kind: match
parameters:
  - {name: c, path: "` + path + `", between: [0.5, 2]}
trials:
  - run: run.yaml
    measured: m.csv
    columns: [{column: block mean, noise: 1 K}]
`)},
			"m.csv": {Data: []byte("time [s],block mean [degC]\n0,20\n10,20\n20,20\n30,20\n")},
		}
		_, ps := LoadMatch(fsys, "match.yaml")
		if !strings.Contains(ps.String(), want) {
			t.Errorf("%s: %q is not told:\n%s", path, want, ps)
		}
	}
}

// TestACoupleWithoutItsColdJunctionIsDoubted: its readings would be low by the logger's own temperature.
func TestACoupleWithoutItsColdJunctionIsDoubted(t *testing.T) {
	for _, junction := range []string{"", ", junction: panel"} {
		fsys := fstest.MapFS{
			"logger.csv": {Data: []byte("time [s],TC [mV],CJ [degC]\n0,0.1,20\n1,0.1,20\n2,0.1,20\n")},
			"trial.yaml": {Data: []byte("schema: emberbank/1\nkind: trial\nloggers:\n  - file: logger.csv\n    channels:\n" +
				"      - {column: TC, place: core, signal: {couple: K" + junction + "}}\n      - {column: CJ, place: panel, outside: yes}\n")},
		}
		tr, ps := LoadTrial(fsys, "trial.yaml", Options{})
		if ps.Failed() {
			t.Fatal(ps)
		}
		told := strings.Contains(strings.Join(tr.Warnings, "\n"), `the cold junction of "core" is taken as 0 degC`)
		if told != (junction == "") {
			t.Errorf("junction %q: %q", junction, tr.Warnings)
		}
	}
}

// TestAPathThatBreaksALineIsToBeQuoted: in braces, YAML takes its brackets for a list.
func TestAPathThatBreaksALineIsToBeQuoted(t *testing.T) {
	fsys := fstest.MapFS{"study.yaml": {Data: []byte("schema: emberbank/1\nkind: study\nrun: run.yaml\nsweep:\n  axes:\n    - {name: wool, path: receiver.insulation.around[2].thickness, values: [10 mm]}\n")}}
	_, ps := LoadStudy(fsys, "study.yaml")
	if !strings.Contains(ps.String(), `put the path in quotes: "receiver.insulation.around[2].thickness"`) {
		t.Errorf("it says\n%s", ps)
	}
}
