package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"emberbank/account"
	"emberbank/material"
	"emberbank/unit"
)

type materialsCommand struct {
	Name string `arg:"" optional:""`
	JSON bool   `name:"json"`
}

func (m *materialsCommand) wantsJSON() bool { return m.JSON }

func (m *materialsCommand) run(c *call) error {
	if m.Name == "" {
		all := material.Catalogue()
		if m.JSON {
			docs := make([]materialJSON, len(all))
			for i := range all {
				docs[i] = materialDocument(&all[i])
			}
			c.printJSON(docs)
			return nil
		}
		listMaterials(c.out, all)
		return nil
	}
	e, ok := material.Lookup(m.Name)
	if !ok {
		f := &failure{
			code: ExitInput, message: fmt.Sprintf("%q is not in the catalogue of materials", m.Name),
			hint: "emberbank materials lists them",
		}
		if near := material.Nearest(m.Name); near != "" {
			f.hint = fmt.Sprintf("did you mean %q?", near)
		}
		return f
	}
	if m.JSON {
		c.printJSON(materialDocument(&e))
		return nil
	}
	showMaterial(c.out, &e)
	return nil
}

// listMaterials prints one line a material, grouped by kind.
func listMaterials(w io.Writer, all []material.Entry) {
	var kinds []string
	by := map[string][]material.Entry{}
	for _, e := range all {
		if by[e.Kind] == nil {
			kinds = append(kinds, e.Kind)
		}
		by[e.Kind] = append(by[e.Kind], e)
	}
	for _, k := range kinds {
		fmt.Fprintf(w, "%s\n", k)
		for _, e := range by[k] {
			melts := ""
			if e.Latent > 0 {
				melts = "melts at " + celsius(e.Solidus)
				if e.Liquidus > e.Solidus {
					melts = "melts " + celsiusRange(e.Solidus, e.Liquidus)
				}
			}
			memory := ""
			if e.FromMemory {
				memory = "*"
			}
			fmt.Fprintln(w, strings.TrimRight(fmt.Sprintf("  %-26s %-20s %-22s %s", e.Name, celsiusRange(e.Low, e.High), melts, memory), " "))
		}
	}
	fmt.Fprintf(w, "\n%s. The range is where every property holds. * from memory in part.\n"+
		"emberbank materials NAME shows one with its sources.\n", counted(len(all), "material"))
}

// showMaterial prints all that is known of one material.
func showMaterial(w io.Writer, e *material.Entry) {
	fmt.Fprintf(w, "%s (%s)\n", e.Name, e.Kind)
	account.Paragraph(w, "", e.Text)
	fmt.Fprintln(w)
	row := func(name, value string, spread float64) {
		if spread > 0 {
			value += fmt.Sprintf("  ± %.3g %%", 100*spread)
		}
		account.Paragraph(w, fmt.Sprintf("  %-22s ", name), value)
	}
	row("density", unit.Format(e.Density, unit.Density, ""), e.Spread.Density)
	if e.LiquidDensity > 0 {
		row("density melted", unit.Format(e.LiquidDensity, unit.Density, ""), 0)
	}
	row("holds", celsiusRange(e.Low, e.High), 0)
	if e.Latent > 0 {
		at := celsius(e.Solidus)
		if e.Liquidus > e.Solidus {
			at = celsiusRange(e.Solidus, e.Liquidus)
		}
		row("melts", at, 0)
		row("latent heat", unit.Format(e.Latent, unit.SpecificEnergy, "kJ/kg"), e.Spread.Latent)
	}
	if !math.IsNaN(e.Emissivity) && e.Emissivity > 0 {
		row("emissivity", fmt.Sprintf("%.3g", e.Emissivity), 0)
	}
	if e.ServiceLimit > 0 {
		row("service limit", celsius(e.ServiceLimit)+source(e.ServiceSource), 0)
	}
	if e.TubeLimit > 0 {
		row("limit of tubes", celsius(e.TubeLimit)+source(e.TubeSource), 0)
	}
	if e.OxidationOnset > 0 {
		row("oxidation onset in air", celsius(e.OxidationOnset)+source(e.OxidationSource), 0)
	}
	fmt.Fprintln(w)
	m := e.Medium()
	for _, p := range account.Properties(&m) {
		head := p.Name
		if p.Spread > 0 {
			head += fmt.Sprintf(", ± %.3g %%", 100*p.Spread)
		}
		fmt.Fprintf(w, "  %s [%s]\n", head, p.Unit)
		for _, T := range shownAt(p.Curve, p.Low, p.High) {
			fmt.Fprintf(w, "    %-10s %.4g\n", celsius(T), p.Curve.At(T))
		}
	}
	fmt.Fprintf(w, "\nSources\n")
	for _, s := range e.Sources {
		account.Paragraph(w, "  - ", s)
	}
	if e.FromMemory {
		fmt.Fprintln(w)
		account.Paragraph(w, "", fmt.Sprintf("From memory, so that every run that uses it warns: %s.", strings.Join(e.Memory, ", ")))
	}
}

