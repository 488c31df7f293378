package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"testing"
)

func TestHelpFitsAScreenAndNamesEveryFlag(t *testing.T) {
	grammar := reflect.TypeFor[commands]()
	for i := range grammar.NumField() {
		field := grammar.Field(i)
		if _, ok := field.Tag.Lookup("cmd"); !ok {
			continue
		}
		name := strings.ToLower(field.Name)
		text, ok := helpTexts[name]
		if !ok {
			t.Errorf("%s has no help", name)
			continue
		}
		if !strings.Contains(helpTexts[""], "emberbank "+name) {
			t.Errorf("%s is missing in the program's help", name)
		}
		for j := range field.Type.NumField() {
			f := field.Type.Field(j)
			if _, ok := f.Tag.Lookup("arg"); ok || !f.IsExported() {
				continue
			}
			long := "--" + strings.ToLower(f.Name)
			if named := f.Tag.Get("name"); named != "" {
				long = "--" + named
			}
			if !strings.Contains(text, long) {
				t.Errorf("help of %s leaves out %s", name, long)
			}
			if short := f.Tag.Get("short"); short != "" && !strings.Contains(text, "-"+short+",") {
				t.Errorf("help of %s leaves out -%s", name, short)
			}
		}
	}
	for name, text := range helpTexts {
		lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
		if len(lines) > 24 {
			t.Errorf("help of %q has %d lines", name, len(lines))
		}
		for _, l := range lines {
			if n := len([]rune(l)); n > 80 {
				t.Errorf("help of %q has a line of %d columns: %s", name, n, l)
			}
			if strings.TrimRight(l, " ") != l || strings.Contains(l, "\t") {
				t.Errorf("help of %q has blanks at a line's end or tabs: %q", name, l)
			}
		}
		if !strings.Contains(text, "\nExample") || !strings.Contains(text, "\nExit: 0 ") {
			t.Errorf("help of %q lacks an example or the exit codes", name)
		}
	}
}

// TestExamplesOfHelpNameFilesOfANewBench: a stranger has what "emberbank new bakery" writes, and no more.
func TestExamplesOfHelpNameFilesOfANewBench(t *testing.T) {
	home := t.TempDir()
	if code := Main(t.Context(), []string{"new", filepath.Join(home, "bakery")}, Streams{Out: io.Discard, Err: io.Discard}); code != ExitDone {
		t.Fatalf("new ends with %d", code)
	}
	seen := 0
	for name, text := range helpTexts {
		_, examples, _ := strings.Cut(text, "\nExample")
		for line := range strings.SplitSeq(examples, "\n") {
			words := strings.Fields(line)
			if len(words) < 2 || words[0] != "emberbank" || words[1] == "new" {
				continue
			}
			for _, w := range words[2:] {
				if !strings.Contains(w, "/") && w != "bakery" || strings.Contains(w, "://") {
					continue
				}
				seen++
				if _, err := os.Stat(filepath.Join(home, filepath.FromSlash(w))); err != nil {
					t.Errorf("help of %q names %s, which emberbank new does not write", name, w)
				}
			}
		}
	}
	if seen < 6 {
		t.Errorf("only %d files are named", seen)
	}
}

// TestMoreThreadsThanCoresAreToldAndNotUsed asks for many.
func TestMoreThreadsThanCoresAreToldAndNotUsed(t *testing.T) {
	var said strings.Builder
	c := &call{err: &said}
	cores := runtime.GOMAXPROCS(0)
	n, err := c.limit(cores+998, false)
	if n != cores || err != nil || !strings.Contains(said.String(), fmt.Sprintf("--threads is %d: %d are used", cores+998, cores)) {
		t.Errorf("%d threads are used (%v), and told is %q", n, err, said.String())
	}
	said.Reset()
	if n, _ := c.limit(1, false); n != 1 || said.Len() > 0 {
		t.Errorf("one thread becomes %d, and told is %q", n, said.String())
	}
	if n, _ := c.limit(cores+1, true); n != cores || said.Len() > 0 {
		t.Errorf("quietly: %d, %q", n, said.String())
	}
}
