package material

import (
	"strings"
	"testing"
)

func TestPairsAreKnownFromBothSidesAndByCatalogueName(t *testing.T) {
	for _, c := range []struct {
		a, b  string
		degC  float64 // published or remembered onset; see the table's own sources
		words string
	}{
		{"tin", "aluminium", 228.5, "eutectic"},
		{"tin", "zinc", 198.5, "eutectic"}, // Moser et al., Bull. Alloy Phase Diagrams 6 (1985)
		{"tin", "copper", 227, "brittle"},
		{"tin", "brass", 227, "dissolves copper"},
		{"tin", "lead", 183, "eutectic"},        // Callister 1994
		{"zinc", "aluminium", 381, "dissolves"}, // Murray, public summary
		{"zinc", "carbon-steel-1010", 419.527, "attacks steel"},
		{"zinc", "stainless-304", 419.527, "stainless"},
		{"zinc", "copper", 419.527, "dissolves copper"},
		{"aluminium", "copper", 548.2, "eutectic"},
		{"aluminium", "magnesium", 437, "450"}, // Murray, public abstract
		{"aluminium", "stainless-316", 655, "attacks iron"},
		{"aluminium", "graphite-isostatic", 660.323, "carbide"},
		{"magnesium", "copper", 485, "eutectic"},
		{"solar-salt", "carbon-brick", 260, "oxidises"},
	} {
		for _, found := range [][]Pair{Contacts(c.a, c.b), Contacts(c.b, c.a)} {
			if len(found) != 1 {
				t.Errorf("%s and %s: %d pairs, want 1", c.a, c.b, len(found))
				continue
			}
			near(t, c.a+" and "+c.b, found[0].At, c.degC+iceZero, 1e-9, 0)
			if !strings.Contains(found[0].What, c.words) {
				t.Errorf("%s and %s: %q lacks %q", c.a, c.b, found[0].What, c.words)
			}
		}
	}
	for _, c := range [][2]string{{"zinc", "graphite-isostatic"}, {"tin", "tin"}, {"tin", "own"}, {"", ""}, {"microporous-board", "air"}} {
		if found := Contacts(c[0], c[1]); len(found) != 0 {
			t.Errorf("%v: found %+v", c, found)
		}
	}
}

func TestEveryPairHasSourceAndKnownFamilies(t *testing.T) {
	families := map[string]bool{}
	for _, e := range Catalogue() {
		families[e.Metal] = true
	}
	seen := map[string]bool{}
	for _, p := range Pairs() {
		if p.What == "" || p.Source == "" || !families[p.A] || !families[p.B] || p.A == p.B {
			t.Errorf("incomplete: %+v", p)
		}
		if p.FromMemory != strings.Contains(p.Source, "from memory") {
			t.Errorf("%s and %s: from memory is %v, source says %q", p.A, p.B, p.FromMemory, p.Source)
		}
		if seen[p.A+p.B] || seen[p.B+p.A] {
			t.Errorf("%s and %s stand twice", p.A, p.B)
		}
		seen[p.A+p.B] = true
	}
}

// A eutectic melts below both of its metals, whatever else is remembered about it.
func TestEutecticsLieBelowBothMeltingPoints(t *testing.T) {
	for _, p := range Pairs() {
		if !strings.Contains(p.What, "form a eutectic") && !strings.Contains(p.What, "form eutectics") {
			continue
		}
		for _, name := range []string{p.A, p.B} {
			if e, ok := Lookup(name); ok && !(p.At < e.Solidus) {
				t.Errorf("%s and %s: eutectic at %g K, %s melts at %g K", p.A, p.B, p.At, name, e.Solidus)
			}
		}
	}
}
