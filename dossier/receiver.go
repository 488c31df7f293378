package dossier

import (
	"fmt"
	"math"
	"path"

	"emberbank/bench"
	"emberbank/block"
	"emberbank/figure"
	"emberbank/material"
	"emberbank/paper"
	"emberbank/receiver"
)

// receiver draws what is built, in its three planes, and lists its parts with their masses.
func (w *writer) receiver(c *paper.Chapter) {
	file, run := w.g.First()
	if run == nil {
		w.asks("No run of the bench can be read, so that the receiver is not drawn. Look at what is wrong: ", code("emberbank check ."), ".")
		return
	}
	t := w.g.built(file, run)
	c.Blocks = append(c.Blocks, w.planes(file, run)...)
	c.Blocks = append(c.Blocks, w.dimensions(run)...)
	c.Blocks = append(c.Blocks, w.bill(t)...)
	if mass, ok := t.number("/total_mass_kg"); ok {
		blockMass, _ := t.number("/block_mass_kg")
		c.Blocks = append(c.Blocks, together(t, mass))
		w.concludes(c.Key, "The receiver has a mass of ", mass, ", the block alone ", blockMass, ".")
	}
}

// together says the totals, with the temperature at which heat capacities are told.
func together(t *tree, mass Number) paper.Block {
	at, _ := t.number("/at_degC")
	capacity, _ := t.number("/total_heat_capacity_J_per_K")
	return paragraph("Together it has a mass of ", mass, " and a heat capacity of ", capacity.Span("kJ/K", -1), " at ", at.Span("", 0),
		", melting left out. Volumes are less the bores of the tubes. The cover, heaters, what holds the receiver and the water in the tubes are not counted.")
}

// planes are the receiver cut through its three planes.
func (w *writer) planes(file string, run *bench.Run) (blocks []paper.Block) {
	rec := &run.Problem.Receiver
	for _, a := range []block.Axis{block.Width, block.Depth, block.Height} {
		v := figure.View{Axis: a, At: through(rec, a)}
		for i := range run.Dimensions {
			v.Given = append(v.Given, Given(&run.Dimensions[i]))
		}
		says := says("The receiver cut across its ", a.String(), ", with the dimensions that the files state. Not to scale with the page: read the numbers.")
		blocks = append(blocks, paper.Figure{Key: w.key("receiver across", a.String()), Says: says, SVG: figure.Drawn(rec, v), Origin: file})
	}
	return blocks
}

// through is where a receiver is cut across an axis: through the middle of its window where it has one, and else of the block.
func through(rec *receiver.Receiver, a block.Axis) float64 {
	if w := rec.Window; w != nil && a != block.Depth {
		return (w.Opening.Min[a] + w.Opening.Max[a]) / 2
	}
	return (rec.Block.Min[a] + rec.Block.Max[a]) / 2
}

// Given hands a dimension of a file to its picture.
func Given(d *bench.Dimension) figure.Given {
	return figure.Given{File: d.File, Path: d.Path, Text: d.Text, What: d.What, Kind: figure.GivenKind(d.Kind), Axis: d.Axis, From: d.From, To: d.To, At: d.At, Pass: d.Pass}
}

// dimensions lists the lengths that the files state, as typed.
func (w *writer) dimensions(run *bench.Run) []paper.Block {
	if len(run.Dimensions) == 0 {
		return nil
	}
	t := newTable(w.key("dimensions"), run.Dimensions[0].File, says("Dimensions, as the files state them"), words("what"), numbers("dimension", ""))
	seen := map[string]bool{}
	for _, d := range run.Dimensions {
		place := d.File + " /" + d.Path
		if seen[place] {
			continue
		}
		seen[place] = true
		t.row(Sentence{d.What, place}, Sentence{d.Text, place})
	}
	return t.block()
}

// bill is the table of parts and masses.
func (w *writer) bill(t *tree) []paper.Block {
	b := newTable(w.key("parts and masses"), t.name, says("Parts, as they are built"), words("part"), words("of"),
		numbers("volume", "L"), numbers("mass", "kg"), numbers("heat capacity", "kJ/K"))
	for i := range t.count("/parts") {
		at := fmt.Sprintf("/parts/%d", i)
		if v, _ := t.float(at + "/volume_m3"); v == 0 {
			continue
		}
		name, _ := t.sentence(at + "/name")
		medium, _ := t.sentence(at + "/material")
		volume, _ := t.number(at + "/volume_m3")
		mass, known := t.number(at + "/mass_kg")
		capacity, _ := t.number(at + "/heat_capacity_J_per_K")
		b.row(name, medium, volume.Bare("", -1), bare(mass, known, ""), bare(capacity, known, "kJ/K"))
	}
	total, _ := t.number("/total_mass_kg")
	capacity, _ := t.number("/total_heat_capacity_J_per_K")
	b.row("all together", "", "", total.Bare("", -1), capacity.Bare("kJ/K", -1))
	return b.block()
}

