package bench

import (
	"bytes"
	"errors"
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/internal/testkit"
)

func TestUpgradeChangesWordsAndKeepsCommentsAndLayout(t *testing.T) {
	for _, name := range []string{"receiver", "run"} {
		old, err := os.ReadFile("testdata/upgrade/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		text, changes, err := Upgrade(old)
		if err != nil {
			t.Fatal(err)
		}
		testkit.Golden(t, "upgrade/"+name+".want", []byte(string(text)+"\n"+strings.Join(changes, "\n")+"\n"))
		comment := regexp.MustCompile(`#.*`)
		if got, want := comment.FindAll(text, -1), comment.FindAll(old, -1); !bytes.Equal(bytes.Join(got, nil), bytes.Join(want, nil)) {
			t.Errorf("comments are now %q, were %q", got, want)
		}
		if strings.Count(string(text), "\n") != strings.Count(string(old), "\n") {
			t.Error("lines came or went")
		}
		ps := Check(fstest.MapFS{"f.yaml": {Data: text}}, "f.yaml")
		if ps.Failed() {
			t.Errorf("the upgraded %s does not read:\n%s", name, ps)
		}
		again, changes, err := Upgrade(text)
		if err != nil || len(changes) != 0 || !bytes.Equal(again, text) {
			t.Errorf("upgrading twice changes the text again: %v %v", changes, err)
		}
	}
}

func TestUpgradeRefusesWhatItDoesNotKnow(t *testing.T) {
	for text, want := range map[string]string{
		"schema: emberbank/2\nkind: duty\n": `schema is "emberbank/2"`,
		"kind: duty\n":                      "does not say which schema",
		"schema: [emberbank/0\n":            "not closed",
		"schema: \xff\n":                    "UTF-8",
		"":                                  "the file is empty",
	} {
		_, _, err := Upgrade([]byte(text))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q gives %v, want an error with %q", text, err, want)
		}
	}
	_, _, err := Upgrade([]byte("schema: [emberbank/0\n"))
	var ps Problems
	if !errors.As(err, &ps) {
		t.Errorf("a text that is no YAML gives %T, want Problems inside", err)
	}
}

func TestUpgradeKeepsByteOrderMarksAndLineEndsOfWindows(t *testing.T) {
	text, changes, err := Upgrade([]byte("\xef\xbb\xbfschema: emberbank/0\r\nkind: run # é\r\nduration: 1 h\r\n"))
	if err != nil || len(changes) != 2 {
		t.Fatal(changes, err)
	}
	if want := "\xef\xbb\xbfschema: emberbank/1\r\nkind: run # é\r\nuntil: 1 h\r\n"; string(text) != want {
		t.Errorf("the text is now %q, want %q", text, want)
	}
}

func FuzzUpgradeReadsWhatItWrites(f *testing.F) {
	for _, name := range []string{"receiver", "run"} {
		old, err := os.ReadFile("testdata/upgrade/" + name + ".yaml")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(old)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		new, changes, err := Upgrade(text)
		if err != nil {
			return
		}
		again, changes2, err := Upgrade(new)
		if err != nil {
			t.Fatalf("the upgraded text cannot be read: %v\n%q", err, new)
		}
		if len(changes) > 0 && len(changes2) > 0 && bytes.Equal(new, again) {
			t.Fatalf("changes are told of a text that stays: %q", changes2)
		}
	})
}
