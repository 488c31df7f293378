package cli

import (
	"path/filepath"
	"strings"
	"testing"
)

const searchOfShort = `schema: emberbank/1
kind: study
run: short.yaml
search:
  runs: 24
  at once: 2
  over:
    - {name: film, path: receiver.surfaces.all.film, from: 5 W/(m2 K), to: 50 W/(m2 K)}
    - {name: depth, path: receiver.block.depth, from: 80 mm, to: 100 mm}
  aims: [{response: kept, want: most}]
responses:
  - {name: kept, read: block mean}
  - {name: weight, read: mass}
constraints: [{response: weight, below: 1 kg}]
`

// TestAKilledSearchAsksForTheSameVariants kills the program, as a process of its own, in the middle of a search. The same
// command then goes on, and every file is as if nothing had happened.
func TestAKilledSearchAsksForTheSameVariants(t *testing.T) {
	const cells = "{depth: 16, width: 10, height: 10}"
	lay := func() string {
		root := studyFolder(t, cells)
		write(t, filepath.Join(root, "study.yaml"), searchOfShort)
		return root
	}
	undisturbed, root := lay(), lay()
	studyDone(t, undisturbed, "--workers", "1")
	killed := 0
	for _, want := range []int{4, 12, 20} {
		if killedAt(t, root, want) {
			killed++
		}
	}
	if killed == 0 {
		t.Fatal("it was never killed in the middle")
	}
	studyDone(t, root, "--workers", "2")
	files := func(root string) map[string]string {
		all := tree(t, filepath.Join(root, "results", "study"))
		for name := range all {
			if strings.HasSuffix(name, "performance.json") {
				delete(all, name)
			}
		}
		return all
	}
	got, want := files(root), files(undisturbed)
	if len(want) < 5+2*25 {
		t.Fatalf("a search has %d files", len(want))
	}
	sameFiles(t, got, want)
}
