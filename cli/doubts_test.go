package cli

import (
	"slices"
	"testing"

	"emberbank/heat"
)

func TestNoDoubtIsToldTwice(t *testing.T) {
	cautions := []heat.Caution{{Kind: heat.KindMaterial, Place: "fill", Text: "tin in aluminium: they alloy. Ask before use."}}
	got := doubts(
		[]string{"fill: from memory", "fill: tin in aluminium: they alloy", "wool: tin in aluminium: they alloy", "far side"},
		[]string{"far side", "the film is doubtful", "the film is doubtful", "fill"},
		cautions)
	want := []string{"fill: from memory", "wool: tin in aluminium: they alloy", "far side", "the film is doubtful", "fill"}
	if !slices.Equal(got, want) {
		t.Errorf("told %q, want %q: each once and in order, without what the cautions say of the same place", got, want)
	}
}
