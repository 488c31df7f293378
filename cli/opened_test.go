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
	"emberbank/history"
	"emberbank/shelf"
)

// openedRun opens a variant and returns what stands in its summary.
func openedRun(t *testing.T, root, number string) (same bool, said, warnings string) {
	t.Helper()
	var out, err bytes.Buffer
	if code := Main(context.Background(), []string{"run", filepath.Join(root, "study.yaml"), "--variant", number, "--json"}, Streams{&out, &err}); code != ExitDone {
		t.Fatalf("exit %d: %s%s", code, out.String(), err.String())
	}
	var d struct {
		Summary struct {
			Variant struct {
				Same bool     `json:"history_as_kept"`
				Said []string `json:"said"`
			}
			Warnings []string
		}
	}
	if err := json.Unmarshal(out.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	return d.Summary.Variant.Same, strings.Join(d.Summary.Variant.Said, " "), strings.Join(d.Summary.Warnings, " ")
}

// TestAnOpenedVariantSaysWhereItIsNotTheKeptOne changes one kept number, by 2 K at the third row, as another program might have
// computed it.
func TestAnOpenedVariantSaysWhereItIsNotTheKeptOne(t *testing.T) {
	root := studyFolder(t, "{depth: 5, width: 3, height: 3}")
	studyDone(t, root)
	if same, said, warnings := openedRun(t, root, "5"); !same || !strings.Contains(said, "to the last digit kept") || strings.Contains(warnings, "kept") {
		t.Errorf("untouched: %v, %q, %q", same, said, warnings)
	}
	dir := filepath.Join(root, "results", "study")
	d, err := readStudy(dir)
	if err != nil {
		t.Fatal(err)
	}
	v := &variants{dir: filepath.Join(dir, variantsName), disk: realDisk()}
	key := d.Variants[4].Key
	record, err := v.record(key)
	if err != nil {
		t.Fatal(err)
	}
	kept, err := v.Load(key)
	if err != nil {
		t.Fatal(err)
	}
	kept.History.Column("block mean").Values[2] += 2
	var table bytes.Buffer
	if err := account.WriteCSV(&table, &kept.History); err != nil {
		t.Fatal(err)
	}
	record.SHA256, record.Model = shelf.Sum(table.Bytes()), "an older program"
	raw, err := json.Marshal(record)
	if err != nil {
		t.Fatal(err)
	}
	for name, content := range map[string][]byte{"history.csv": table.Bytes(), recordName: raw} {
		if err := os.WriteFile(filepath.Join(v.at(key), name), content, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	same, said, warnings := openedRun(t, root, "5")
	for _, part := range []string{"Its history is not the kept one: block mean differs by 2\u00a0K at ", "It was computed by an older program, and is now by " + Version} {
		if same || !strings.Contains(said, part) || !strings.Contains(warnings, part) {
			t.Errorf("changed: %v, said %q, warned %q; it lacks %q", same, said, warnings, part)
		}
	}
	if err := os.Remove(filepath.Join(v.at(key), "history.csv")); err != nil {
		t.Fatal(err)
	}
	if same, said, _ := openedRun(t, root, "5"); same || !strings.Contains(said, "the kept one is gone") {
		t.Errorf("gone: %v, %q", same, said)
	}
}

// TestOpenedVariantsThatAreComparedSayWhatTheirStudyHasSet: their files are the same.
func TestOpenedVariantsThatAreComparedSayWhatTheirStudyHasSet(t *testing.T) {
	root := studyFolder(t, "{depth: 5, width: 3, height: 3}")
	studyDone(t, root)
	dir := filepath.Join(root, "results", "study")
	d, err := readStudy(dir)
	if err != nil {
		t.Fatal(err)
	}
	args := []string{"compare"}
	var set [2]string
	for i, n := range []string{"2", "5"} {
		openedRun(t, root, n)
		o, err := findVariant(dir, d, int64(3*i+2))
		if err != nil {
			t.Fatal(err)
		}
		set[i] = strings.Join(o.settings, ", ")
		args = append(args, filepath.Join(dir, openedName, "variant-"+n))
	}
	var out, errs bytes.Buffer
	if code := Main(context.Background(), args, Streams{&out, &errs}); code != ExitDone || set[0] == set[1] {
		t.Fatalf("exit %d: %s%s", code, out.String(), errs.String())
	}
	said := strings.Join(strings.Fields(out.String()), " ")
	if want := "set by a study: " + set[0] + " → " + set[1]; !strings.Contains(said, want) {
		t.Errorf("it lacks %q:\n%s", want, out.String())
	}
}

// TestKeptInputsAreOfTheContent: each set of files once, whatever was done to the copy.
func TestKeptInputsAreOfTheContent(t *testing.T) {
	root := studyFolder(t, "{depth: 5, width: 3, height: 3}")
	kept := filepath.Join(root, "results", "study", keptInputsName)
	count := func() int {
		entries, err := os.ReadDir(kept)
		if err != nil {
			t.Fatal(err)
		}
		return len(entries)
	}
	studyDone(t, root)
	first, err := filepath.Glob(filepath.Join(kept, "*", "short.yaml"))
	if err != nil || len(first) != 1 {
		t.Fatalf("%v, %v", first, err)
	}
	want, err := os.ReadFile(first[0])
	if err != nil {
		t.Fatal(err)
	}
	write(t, first[0], "scribbled over")
	studyDone(t, root)
	if got, err := os.ReadFile(first[0]); err != nil || !bytes.Equal(got, want) || count() != 1 {
		t.Errorf("the copy is not mended: %q, %v, %d sets", got, err, count())
	}
	write(t, filepath.Join(root, "short.yaml"), string(want)+"# a comment\n")
	studyDone(t, root)
	if count() != 2 {
		t.Errorf("%d sets after a change", count())
	}
	if same, said, _ := openedRun(t, root, "1"); !same || !strings.Contains(said, "changed since or gone: short.yaml") {
		t.Errorf("a comment: %v, %q", same, said)
	}
}

func TestWidestGapNamesColumnDifferenceAndTime(t *testing.T) {
	a := &history.History{Time: []float64{0, 60}, Columns: []history.Column{{Name: "x", Quantity: history.Heat, Values: []float64{0, 1000}}, {Name: "y", Quantity: history.Heat, Values: []float64{0, 1}}}}
	b := &history.History{Time: []float64{0, 60}, Columns: []history.Column{{Name: "x", Quantity: history.Heat, Values: []float64{0, 1100}}, {Name: "y", Quantity: history.Heat, Values: []float64{0.5, 1}}}}
	if got := strings.ReplaceAll(widestGap(a, b), "\u00a0", " "); got != "y differs by 0.5 J at 0 s" {
		t.Errorf("it says %q", got)
	}
}
