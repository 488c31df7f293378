package bench

import (
	"testing"

	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"
)

func TestTextsOfADraftAreReadBackAsTheyAre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"yes", "null", "12", "1e3", "- a", "{", "a: b", "#", " x", "x ", "'", "\"", "20 mm", "2026-01-01", "~", ".inf", "0x1f"})).Draw(t, "text")
		var got map[string]any
		if err := yaml.Unmarshal([]byte("a: "+yamlText(want)+"\n"), &got); err != nil {
			t.Fatalf("%q is written as %s: %v", want, yamlText(want), err)
		}
		if got["a"] != want {
			t.Fatalf("%q is written as %s and read as %v", want, yamlText(want), got["a"])
		}
	})
}