// shownAt chooses the temperatures of a property's table: its points, or six over the range of a polynomial, within
// the phase that it belongs to. A constant shows once.
func shownAt(c *material.Curve, low, high float64) []float64 {
	low, high = max(low, c.Min), min(high, c.Max)
	if c.IsConstant() {
		at := material.ReferenceTemperature
		if at < low || at > high {
			at = min(low, high)
		}
		return []float64{at}
	}
	var at []float64
	if len(c.T) > 0 {
		for _, T := range c.T {
			if T >= low-1 && T <= high+1 {
				at = append(at, T)
			}
		}
		if len(at) > 0 {
			return thinned(at)
		}
	}
	const n = 6
	for i := range n {
		at = append(at, low+(high-low)*float64(i)/(n-1))
	}
	return at
}

// thinned keeps at most a dozen temperatures of a long table, its ends among them.
func thinned(at []float64) []float64 {
	const most = 12
	if len(at) <= most {
		return at
	}
	out := make([]float64, most)
	for i := range out {
		out[i] = at[i*(len(at)-1)/(most-1)]
	}
	return out
}

func source(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}

// celsius prints a temperature in K as people read it, to a tenth of a degree.
func celsius(T float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", T-273.15), ".0") + " degC"
}

func celsiusRange(low, high float64) string {
	switch {
	case low <= 0 && high >= 1e8:
		return "any temperature"
	case high >= 1e8:
		return "from " + celsius(low)
	case low <= 0:
		return "to " + celsius(high)
	}
	return strings.TrimSuffix(celsius(low), " degC") + " to " + celsius(high)
}

// materialJSON is a material as JSON; temperatures in degC, the rest in SI. What is not known is left out.
type materialJSON struct {
	Name           string         `json:"name"`
	Kind           string         `json:"kind"`
	Text           string         `json:"text"`
	Density        float64        `json:"density_kg_per_m3"`
	LiquidDensity  float64        `json:"density_melted_kg_per_m3,omitempty"`
	Low            *float64       `json:"holds_from_degC,omitempty"`
	High           *float64       `json:"holds_to_degC,omitempty"`
	Latent         float64        `json:"latent_heat_J_per_kg,omitempty"`
	Solidus        *float64       `json:"solidus_degC,omitempty"`
	Liquidus       *float64       `json:"liquidus_degC,omitempty"`
	Emissivity     float64        `json:"emissivity,omitempty"`
	ServiceLimit   *float64       `json:"service_limit_degC,omitempty"`
	TubeLimit      *float64       `json:"tube_limit_degC,omitempty"`
	OxidationOnset *float64       `json:"oxidation_onset_degC,omitempty"`
	Properties     []propertyJSON `json:"properties"`
	Uncertainty    float64        `json:"uncertainty"`
	FromMemory     []string       `json:"from_memory,omitempty"`
	Sources        []string       `json:"sources"`
}

type propertyJSON struct {
	Name        string       `json:"name"`
	Unit        string       `json:"unit"`
	Uncertainty float64      `json:"uncertainty,omitempty"`
	Points      [][2]float64 `json:"points"` // degC, value
}

func materialDocument(e *material.Entry) materialJSON {
	d := materialJSON{
		Name: e.Name, Kind: e.Kind, Text: e.Text, Density: e.Density, LiquidDensity: e.LiquidDensity,
		Latent: e.Latent, Uncertainty: e.Uncertainty, FromMemory: e.Memory, Sources: e.Sources,
		Low: degC(e.Low), High: degC(e.High), ServiceLimit: degC(e.ServiceLimit), TubeLimit: degC(e.TubeLimit), OxidationOnset: degC(e.OxidationOnset),
	}
	if e.Latent > 0 {
		d.Solidus, d.Liquidus = degC(e.Solidus), degC(e.Liquidus)
	}
	if !math.IsNaN(e.Emissivity) {
		d.Emissivity = e.Emissivity
	}
	m := e.Medium()
	for _, p := range account.Properties(&m) {
		j := propertyJSON{Name: p.Name, Unit: p.Unit, Uncertainty: p.Spread}
		for _, T := range shownAt(p.Curve, p.Low, p.High) {
			j.Points = append(j.Points, [2]float64{tidy(T - 273.15), p.Curve.At(T)})
		}
		d.Properties = append(d.Properties, j)
	}
	return d
}

// degC returns a temperature in degC, nil where none is known.
func degC(T float64) *float64 {
	if T <= 0 || T >= 1e8 || math.IsNaN(T) {
		return nil
	}
	t := tidy(T - 273.15)
	return &t
}

// tidy rounds away what a difference of two temperatures leaves beyond a millionth of a degree.
func tidy(v float64) float64 { return math.Round(v*1e6) / 1e6 }
