package bench

import "testing"

func TestNamesSuitEverySystem(t *testing.T) {
	for in, want := range map[string]string{
		"charge-hold": "charge-hold", "Käse lauf": "Käse lauf", "a:b?c": "a-b-c", "con": "_con", "Com1": "_Com1",
		"com0": "com0", "nul.txt": "_nul.txt", "trailing. ": "trailing", "": "run", "...": "run", "a\tb": "a-b", "lpt10": "lpt10",
	} {
		if got := SafeName(in); got != want {
			t.Errorf("SafeName(%q) is %q, want %q", in, got, want)
		}
	}
}

func TestResultsStandBesideTheirFile(t *testing.T) {
	for in, want := range map[string]string{
		"insulation.yaml": "results/insulation", "trials/lamp-slow.yaml": "trials/results/lamp-slow", "two.parts.yaml": "results/two.parts", "nul.yaml": "results/_nul",
	} {
		if got := Results(in); got != want {
			t.Errorf("Results(%q) is %q, want %q", in, got, want)
		}
	}
}
