package bench

import (
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
)

// values that a slip of the pen, a wrong unit or another program could put in the place of one.
var slips = []string{
	"", "~", "0", "-1", "1e308", "nan", "inf", "0 mm", "-5 mm", "1e-300 mm", "1 um", "20 m", "0.2 mm", "300 mm", "5 ± 300 mm", "20 degC", "-273.15 degC",
	"3000 degC", "0 K", "0 s", "1 h", "40000 d", "0 kg/s", "0.05 kg/s", "1 bar", "0 W/(m2 K)", "1e6 W/(m2 K)", "none", "outside", "steady", "yes", "no", "off",
	"adiabatic", "aluminium", "tin", "stainless-304", "left", "width", "depth", "[]", "[1, 2, 3]", "{}", "[[0 s, 1], [1 h, 2]]", "{table: [[0 s, 20 degC]]}",
	"{steps: [[0 s, 0 kg/s]]}", "{file: bakehouse.csv, column: \"ambient [degC]\"}", "{points: [[20 degC, 1 W/(m K)]]}", "{polynomial: [1, 2], unit: W/(m K)}",
	"all", "1", "main", "\"two words\"", "{film: 1 W/(m2 K)}", "{at: 300 degC, latent heat: 1 kJ/kg}", "é", "{conductance: 0 W/(m2 K)}", "{offset: 1 mm}",
}

var afterColon = regexp.MustCompile(`: ?[^,\[\]{}#\n:]+`)

// mangle makes one or two slips in a text.
func mangle(r *rand.Rand, text string) string {
	for range 1 + r.IntN(2) {
		switch r.IntN(6) {
		case 0: // a line goes
			lines := strings.Split(text, "\n")
			i := r.IntN(len(lines))
			text = strings.Join(append(lines[:i:i], lines[i+1:]...), "\n")
		case 1: // a line stands twice
			lines := strings.Split(text, "\n")
			i := r.IntN(len(lines))
			text = strings.Join(append(lines[:i+1:i+1], lines[i:]...), "\n")
		case 2: // a letter goes
			if len(text) > 1 {
				i := r.IntN(len(text))
				text = text[:i] + text[i+1:]
			}
		default: // a value is another
			at := afterColon.FindAllStringIndex(text, -1)
			if len(at) == 0 {
				continue
			}
			p := at[r.IntN(len(at))]
			text = text[:p[0]] + ": " + slips[r.IntN(len(slips))] + text[p[1]:]
		}
	}
	return text
}

// everyFile holds the files of a tree.
func everyFile(t *testing.T, from fs.FS) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	err := fs.WalkDir(from, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(from, name)
		out[name] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestSlipsInGoodFilesGiveProblemsOrSoundValues makes slips in the files of the scenario, the abilities and the
// benchmark: what still reads must be sound, and nothing may panic.
func TestSlipsInGoodFilesGiveProblemsOrSoundValues(t *testing.T) {
	var files []string
	for _, p := range []string{"scenario/*.yaml", "testdata/abilities/*.yaml", "../examples/benchmark-b1/*.yaml"} {
		more, _ := filepath.Glob(p)
		files = append(files, more...)
	}
	texts := map[string]string{}
	for _, f := range append(files, "scenario/bakehouse.csv", "testdata/abilities/parts/map.csv") {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		texts[f] = string(data)
	}
	whole := everyFile(t, WriteScenario())
	read, refused := 0, 0
	for n := range 1000 {
		r := rand.New(rand.NewPCG(uint64(n), 7))
		f := files[n%len(files)]
		fsys := fstest.MapFS{"parts/map.csv": {Data: []byte(texts["testdata/abilities/parts/map.csv"])}}
		if strings.HasPrefix(f, "scenario/") { // the scenario's files refer to one another
			maps.Copy(fsys, whole)
		}
		name, text := filepath.Base(f), mangle(r, texts[f])
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
		main := name
		if strings.HasPrefix(f, "scenario/") {
			main = "charge-hold-drain.yaml"
		}
		func() {
			defer func() {
				if p := recover(); p != nil {
					t.Fatalf("slip %d in %s: panic: %v\n%s", n, f, p, text)
				}
			}()
			Check(fsys, name)
			run, ps := LoadRun(fsys, main, Options{})
			for _, p := range ps {
				if strings.Contains(p.String(), "NaN") || p.Line > 0 && p.Column < 1 {
					t.Errorf("slip %d in %s: %s", n, f, p)
				}
			}
			if run == nil {
				refused++
				return
			}
			read++
			sound(t, run)
			if t.Failed() {
				t.Fatalf("slip %d in %s:\n%s", n, f, text)
			}
		}()
	}
	if read < 60 || refused < 300 {
		t.Errorf("%d texts read and %d were refused: the slips are too harsh or too mild to tell anything", read, refused)
	}
}
