package cli

import (
	"slices"
	"testing"

	"emberbank/shelf"
)

func TestACommandOfACrateIsPartedAsItWasMeant(t *testing.T) {
	for line, want := range map[string][]string{
		`emberbank run "a day's run.yaml" --accuracy`: {"emberbank", "run", "a day's run.yaml", "--accuracy"},
		"emberbank run a\u00a0day.yaml":               {"emberbank", "run", "a\u00a0day.yaml"},
		"emberbank run a\t-o\tb":                      {"emberbank", "run", "a\t-o\tb"},
	} {
		if got := wordsOf(line); !slices.Equal(got, want) {
			t.Errorf("%q is parted into %q", line, got)
		}
	}
}

func TestNoFlagComesInThroughANameInACrate(t *testing.T) {
	for _, name := range []string{`a b" -o "../there`, "--output=../there", "a\t-o\tthere", "a\nb"} {
		one := shelf.Kept{Folder: "results/a", File: name, Renew: `emberbank run "` + name + `"`, Inputs: []shelf.Entry{{Name: name}}}
		if _, err := anew(nil, "", "", &one); err != errWildName {
			t.Errorf("%q: %v", name, err)
		}
	}
	if one := (shelf.Kept{Folder: "results/a day's", File: "a day's-run.yaml", Inputs: []shelf.Entry{{Name: "a day's-run.yaml"}}}); wild(&one) {
		t.Error("a usual name is refused")
	}
}
