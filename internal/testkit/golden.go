package testkit

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// update is set by `go test ./... -update` (`make golden`): golden files are then rewritten instead of compared.
var update = flag.Bool("update", false, "rewrite golden files instead of comparing with them")

// Updating tells whether golden files are being rewritten.
func Updating() bool { return *update }

// Golden compares got with the file testdata/NAME of the test's own package and shows the first lines that
// differ. With -update it writes the file instead; a person then reads the change.
func Golden(t testing.TB, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", filepath.FromSlash(name))
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("reading golden file: %v (make golden writes it)", err)
	}
	if diff := Diff(want, got); diff != "" {
		t.Errorf("%s differs from what was kept (- kept, + now; make golden rewrites it):\n%s", path, diff)
	}
}

// Diff returns the lines in which two texts differ, the first twenty of them, or "" when they are equal.
// Lines are compared in place, so that one inserted line makes all after it differ: enough to see what changed.
func Diff(want, got []byte) string {
	if bytes.Equal(want, got) {
		return ""
	}
	w, g := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
	var b strings.Builder
	shown := 0
	for i := range max(len(w), len(g)) {
		var a, c string
		inW, inG := i < len(w), i < len(g)
		if inW {
			a = w[i]
		}
		if inG {
			c = g[i]
		}
		if inW && inG && a == c {
			continue
		}
		if shown++; shown > 20 {
			b.WriteString("  and more\n")
			break
		}
		if inW {
			fmt.Fprintf(&b, "%5d - %q\n", i+1, a)
		}
		if inG {
			fmt.Fprintf(&b, "%5d + %q\n", i+1, c)
		}
	}
	return b.String()
}
