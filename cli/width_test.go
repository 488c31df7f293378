package cli

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// columns is how wide a terminal is taken to be.
const columns = 80

// tooWide returns the lines that are wider than a terminal. Names of files do not count: they are the user's.
func tooWide(text string) []string {
	var out []string
	for _, l := range strings.Split(text, "\n") {
		n := 0
		for _, word := range strings.Fields(l) {
			if strings.ContainsRune(word, filepath.Separator) {
				n += utf8.RuneCountInString(word) - 1
			}
		}
		if utf8.RuneCountInString(l)-n > columns {
			out = append(out, l)
		}
	}
	return out
}

// isText tells whether a command prints text for people: not a document for programs, nor a file to edit. What check
// says of a place is one line, so that editors find it; what --follow reports is one line a time, for logs.
func isText(args []string) bool {
	for _, a := range args {
		if a == "--json" || a == "--draft" || a == "schema" || a == "check" || a == "--follow" {
			return false
		}
	}
	return true
}

func TestLinesFitATerminal(t *testing.T) {
	root, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	copyExample(t, root, "examples/bakery-trial")
	var out, said bytes.Buffer
	if code := Main(context.Background(), []string{"new", "bakery"}, Streams{&out, &said}); code != ExitDone {
		t.Fatal(said.String())
	}
	for _, line := range []string{
		"new other",
		"trial examples/bakery-trial/trial.yaml",
		"trial examples/bakery-trial/second-day.yaml",
		"compare examples/bakery-trial",
		"trial bakery/trials/lamp-slow.yaml",
		"trial bakery/trials/lamp-fast.yaml",
		"trial bakery/trials/lamp-hold.yaml",
		"trial bakery/trials/sun.yaml",
		"compare bakery/trials",
		"compare bakery/trials --shared",
		"materials",
		"materials tin",
		"materials graphite-isostatic",
		"verify --only tubes",
		"version",
	} {
		args := strings.Fields(line)
		var out, said bytes.Buffer
		if code := Main(context.Background(), args, Streams{&out, &said}); code != ExitDone {
			t.Errorf("%s ends with %d: %s", line, code, said.String())
		}
		for _, l := range tooWide(out.String()) {
			t.Errorf("%s prints %d columns:\n%s", line, utf8.RuneCountInString(l), l)
		}
	}
	if len(tooWide(strings.Repeat("x", columns+1)+"\n"+strings.Repeat("°", columns))) != 1 {
		t.Error("a line too wide is not seen, or characters are counted as bytes")
	}
}
