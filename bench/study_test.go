package bench

import (
	"strings"
	"testing"
	"testing/fstest"
)

const studyRun = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 100 mm, width: 60 mm, height: 60 mm, medium: brick}
  materials:
    - {name: brick, density: 2000 kg/m3, heat capacity: 1000 J/(kg K), conductivity: 20 W/(m K), source: made up}
    - {name: wool, density: 100 kg/m3, heat capacity: 800 J/(kg K), conductivity: 0.05 W/(m K), source: made up}
  insulation: {all: [{material: wool, thickness: 40 mm}]}
  surfaces: {all: {film: 10 W/(m2 K), emissivity: 0}}
duty: {ambient: 20 degC}
initial: 300 degC
until: 10 min
`

const studyFile = `schema: emberbank/1
kind: study
run: run.yaml
sweep:
  axes:
    - {name: thickness, path: "receiver.insulation.all[1].thickness", from: 20 mm, to: 160 mm, count: 4, steps: ratio}
    - {name: film, path: receiver.surfaces.all, factor: yes, values: [50 %, 100 %]}
responses:
  - {name: kept, read: "block mean [degC] at 5 min"}
  - {read: ledger lost}
constraints: [{response: kept, above: 280 degC}]
answers: [{plateau: kept, over: thickness, margin: 2 K, computing: 0.1 K}]
`

func loadedStudy(t *testing.T) (*Study, fstest.MapFS) {
	t.Helper()
	files := fstest.MapFS{"run.yaml": {Data: []byte(studyRun)}, "study.yaml": {Data: []byte(studyFile)}}
	s, ps := LoadStudy(files, "study.yaml")
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	return s, files
}

func TestStudySetsEveryVariantInItsOrder(t *testing.T) {
	s, files := loadedStudy(t)
	same(t, "count", s.Design.Count(), int64(8))
	x := make([]float64, 2)
	s.Design.At(3, x)
	near(t, "thickness", x[0], 0.04)
	near(t, "film", x[1], 1)
	same(t, "shown", s.Axes[0].Show(x[0]), "40 mm")
	s.Design.At(2, x)
	run, ps := LoadRun(files, s.Run, s.Changes(x))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	near(t, "film in force", surfaceOf(t, run, "left").Film.Value, 5)
	near(t, "limit", s.Constraints[0].Above, 280+zero)
	near(t, "margin", s.Answers[0].Margin, 2)
	same(t, "second response", s.Responses[1].Name, "ledger lost")
	near(t, "read at", s.Responses[0].Read.At, 300)
	same(t, "column", s.Responses[0].Read.Of, "block mean")
}

// TestStudyOfABillionIsCountedAndRefused: the count is in the message, and no variant is built.
func TestStudyOfABillionIsCountedAndRefused(t *testing.T) {
	_, files := loadedStudy(t)
	files["study.yaml"].Data = []byte(strings.Replace(studyFile, "count: 4", "count: 1000000000", 1))
	_, ps := LoadStudy(files, "study.yaml")
	if len(ps) != 1 || !strings.Contains(ps[0].Message, "2000000000 variants") {
		t.Errorf("it says %v", ps)
	}
}
