package bench

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/internal/testkit"
)

// TestMistakesAreToldInTheseWords holds every message that a file of testdata/mistakes brings forth to the words
// kept beside it.
func TestMistakesAreToldInTheseWords(t *testing.T) {
	files, err := filepath.Glob("testdata/mistakes/*.yaml")
	if err != nil || len(files) < 30 {
		t.Fatalf("%d files of mistakes found: %v", len(files), err)
	}
	for _, f := range files {
		name := filepath.Base(f)
		t.Run(name, func(t *testing.T) {
			ps := Check(os.DirFS("testdata/mistakes"), name)
			if len(ps) == 0 {
				t.Error("no mistake was found")
			}
			for _, p := range ps {
				if strings.Contains(p.String(), "NaN") {
					t.Errorf("a message shows a value that is missing: %s", p)
				}
				if p.Fix == "" {
					t.Errorf("a mistake comes without a fix: %s", p)
				}
			}
			testkit.Golden(t, "mistakes/"+strings.TrimSuffix(name, ".yaml")+".want", []byte(ps.String()))
		})
	}
}
