package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/account"
)

// TestWhatAMatchFoundIsCarriedAsItFoundIt: a study and a run on a match compute what files with the match's numbers would, and
// carry the match's interval about the match's value.
func TestWhatAMatchFoundIsCarriedAsItFoundIt(t *testing.T) {
	root := t.TempDir()
	run := strings.Replace(shortRun, "{depth: 5, width: 3, height: 3}", "{depth: 8, width: 4, height: 4}", 1)
	plain := strings.Replace(run, "\n", "\n# as its files have it\n", 1)
	write(t, filepath.Join(root, "short.yaml"), plain)
	study := strings.Replace(studyOfShort, "count: 24", "count: 4", 1)
	study = strings.Replace(study, "path: receiver.surfaces.all.film, from: 5 W/(m2 K), to: 50 W/(m2 K)", "path: receiver.block.width, from: 90 mm, to: 110 mm", 1) +
		"answers: [{plateau: kept, over: film}]\ncarry: yes\n"
	write(t, filepath.Join(root, "study.yaml"), study)
	film, low, high := 30.0, 28.0, 31.0
	match := account.MatchJSON{
		Schema: account.MatchSchema, Name: "films", Doubts: []string{"two trials alone"},
		Parameters: []account.MatchedJSON{{Name: "film", Paths: []string{"receiver.surfaces.all.film"}, Value: film, Lower: &low, Upper: &high}},
	}
	raw, err := json.Marshal(match)
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(root, "match.json"), string(raw))
	do := func(args ...string) string {
		t.Helper()
		var out, errs bytes.Buffer
		if code := Main(context.Background(), args, Streams{&out, &errs}); code != ExitDone {
			t.Fatalf("%v: exit %d: %s", args, code, errs.String())
		}
		return out.String()
	}
	on := do("study", filepath.Join(root, "study.yaml"), "--match", filepath.Join(root, "match.json"), "-o", filepath.Join(root, "on"))
	for _, want := range []string{"with the parameters of the match films", "two trials alone"} {
		if !strings.Contains(strings.Join(strings.Fields(on), " "), want) {
			t.Errorf("the study does not say %q:\n%s", want, on)
		}
	}
	// The same by files that state what the match found.
	stated := strings.Replace(plain, "film: 10 W/(m2 K)", "film: 30 ± 2 W/(m2 K)", 1)
	if stated == plain {
		t.Fatal("the run states no such film")
	}
	write(t, filepath.Join(root, "short.yaml"), stated)
	do("study", filepath.Join(root, "study.yaml"), "-o", filepath.Join(root, "by-files"))
	table := func(of string) string {
		text, err := os.ReadFile(filepath.Join(root, of, outcomeName, "table.csv"))
		if err != nil {
			t.Fatal(err)
		}
		rows := strings.Split(strings.TrimSpace(string(text)), "\n")
		for i := range rows { // but for the key, which the files' hash is not in either
			rows[i] = rows[i][:strings.LastIndex(rows[i], ",")]
		}
		return strings.Join(rows, "\n")
	}
	if a, b := table("on"), table("by-files"); a != b {
		t.Errorf("on the match:\n%s\nby files:\n%s", a, b)
	}
	band := func(args ...string) string {
		text := do(append(args, "--uncertainty", "--json")...)
		at := strings.Index(text, `"half_width_95`)
		if at < 0 {
			t.Fatalf("no band: %s", text)
		}
		return text[at : at+strings.IndexByte(text[at:], '\n')]
	}
	ofVariant := func(of string) string {
		return band("run", filepath.Join(root, of), "--variant", "1", "-o", filepath.Join(root, "variant "+of))
	}
	if a, b := ofVariant("on"), ofVariant("by-files"); a != b {
		t.Errorf("a variant that stands on the match carries %s; by files %s", a, b)
	}
	byFiles := band("run", filepath.Join(root, "short.yaml"), "-o", filepath.Join(root, "a"))
	write(t, filepath.Join(root, "short.yaml"), plain)
	byMatch := band("run", filepath.Join(root, "short.yaml"), "--match", filepath.Join(root, "match.json"), "-o", filepath.Join(root, "b"))
	if byMatch != byFiles {
		t.Errorf("carried: %s; by files %s", byMatch, byFiles)
	}
}
