package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// swallowed gathers what a file gave; "|" stands where it began again.
type swallowed struct{ strings.Builder }

func (s *swallowed) Feed(_, _ int, b []byte, _ float64) { s.Write(b) }
func (s *swallowed) Restart(_, _ int)                   { s.WriteString("|") }

func TestAGrowingFileIsReadOnHoweverItIsWritten(t *testing.T) {
	long := strings.Repeat("a line of a logger\n", 400)
	put := func(path, text string) {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	add := func(path, text string) {
		t.Helper()
		f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY|os.O_CREATE, 0o666)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if _, err := f.WriteString(text); err != nil {
			t.Fatal(err)
		}
	}
	for name, c := range map[string]struct {
		steps []func(path string)
		want  string
	}{
		"missing, then there":     {[]func(string){func(string) {}, func(p string) { put(p, "1\n") }}, "1\n"},
		"appended, by half lines": {[]func(string){func(p string) { put(p, long+"1,2") }, func(p string) { add(p, "3\n4") }, func(p string) { add(p, "5\n") }}, long + "1,23\n45\n"},
		"written anew in place":   {[]func(string){func(p string) { put(p, long) }, func(p string) { put(p, long+"2\n") }}, long + "2\n"},
		"written anew by another file of its name": {[]func(string){func(p string) { put(p, long) }, func(p string) {
			put(p+".new", long+"2\n")
			if err := os.Rename(p+".new", p); err != nil {
				t.Fatal(err)
			}
		}}, long + "2\n"},
		"seen half written": {[]func(string){func(p string) { put(p, long) }, func(p string) { put(p, long[:4000]) }, func(p string) { put(p, long+"2\n") }}, long + "|" + long + "2\n"},
		"emptied, then on":  {[]func(string){func(p string) { put(p, long) }, func(p string) { put(p, "") }, func(p string) { add(p, "2\n") }}, long + "|2\n"},
		"truncated":         {[]func(string){func(p string) { put(p, long) }, func(p string) { put(p, "head\n2\n") }}, long + "|head\n2\n"},
		"another of the same length": {[]func(string){func(p string) { put(p, "1\n") }, func(p string) {
			put(p, "2\n")
			if err := os.Chtimes(p, longAgo, longAgo); err != nil {
				t.Fatal(err)
			}
		}}, "1\n|2\n"},
		"rotated, with lines that came before": {[]func(string){func(p string) { put(p, "1\n") }, func(p string) {
			add(p, "2\n")
			if err := os.Rename(p, p+".1"); err != nil {
				t.Fatal(err)
			}
			put(p, "3\n")
		}}, "1\n2\n|3\n"},
		"rotated, and gone for a while": {[]func(string){func(p string) { put(p, "1\n") }, func(p string) {
			add(p, "2\n")
			if err := os.Rename(p, p+".1"); err != nil {
				t.Fatal(err)
			}
		}, func(p string) { put(p, "3\n") }}, "1\n2\n|3\n"},
	} {
		path := filepath.Join(t.TempDir(), "logger.csv")
		g := &grown{path: path}
		var got swallowed
		for i, step := range c.steps {
			step(path)
			g.poll(float64(i), &got)
			g.poll(float64(i)+0.5, &got) // nothing new
		}
		g.close()
		if got.String() != c.want {
			t.Errorf("%s: it gives %q, not %q", name, tailOf(got.String()), tailOf(c.want))
		}
	}
}

func tailOf(s string) string { return s[max(0, len(s)-120):] }
