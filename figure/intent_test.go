package figure

import (
	"encoding/xml"
	"os"
	"regexp"
	"strings"
	"testing"

	"emberbank/internal/testkit"
)

// TestEveryColourOfAPictureSaysWhatItStandsFor: a page could not give a colour without a class its own look.
func TestEveryColourOfAPictureSaysWhatItStandsFor(t *testing.T) {
	known := string(Styles())
	for name, p := range pictures() {
		walk(t, name, p, func(e xml.StartElement) {
			a := map[string]string{}
			for _, x := range e.Attr {
				a[x.Name.Local] = x.Value
			}
			if a["style"] != "" || e.Name.Local == "style" {
				t.Errorf("%s: %s has a style of its own, which no page would let in", name, e.Name.Local)
			}
			for _, kind := range []string{"fill", "stroke", "stop-color"} {
				if !strings.HasPrefix(a[kind], "#") {
					continue
				}
				if m := regexp.MustCompile(`(?:^| )(` + kind + `-\S+)`).FindStringSubmatch(a["class"]); m == nil || !strings.Contains(known, "."+m[1]+" {") {
					t.Errorf("%s: %s with %s %s has the class %q", name, e.Name.Local, kind, a[kind], a["class"])
				}
			}
		}, func(string) {})
	}
}

func TestStylesOfThePageAreThoseOfTheScales(t *testing.T) {
	const file = "../page/src/sheet/tints.css"
	got := string(Styles())
	if testkit.Updating() {
		if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != got {
		t.Errorf("%s is not what Styles writes; make golden rewrites it", file)
	}
}
