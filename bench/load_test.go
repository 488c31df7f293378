package bench

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/heat"
	"emberbank/receiver"
)

// one returns a file system with one run file.
func one(text string) fstest.MapFS {
	return fstest.MapFS{"run.yaml": {Data: []byte("schema: emberbank/1\nkind: run\n" + text)}}
}

const plainReceiver = "receiver: {block: {depth: 200 mm, width: 300 mm, height: 300 mm, medium: aluminium}}\n"

// TestBenchmarkFilesStateTheBenchmark holds the two files to the benchmark's definition, written out here again.
func TestBenchmarkFilesStateTheBenchmark(t *testing.T) {
	for name, cells := range map[string][3]int{"small": {40, 30, 30}, "large": {80, 60, 60}} {
		run, ps := LoadRun(os.DirFS("../examples/benchmark-b1"), name+".yaml", Options{})
		if ps.Failed() {
			t.Fatal(ps)
		}
		p := run.Problem
		same(t, "grid", p.Grid, heat.GridPlan{Counts: cells})
		same(t, "block", p.Receiver.Block, block.Box{Max: block.Point{0.4, 0.3, 0.3}})
		same(t, "number of parts", len(p.Receiver.Parts), 1)
		near(t, "start", p.Receiver.Parts[0].Initial, 460+zero)
		m := p.Receiver.Media[0]
		near(t, "density", m.Density, 2100)
		near(t, "cp", m.HeatCapacity.At(600), 1000)
		near(t, "cp melted", m.HeatCapacityMelted.At(800), 1000)
		for a := range 3 {
			near(t, "k", m.Conductivity[a].At(600), 120)
			near(t, "k melted", m.ConductivityMelted[a].At(800), 120)
		}
		near(t, "latent", m.Latent, 60e3)
		near(t, "solidus", m.Solidus, 419+zero)
		near(t, "liquidus", m.Liquidus, 420+zero)
		for i, s := range p.Receiver.Surfaces {
			h, eps := 0.8, 0.0
			if block.Side(i) == block.Front {
				h, eps = 8, 0.85
			}
			same(t, s.Name+" kind", s.Kind, receiver.Exchange)
			same(t, s.Name+" film", s.Film, receiver.Film{Kind: receiver.FilmFixed, Value: h})
			near(t, s.Name+" emissivity", s.Emissivity, eps)
			near(t, s.Name+" ambient", *s.Ambient, 20+zero)
			near(t, s.Name+" surroundings", *s.Surrounds, 20+zero)
		}
		same(t, "passes", len(p.Receiver.Passes), 9)
		seen := map[[2]float64]bool{}
		for _, s := range p.Receiver.Passes {
			near(t, "line", s.Line, 25)
			near(t, "fluid", s.Fluid, 60+zero)
			same(t, "axis", s.Axis, block.Width)
			near(t, "length", s.To-s.From, 0.3)
			seen[[2]float64{s.At[0], s.At[2]}] = true
		}
		for _, x := range []float64{0.1, 0.2, 0.3} {
			for _, z := range []float64{0.075, 0.15, 0.225} {
				if !seen[[2]float64{x, z}] {
					t.Errorf("no pass runs at depth %g, height %g, exactly", x, z)
				}
			}
		}
		near(t, "until", p.Until, 21600)
		near(t, "tolerance", p.Tolerance, 0.55) // that its accuracy is tested with: package heat
		same(t, "rows", len(p.Output), 361)
		for i, at := range p.Output {
			near(t, "row", at, 60*float64(i))
		}
		same(t, "light", p.Duty.Light, (*duty.Light)(nil))
	}
}

func TestScenarioReadsWithoutAMistake(t *testing.T) {
	fsys := WriteScenario()
	b, ps := LoadBench(fsys)
	if ps.Failed() {
		t.Fatal(ps)
	}
	same(t, "runs", b.Runs, []string{"charge-hold-drain.yaml"})
	for _, f := range b.Files {
		if _, err := fs.Stat(fsys, f); err != nil {
			t.Errorf("the bench names %s: %v", f, err)
		}
	}
	entries, err := fs.ReadDir(fsys, ".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.Name() != BenchFile && !strings.Contains(strings.Join(b.Files, " "), e.Name()) {
			t.Errorf("the bench does not name its file %s", e.Name())
		}
	}
	if ps := Check(fsys, BenchFile); ps.Failed() {
		t.Fatal(ps)
	}
	run, ps := LoadRun(fsys, b.Runs[0], Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	rec := run.Problem.Receiver
	same(t, "circuits", len(rec.Circuits), 3)
	same(t, "passes", len(rec.Passes), 9)
	for _, m := range rec.Media {
		if m.Name == "tin-in-aluminium" && (m.Metal != "tin" || math.Abs(m.Solidus-505.078) > 0.01) {
			t.Errorf("the fill is %s and melts at %g K, want tin at its freezing point of ITS-90, 505.078 K", m.Metal, m.Solidus)
		}
	}
	near(t, "ambient from the table in hours", run.Problem.Duty.Ambient.At(3600), 21+zero)
	same(t, "uncertain inputs", []string{run.Uncertain[0].Path, run.Uncertain[1].Path}, []string{"receiver.window.absorptance", "receiver.tube.contact"})
}

