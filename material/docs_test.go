package material

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the generated tables of docs/physics/materials.md")

const docsPath = "../docs/physics/materials.md"

// entryTable prints the catalogue, one row an entry.
func entryTable() string {
	var b strings.Builder
	b.WriteString("| name | what it is | density [kg/m³] | heat capacity [J/(kg K)] | conductivity [W/(m K)] | holds [°C] | melts [°C] | latent heat [kJ/kg] | ± density, heat capacity, conductivity | from memory |\n")
	b.WriteString("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n")
	for _, e := range Catalogue() {
		melts, latent := "", ""
		if e.Latent > 0 {
			melts, latent = fmt.Sprintf("%.2f", e.Solidus-iceZero), fmt.Sprintf("%.1f", e.Latent/1e3)
		}
		spread := func(solid, melted float64) string {
			if melted > 0 && melted != solid {
				return fmt.Sprintf("%.0f (melted %.0f) %%", 100*solid, 100*melted)
			}
			return fmt.Sprintf("%.0f %%", 100*solid)
		}
		fmt.Fprintf(&b, "| `%s` | %s | %.5g | %s | %s | %.0f to %.0f | %s | %s | %s, %s, %s | %s |\n",
			e.Name, e.Text, e.Density, ends(e.HeatCapacity, e), ends(e.Conductivity[0], e), e.Low-iceZero, e.High-iceZero, melts, latent,
			spread(e.Spread.Density, 0), spread(e.Spread.HeatCapacity, e.Spread.HeatCapacityMelted), spread(e.Spread.Conductivity, e.Spread.ConductivityMelted),
			strings.Join(e.Memory, ", "))
	}
	return b.String()
}

// ends prints a curve of the solid at 20 °C, or the low end of its range, and at the high end.
func ends(c Curve, e Entry) string {
	low, high := max(c.Min, e.Low, ReferenceTemperature), min(c.Max, e.High)
	if e.Latent > 0 {
		high = min(high, e.Solidus)
	}
	a, b := c.At(low), c.At(high)
	if a == b {
		return fmt.Sprintf("%.4g", a)
	}
	return fmt.Sprintf("%.4g at %.0f °C to %.4g at %.0f °C", a, low-iceZero, b, high-iceZero)
}

// sourceList prints limits and sources, one paragraph an entry.
func sourceList() string {
	var b strings.Builder
	for i, e := range Catalogue() {
		if i > 0 {
			b.WriteString("\n")
		}
		fmt.Fprintf(&b, "**%s**\n\n", e.Name)
		for _, s := range e.Sources {
			fmt.Fprintf(&b, "- %s\n", s)
		}
		if !math.IsNaN(e.Emissivity) {
			fmt.Fprintf(&b, "- emissivity taken: %g\n", e.Emissivity)
		}
		if e.ServiceLimit > 0 {
			fmt.Fprintf(&b, "- service limit %.0f °C: %s\n", e.ServiceLimit-iceZero, e.ServiceSource)
		}
		if e.OxidationOnset > 0 {
			fmt.Fprintf(&b, "- oxidation onset %.0f °C: %s\n", e.OxidationOnset-iceZero, e.OxidationSource)
		}
	}
	return b.String()
}

// pairTable prints the pairs.
func pairTable() string {
	var b strings.Builder
	b.WriteString("| pair | from [°C] | what happens | source |\n| --- | --- | --- | --- |\n")
	for _, p := range Pairs() {
		fmt.Fprintf(&b, "| %s, %s | %.1f | %s | %s |\n", p.A, p.B, p.At-iceZero, p.What, p.Source)
	}
	return b.String()
}

// between replaces what stands between the marks of a generated part.
func between(page, part, text string) (string, error) {
	start, stop := "<!-- generated: "+part+" -->\n", "<!-- end: "+part+" -->\n"
	i, j := strings.Index(page, start), strings.Index(page, stop)
	if i < 0 || j < i {
		return "", fmt.Errorf("marks of %s are missing", part)
	}
	return page[:i+len(start)] + text + page[j:], nil
}

func TestMaterialsPageMatchesTheCatalogue(t *testing.T) {
	old, err := os.ReadFile(docsPath)
	if err != nil {
		t.Fatal(err)
	}
	// A checkout may turn line ends; the page is compared by its text.
	page := strings.ReplaceAll(string(old), "\r\n", "\n")
	want := page
	for _, part := range [][2]string{{"entries", entryTable()}, {"sources", sourceList()}, {"pairs", pairTable()}} {
		if want, err = between(want, part[0], part[1]); err != nil {
			t.Fatal(err)
		}
	}
	if page == want {
		return
	}
	if *update {
		if err := os.WriteFile(docsPath, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	a, b := strings.Split(page, "\n"), strings.Split(want, "\n")
	for i := range b {
		if i >= len(a) || a[i] != b[i] {
			t.Fatalf("line %d of docs/physics/materials.md is out of date; want\n%s\nrun: go test ./material -update", i+1, b[i])
		}
	}
	t.Fatal("docs/physics/materials.md has more lines than it should; run: go test ./material -update")
}