// built is what the files build now, as a document that is handed over beside the report.
func (g *Gathered) built(file string, run *bench.Run) *tree {
	const name = "receiver.json"
	if t := g.facts[name]; t != nil {
		return t
	}
	rec := &run.Problem.Receiver
	bill := rec.Bill()
	d := builtJSON{Of: file, At: material.ReferenceTemperature - 273.15, Opening: bill.Opening, Passes: bill.Passes, Circuits: bill.Circuits, Heaters: bill.Heaters}
	add := func(name string, medium int, volume, mass float64) {
		p := partJSON{Name: name, Volume: volume}
		if medium >= 0 {
			m := &rec.Media[medium]
			capacity := mass * m.HeatCapacity.At(material.ReferenceTemperature)
			p.Material, p.Mass, p.Capacity = m.Name, &mass, &capacity
			d.Mass, d.Capacity = d.Mass+mass, d.Capacity+capacity
		}
		d.Parts = append(d.Parts, p)
	}
	for _, p := range bill.Parts {
		add(p.Name, p.Medium, p.Volume, p.Mass)
		if p.Role == receiver.RoleBlock {
			d.Block += p.Mass
		}
	}
	if bill.Glass.Volume > 0 {
		add("glass", bill.Glass.Medium, bill.Glass.Volume, bill.Glass.Mass)
	}
	for _, t := range bill.Tubes {
		if t.Medium >= 0 {
			add("tubes", t.Medium, t.Mass/rec.Media[t.Medium].Density, t.Mass)
		}
	}
	for i := range rec.Media {
		d.Media = append(d.Media, mediumOf(&rec.Media[i]))
	}
	return g.fact(name, d)
}

// builtJSON is receiver.json.
type builtJSON struct {
	Of       string       `json:"of"`
	At       float64      `json:"at_degC"`
	Parts    []partJSON   `json:"parts"`
	Mass     float64      `json:"total_mass_kg"`
	Block    float64      `json:"block_mass_kg"`
	Capacity float64      `json:"total_heat_capacity_J_per_K"`
	Opening  float64      `json:"window_m2"`
	Passes   int          `json:"passes"`
	Circuits int          `json:"circuits"`
	Heaters  int          `json:"heaters"`
	Media    []mediumJSON `json:"materials"`
}

type partJSON struct {
	Name     string   `json:"name"`
	Material string   `json:"material,omitempty"`
	Volume   float64  `json:"volume_m3"`
	Mass     *float64 `json:"mass_kg"`
	Capacity *float64 `json:"heat_capacity_J_per_K"`
}

// mediumJSON is a material at 20 °C.
type mediumJSON struct {
	Name         string     `json:"name"`
	Density      float64    `json:"density_kg_per_m3"`
	Capacity     float64    `json:"heat_capacity_J_per_kg_K"`
	Conductivity [3]float64 `json:"conductivity_W_per_m_K"` // along depth, width, height
	Latent       *float64   `json:"latent_J_per_kg"`
	Solidus      *float64   `json:"solidus_degC"`
	Liquidus     *float64   `json:"liquidus_degC"`
	Limit        *float64   `json:"service_limit_degC"`
	LimitSource  string     `json:"service_limit_source,omitempty"`
	Uncertainty  float64    `json:"uncertainty_share"`
	Memory       []string   `json:"from_memory"`
	Sources      []string   `json:"sources"`
	Notes        []string   `json:"notes"`
}

func mediumOf(m *material.Medium) mediumJSON {
	d := mediumJSON{
		Name: m.Name, Density: m.Density, Capacity: m.HeatCapacity.At(material.ReferenceTemperature), Uncertainty: m.Uncertainty,
		LimitSource: m.ServiceSource, Memory: append([]string{}, m.MemoryOf...), Sources: append([]string{}, m.Sources...), Notes: append([]string{}, m.Notes...),
	}
	for a := range d.Conductivity {
		d.Conductivity[a] = m.Conductivity[a].At(material.ReferenceTemperature)
	}
	celsius := func(T float64) *float64 {
		T = math.Round((T-273.15)*1e6) / 1e6
		return &T
	}
	if m.Latent > 0 {
		d.Latent, d.Solidus, d.Liquidus = &m.Latent, celsius(m.Solidus), celsius(m.Liquidus)
	}
	if m.ServiceLimit > 0 {
		d.Limit = celsius(m.ServiceLimit)
	}
	return d
}

// fact keeps a document made of the bench's files.
func (g *Gathered) fact(name string, v any) *tree {
	raw := indented(v)
	t := treeOf(path.Join(g.Folder, name), raw)
	g.facts[name] = t
	g.texts[name] = raw
	return t
}
