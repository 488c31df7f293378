package cli

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
)

// The command of a result names files from the bench's folder; whoever renews it may stand elsewhere.
func TestWhatRenewsAResultNamesItsFilesFromTheBench(t *testing.T) {
	root := filepath.Join(t.TempDir(), "bench")
	for _, args := range [][]string{
		{"run", "day.yaml", "--accuracy", "--match", "results/match", "-o", "results/x"},
		{"match", "match.yaml"},
		{"plan", "plan.yaml"},
		{"study", "study.yaml"},
		{"light", "light.yaml"},
		{"trial", "trials/one.yaml"},
		{"compare", "results/a", "results/b"},
		{"run", "./--uncertainty"},
	} {
		k, err := renewing(root, args, 3)
		if err != nil {
			t.Fatalf("%q: %v", args, err)
		}
		said := fmt.Sprintf("%+v", k)
		names := 0
		for _, a := range args[1:] {
			if !strings.HasPrefix(a, "-") {
				names++
				if want := filepath.Join(root, a); !strings.Contains(said, want) {
					t.Errorf("%q: %s is not in %s", args, want, said)
				}
			}
		}
		if strings.Count(said, root) != names || !strings.Contains(said, "JSON:true") || strings.Contains(said, "Uncertainty:true") {
			t.Errorf("%q becomes %s", args, said)
		}
	}
	if r, err := renewing(root, []string{"run", "day.yaml", "--accuracy"}, 0); err != nil || !r.(*runCommand).Accuracy {
		t.Errorf("a flag is lost: %+v %v", r, err)
	}
	for _, args := range [][]string{{"tidy", "--free"}, {"open"}, {"run"}, {"rub", "x.yaml"}} {
		if k, err := renewing(root, args, 0); err == nil {
			t.Errorf("%q renews by %+v", args, k)
		}
	}
}