func TestInputsAreEveryFileThatWasReadWithItsHash(t *testing.T) {
	fsys := WriteScenario()
	run, ps := LoadRun(fsys, "charge-hold-drain.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	var names []string
	for _, in := range run.Inputs {
		data, err := fs.ReadFile(fsys, in.Name)
		if err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(data)
		same(t, in.Name, in.SHA256, hex.EncodeToString(sum[:]))
		names = append(names, in.Name)
	}
	same(t, "names", names, []string{"charge-hold-drain.yaml", "bench.yaml", "materials.yaml", "receiver.yaml", "duty.yaml", "bakehouse.csv"})
}

func TestOverrideChangesOneInputAndNothingElse(t *testing.T) {
	fsys := WriteScenario()
	load := func(o map[string]float64) *Run {
		run, ps := LoadRun(fsys, "charge-hold-drain.yaml", Options{Override: o})
		if ps.Failed() {
			t.Fatal(ps)
		}
		return run
	}
	// Initial temperatures that were left open are NaN, which no comparison finds equal: print them.
	text := func(r *Run) string {
		s := ""
		for _, x := range []any{r.Problem.Receiver.Parts, r.Problem.Receiver.Surfaces, r.Problem.Receiver.Circuits, r.Problem.Receiver.Media, *r.Problem.Receiver.Window.Glass, r.Problem.Duty.Water, r.Problem.Grid} {
			s += fmt.Sprintf("%v\n", x)
		}
		return s
	}
	plain, other := load(nil), load(map[string]float64{"receiver.tube.contact": 350})
	same(t, "unchanged again", text(load(nil)), text(plain))
	near(t, "contact as written", plain.Problem.Receiver.Passes[4].Contact.Value.At(500), 400)
	for _, p := range other.Problem.Receiver.Passes {
		near(t, "contact", p.Contact.Value.At(500), 350)
	}
	same(t, "the rest", text(other), text(plain))
	near(t, "the list has the value that counts", other.Uncertain[1].Value, 350)
	near(t, "with the ± of the file", other.Uncertain[1].Half, plain.Uncertain[1].Half)

	k := func(r *Run) float64 {
		for i := range r.Problem.Receiver.Media {
			if m := &r.Problem.Receiver.Media[i]; m.Name == "microporous-board" {
				return m.Conductivity[0].At(500)
			}
		}
		return math.NaN()
	}
	near(t, "a medium's spread as a factor", k(load(map[string]float64{"medium[microporous-board].conductivity": 1.25})), 1.25*k(plain))

	_, ps := LoadRun(fsys, "charge-hold-drain.yaml", Options{Override: map[string]float64{"receiver.tube.contac": 1}})
	if !ps.Failed() || !strings.Contains(ps.String(), `did you mean "receiver.tube.contact"?`) {
		t.Errorf("an override that no input has gives %v", ps)
	}
	// A medium that is not in the run is a mistake, unless other words may have put another in its place.
	gone := Options{Override: map[string]float64{"medium[elsewhere].conductivity": 1.1}}
	if _, ps := LoadRun(fsys, "charge-hold-drain.yaml", gone); !strings.Contains(ps.String(), "no input has the path medium[elsewhere].conductivity") {
		t.Errorf("a medium that is not there gives %v", ps)
	}
	gone.Instead = map[string]string{"receiver.tube.contact": "350 W/(m2 K)"}
	if _, ps := LoadRun(fsys, "charge-hold-drain.yaml", gone); ps.Failed() {
		t.Errorf("a medium that other words may have taken away gives %v", ps)
	}
}

func TestUncertaintyIsReadWhereverAQuantityStands(t *testing.T) {
	run, ps := LoadRun(one(`receiver:
  block: {depth: 200 ± 2 mm, width: 300 mm, height: 300 mm, medium: aluminium, initial: 20 degC ± 1.5 K}
  tube: {outer: 12 mm, wall: 1 mm, contact: 380 +/- 24 W/(m2 K)}
  passes:
    - {along: width, depth: 50 mm, height: 100 mm}
    - {along: width, depth: 150 mm, height: 100 mm, contact: 500 W/(m2 K) ± 10 %}
duty: {ambient: {table: [[0 s, 20 degC], [1 h, 25 ± 2 degC]]}, water: {all: {flow: 0.09 ± 0.002 kg/s, inlet: 15 degC}}}
until: 1 h
`), "run.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	got := map[string][2]float64{}
	for _, u := range run.Uncertain {
		got[u.Path] = [2]float64{u.Value, u.Half}
	}
	for path, want := range map[string][2]float64{
		"receiver.block.depth":       {0.2, 0.002},
		"receiver.block.initial":     {293.15, 1.5},
		"receiver.tube.contact":      {380, 24},
		"receiver.passes[2].contact": {500, 50},
		"duty.ambient.table[2][2]":   {298.15, 2},
		"duty.water.all.flow":        {0.09, 0.002},
	} {
		near(t, path, got[path][0], want[0])
		near(t, path+" half-width", got[path][1], want[1])
	}
	same(t, "number of uncertain inputs", len(got), 6)
}

func TestTheSameFilesGiveTheSameProblem(t *testing.T) {
	text := func() string {
		run, ps := LoadRun(WriteScenario(), "charge-hold-drain.yaml", Options{})
		if ps.Failed() {
			t.Fatal(ps)
		}
		p := run.Problem
		return fmt.Sprint(p.Receiver.Parts, p.Receiver.Media, p.Receiver.Passes, p.Receiver.Circuits, p.Duty.Events, p.Duty.Rules, run.Uncertain, run.Spreads, run.Sources, run.Warnings)
	}
	a := text()
	for range 5 {
		if text() != a {
			t.Fatal("the same files read differently")
		}
	}
}

// Water that only stands needs an inlet, for what it holds, and no flow; once it may flow it needs one.
func TestWaterThatOnlyStandsNeedsNoFlow(t *testing.T) {
	for _, c := range []struct {
		duty   string
		failed bool
	}{
		{"{water: {all: {state: closed, inlet: 15 degC}}}", false},
		{"{water: {all: {state: drained, inlet: 15 degC}}, events: [{at: 1 h, do: {water: closed}}]}", false},
		{"{water: {all: {state: closed, inlet: 15 degC}}, events: [{at: 1 h, do: {water: flowing}}]}", true},
		{"{water: {all: {state: closed, inlet: 15 degC}}, rules: [{when: {place: block mean, above: 30 degC}, do: {water: flowing}}]}", true},
	} {
		run, ps := LoadRun(one(`receiver:
  block: {depth: 200 mm, width: 300 mm, height: 300 mm, medium: aluminium}
  tube: {outer: 12 mm, wall: 1 mm}
  passes: [{along: width, depth: 50 mm, height: 100 mm}]
duty: `+c.duty+`
until: 2 h
`), "run.yaml", Options{})
		switch {
		case ps.Failed() != c.failed:
			t.Errorf("%s: failed %v, want %v: %s", c.duty, ps.Failed(), c.failed, ps)
		case c.failed:
			if len(ps) != 1 || !strings.Contains(ps.String(), "nothing sets its flow") {
				t.Errorf("%s: %s", c.duty, ps)
			}
		default:
			run.Problem.Until = 60
			if _, err := heat.Run(t.Context(), run.Problem); err != nil {
				t.Errorf("%s: %s", c.duty, err)
			}
		}
	}
}

func TestIdleDutyLeavesEverythingOff(t *testing.T) {
	run, ps := LoadRun(one(`receiver:
  block: {depth: 200 mm, width: 300 mm, height: 300 mm, medium: aluminium}
  tube: {outer: 12 mm, wall: 1 mm}
  passes: [{along: width, depth: 50 mm, height: 100 mm}]
until: 1 h
`), "run.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	near(t, "ambient", run.Problem.Duty.Ambient.At(0), 293.15)
	near(t, "initial", run.Problem.Initial, 293.15)
	same(t, "water", run.Problem.Duty.Switches.Water, []duty.WaterState{duty.Drained})
	same(t, "rows", len(run.Problem.Output), 201)
	near(t, "touch limit", run.Problem.TouchLimit, 60+zero)
	same(t, "one circuit of all passes", len(run.Problem.Receiver.Circuits[0].Runs), 1)
}

func TestLocalMaterialsGoBeforeThoseOfTheBenchAndTheCatalogue(t *testing.T) {
	entry := func(density int) string {
		return fmt.Sprintf("{density: %d kg/m3, heat capacity: 1000 J/(kg K), conductivity: 1 W/(m K), name: ", density)
	}
	fsys := fstest.MapFS{
		"bench.yaml":      {Data: []byte("schema: emberbank/1\nkind: bench\nruns: run.yaml\nmaterials: shared/own.yaml\n")},
		"shared/own.yaml": {Data: []byte("schema: emberbank/1\nkind: material\nmaterials: [" + entry(1) + "aluminium}, " + entry(2) + "board}]\n")},
		"run.yaml": {Data: []byte("schema: emberbank/1\nkind: run\nuntil: 1 h\nreceiver:\n  block: {depth: 200 mm, width: 300 mm, height: 300 mm, medium: aluminium}\n" +
			"  materials: [" + entry(3) + "board}]\n  insulation: {back: [{material: board, thickness: 10 mm}, {material: tin, thickness: 10 mm}]}\n")},
	}
	run, ps := LoadRun(fsys, "run.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	got := map[string]float64{}
	for _, m := range run.Problem.Receiver.Media {
		got[m.Name] = m.Density
	}
	near(t, "bench before catalogue", got["aluminium"], 1)
	near(t, "local before bench", got["board"], 3)
	if got["tin"] < 7000 {
		t.Errorf("tin of the catalogue has %g kg/m3", got["tin"])
	}
}

func TestFilesInSubfoldersNameTheirNeighbours(t *testing.T) {
	fsys := fstest.MapFS{
		"runs/charge.yaml":     {Data: []byte("schema: emberbank/1\nkind: run\nreceiver: ../drawings/r.yaml\nduty: ../duties/d.yaml\nuntil: 1 h\n")},
		"drawings/r.yaml":      {Data: []byte("schema: emberbank/1\nkind: receiver\nblock: {depth: 200 mm, width: 300 mm, height: 300 mm, medium: aluminium}\n")},
		"duties/d.yaml":        {Data: []byte("schema: emberbank/1\nkind: duty\nwind: {file: weather/w.csv, column: \"wind [km/h]\", time: \"t [min]\", between: steps}\n")},
		"duties/weather/w.csv": {Data: []byte("\xef\xbb\xbft [min];wind [km/h]\n0;36\n10;18\n")},
	}
	run, ps := LoadRun(fsys, "runs/charge.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	same(t, "wind", run.Problem.Duty.Wind, duty.Signal{T: []float64{0, 600}, V: []float64{10, 5}, Step: true})
}

func TestLineEndsOfWindowsRead(t *testing.T) {
	text := "\xef\xbb\xbfschema: emberbank/1\r\nkind: run\r\n" + strings.ReplaceAll(plainReceiver, "\n", "\r\n") + "until: 0 h\r\n"
	_, ps := LoadRun(fstest.MapFS{"run.yaml": {Data: []byte(text)}}, "run.yaml", Options{})
	if len(ps) != 1 || ps[0].Place() != "run.yaml:4:8" || ps[0].Typed != "0 h" {
		t.Errorf("the one mistake is %+v", ps)
	}
}

func TestOwnMaterialsOfAFamilyThatAttacksAreTold(t *testing.T) {
	run, ps := LoadRun(one(`receiver:
  block: {depth: 200 mm, width: 300 mm, height: 300 mm, medium: fill}
  materials:
    - {name: my zinc, family: zinc, density: 7000 kg/m3, heat capacity: 400 J/(kg K), conductivity: 100 W/(m K), melting: {at: 419.5 degC, latent heat: 108 kJ/kg}}
  composites: [{name: fill, matrix: aluminium, filler: my zinc, filler fraction: 0.2}]
  tube: {outer: 12 mm, wall: 1 mm}
  passes: [{along: width, depth: 50 mm, height: 100 mm}]
until: 1 h
`), "run.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	all := strings.Join(run.Warnings, "\n")
	for _, want := range []string{"zinc and aluminium form a eutectic", "molten zinc attacks steel"} {
		if !strings.Contains(all, want) {
			t.Errorf("no warning that %s:\n%s", want, all)
		}
	}
}

// bigFile is a file of a stated size that is never read.
type bigFile struct{ size int64 }

func (b bigFile) Stat() (fs.FileInfo, error) { return b, nil }
func (b bigFile) Read([]byte) (int, error)   { return 0, errors.New("a file of this size was read") }
func (b bigFile) Close() error               { return nil }
func (b bigFile) Name() string               { return "big.yaml" }
func (b bigFile) Size() int64                { return b.size }
func (b bigFile) Mode() fs.FileMode          { return 0o444 }
func (b bigFile) ModTime() time.Time         { return time.Time{} }
func (b bigFile) IsDir() bool                { return false }
func (b bigFile) Sys() any                   { return nil }

type bigFS struct{ file fs.File }

func (b bigFS) Open(string) (fs.File, error) { return b.file, nil }

// endless is a file that says nothing of its size and never ends, such as a device.
type endless struct{ bigFile }

func (e endless) Size() int64 { return 0 }
func (e endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '#'
	}
	return len(p), nil
}

func TestFilesThatAreTooLargeAreRefusedUnread(t *testing.T) {
	for what, f := range map[string]fs.File{"100 MB": bigFile{100e6}, "an endless one": endless{}} {
		_, ps := LoadRun(bigFS{f}, "big.yaml", Options{})
		if len(ps) != 1 || !strings.Contains(ps[0].Message, "16 MiB") || ps[0].Fix == "" {
			t.Errorf("a file of %s gives %v", what, ps)
		}
	}
}

func TestFilesThatBreakOffAreTold(t *testing.T) {
	f := bigFile{100}
	_, ps := LoadRun(bigFS{f}, "big.yaml", Options{})
	if len(ps) != 1 || !strings.Contains(ps[0].Message, "cannot be read") {
		t.Errorf("a file that breaks off gives %v", ps)
	}
}

func TestDeepNestingIsRefused(t *testing.T) {
	for _, text := range []string{strings.Repeat("[", 100_000), "block: " + strings.Repeat("{a: ", 5000) + "1" + strings.Repeat("}", 5000)} {
		_, ps := LoadRun(one(text), "run.yaml", Options{})
		if !ps.Failed() {
			t.Error("a file of nested brackets is taken")
		}
	}
}

func TestManyMistakesAreCutShort(t *testing.T) {
	for _, n := range []int{500, 5000} {
		text := plainReceiver + "until: 1 h\n"
		for i := range n {
			text += fmt.Sprintf("unknown%d: 1\n", i)
		}
		_, ps := LoadRun(one(text), "run.yaml", Options{})
		want := fmt.Sprintf("%d more mistakes are not shown", n-mostProblems)
		if len(ps) != mostProblems+1 || ps[mostProblems].Message != want {
			t.Errorf("%d mistakes are shown, the last %q, want %q", len(ps), ps[len(ps)-1].Message, want)
		}
	}
}

func TestFilesOfEndlessEntriesAreRefusedUnparsed(t *testing.T) {
	_, ps := LoadRun(one("fields: ["+strings.Repeat("1,", 2_000_000)+"1]\n"), "run.yaml", Options{})
	if len(ps) != 1 || !strings.Contains(ps[0].Message, "2000007 keys and entries") || !strings.Contains(ps[0].Fix, "CSV") {
		t.Errorf("a list of two million gives %v", ps)
	}
	fsys := fstest.MapFS{
		"duty.yaml": {Data: []byte("schema: emberbank/1\nkind: duty\nwind: {file: w.csv, column: \"wind [m/s]\"}\n")},
		"w.csv":     {Data: []byte("time [s],wind [m/s]\n" + strings.Repeat("0,0\n", mostTableRows+1))},
	}
	ps = Check(fsys, "duty.yaml")
	if len(ps) != 1 || ps[0].Line != mostTableRows+2 || !strings.Contains(ps[0].Message, "more than the 2000000 rows") {
		t.Errorf("a table of two million rows gives %v", ps)
	}
}

func TestEverySpreadOfAMediumCanBeOverridden(t *testing.T) {
	plain, ps := LoadRun(WriteScenario(), "charge-hold-drain.yaml", Options{})
	if ps.Failed() || len(plain.Spreads) < 10 {
		t.Fatal(len(plain.Spreads), ps)
	}
	for _, u := range plain.Spreads {
		run, ps := LoadRun(WriteScenario(), "charge-hold-drain.yaml", Options{Override: map[string]float64{u.Path: 1 + u.Half}})
		if ps.Failed() {
			t.Fatal(ps)
		}
		changed := 0
		for i := range run.Problem.Receiver.Media {
			if fmt.Sprintf("%v", run.Problem.Receiver.Media[i]) != fmt.Sprintf("%v", plain.Problem.Receiver.Media[i]) {
				changed++
				same(t, u.Path+" is of", strings.HasPrefix(u.Path, "medium["+run.Problem.Receiver.Media[i].Name+"]."), true)
			}
		}
		same(t, u.Path+" changes media", changed, 1)
		if _, ps := LoadRun(WriteScenario(), "charge-hold-drain.yaml", Options{Override: map[string]float64{u.Path: -0.1}}); !strings.Contains(ps.String(), "yaml: "+u.Path+" would be multiplied by -0.1") {
			t.Errorf("%s below zero gives %v", u.Path, ps)
		}
	}
}

func TestKindsAreToldApart(t *testing.T) {
	fsys := fstest.MapFS{"a.yaml": {Data: []byte("schema: emberbank/1\nkind: duty\n")}}
	kind, ps := Kind(fsys, "a.yaml")
	if kind != "duty" || ps.Failed() {
		t.Errorf("kind is %q, %v", kind, ps)
	}
	_, ps = LoadRun(fsys, "a.yaml", Options{})
	if !ps.Failed() {
		t.Error("a duty is run")
	}
	_, ps = LoadBench(fsys)
	if !ps.Failed() || !strings.Contains(ps.String(), "there is no such file") {
		t.Errorf("a folder without bench.yaml gives %v", ps)
	}
	if b, ps := LoadBench(fstest.MapFS{"bench.yaml": fsys["a.yaml"]}); b != nil || !ps.Failed() {
		t.Error("a duty called bench.yaml is taken for a bench")
	}
}

func TestSignalsKeepTheirLeastValue(t *testing.T) {
	s := duty.Signal{T: []float64{0, 10, 10, 20}, V: []float64{5, 4, 1, 3}}
	for _, c := range []struct{ a, b, want float64 }{{0, 5, 4.5}, {0, 10, 4}, {10, 20, 1}, {15, math.Inf(1), 2}, {0, math.Inf(1), 1}} {
		near(t, fmt.Sprintf("least from %g to %g", c.a, c.b), least(&s, c.a, c.b), c.want)
	}
}

func TestNearestFindsWhatWasMeant(t *testing.T) {
	words := []string{"medium", "depth", "height", "generation", "initial"}
	for typed, want := range map[string]string{"meduim": "medium", "dept": "depth", "hieght": "height", "gen": "generation", "colour": "", "x": ""} {
		if got := nearest(typed, words); got != want {
			t.Errorf("%q: nearest is %q, want %q", typed, got, want)
		}
	}
}

func TestExamplesReadWithoutAMistake(t *testing.T) {
	n := 0
	for _, root := range []string{"../examples"} {
		err := fs.WalkDir(os.DirFS(root), ".", func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Ext(path) != ".yaml" {
				return err
			}
			n++
			fsys, name := os.DirFS(filepath.Join(root, filepath.Dir(path))), filepath.Base(path)
			if ps := Check(fsys, name); ps.Failed() {
				t.Errorf("%s/%s:\n%s", root, path, ps)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if n < 3 {
		t.Errorf("only %d files were found", n)
	}
}

// TestTheColoursOfABenchRise: a bench states between which temperatures they run, for all its runs.
func TestTheColoursOfABenchRise(t *testing.T) {
	fsys := func(pair string) fstest.MapFS {
		return fstest.MapFS{
			"bench.yaml": {Data: []byte("schema: emberbank/1\nkind: bench\nruns: run.yaml\ntemperatures: " + pair + "\n")},
			"run.yaml":   {Data: []byte("schema: emberbank/1\nkind: run\nuntil: 1 h\nreceiver:\n  block: {depth: 200 mm, width: 300 mm, height: 300 mm, medium: aluminium}\n")},
		}
	}
	run, ps := LoadRun(fsys("[20 degC, 280 degC]"), "run.yaml", Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	near(t, "low", run.Temperatures[0], 20+zero)
	near(t, "top", run.Temperatures[1], 280+zero)
	if _, ps = LoadRun(fsys("[280 degC, 20 degC]"), "run.yaml", Options{}); !ps.Failed() || !strings.Contains(ps.String(), "not far enough above the first temperature") {
		t.Errorf("a range that falls gives %v", ps)
	}
}
