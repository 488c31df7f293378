package web

import (
	"context"
	"math"
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/material"

	"github.com/danielgtaylor/huma/v2"
)

// materialsAPI is the part of the interface about matter: the catalogue, the bench's own, and composites that are being thought of.
func (d *Desk) materialsAPI(a huma.API) {
	huma.Get(a, "/api/materials", d.getMaterials, named("materials", "The catalogue of materials and the bench's own, with their curves, limits and sources"))
	huma.Get(a, "/api/composite", d.getComposite, named("composite", "A composite as it would be mixed, beside its plain matrix, and what is to be written to have it"))
}

// mediumBody is a medium with all that is known of it; temperatures in degC, the rest in SI.
type mediumBody struct {
	Name           string         `json:"name"`
	Kind           string         `json:"kind" doc:"graphite, metal, … of the catalogue; own, or composite"`
	Text           string         `json:"text"`
	File           string         `json:"file,omitempty" doc:"where the bench describes it"`
	Path           string         `json:"path,omitempty"`
	Density        float64        `json:"density_kg_per_m3"`
	DensitySpread  float64        `json:"density_uncertainty,omitempty" doc:"relative, 95 %"`
	Latent         float64        `json:"latent_heat_J_per_kg,omitempty"`
	LatentSpread   float64        `json:"latent_heat_uncertainty,omitempty"`
	Solidus        *float64       `json:"solidus_degC,omitempty"`
	Liquidus       *float64       `json:"liquidus_degC,omitempty"`
	Emissivity     float64        `json:"emissivity,omitempty"`
	ServiceLimit   *float64       `json:"service_limit_degC,omitempty"`
	ServiceSource  string         `json:"service_source,omitempty"`
	TubeLimit      *float64       `json:"tube_limit_degC,omitempty"`
	OxidationOnset *float64       `json:"oxidation_onset_degC,omitempty"`
	From           *float64       `json:"holds_from_degC,omitempty" doc:"where every property holds"`
	To             *float64       `json:"holds_to_degC,omitempty"`
	Low            float64        `json:"low_degC" doc:"where its curves begin"`
	High           float64        `json:"high_degC"`
	Properties     []propertyBody `json:"properties"`
	HeatContent    [][2]float64   `json:"heat_content,omitempty" doc:"degC, and J/kg counted from 20 degC solid"`
	Memory         []string       `json:"from_memory,omitempty" doc:"properties that come from memory"`
	Sources        []string       `json:"sources"`
	Notes          []string       `json:"notes,omitempty" doc:"what to beware of"`
}

type propertyBody struct {
	Name        string       `json:"name"`
	Unit        string       `json:"unit"`
	Uncertainty float64      `json:"uncertainty,omitempty" doc:"relative, 95 %"`
	From        *float64     `json:"from_degC,omitempty" doc:"below this it is kept as it is there"`
	To          *float64     `json:"to_degC,omitempty" doc:"above this it is kept as it is there"`
	Points      [][2]float64 `json:"points" doc:"degC, value"`
}

const zeroCelsius = 273.15

func celsius(T float64) *float64 {
	if !(T > 0) || T >= 1e8 {
		return nil
	}
	t := math.Round((T-zeroCelsius)*1e6) / 1e6
	return &t
}

// mediumOf says all that is known of a medium; e is its entry where it is plain.
func mediumOf(m *material.Medium, e *material.Entry) mediumBody {
	b := mediumBody{
		Name: m.Name, Kind: "composite", Text: "Mixed from a matrix and a filler.", Density: m.Density, DensitySpread: m.Spread.Density,
		Latent: m.Latent, LatentSpread: m.Spread.Latent, ServiceLimit: celsius(m.ServiceLimit), ServiceSource: m.ServiceSource,
		TubeLimit: celsius(m.TubeLimit), OxidationOnset: celsius(m.OxidationOnset), Memory: m.MemoryOf,
		Sources: append([]string{}, m.Sources...), Notes: m.Notes, Properties: []propertyBody{},
	}
	if e != nil {
		b.Kind, b.Text = e.Kind, e.Text
		if !math.IsNaN(e.Emissivity) {
			b.Emissivity = e.Emissivity
		}
	}
	if m.Latent > 0 {
		b.Solidus, b.Liquidus = celsius(m.Solidus), celsius(m.Liquidus)
	}
	low, high := m.Range()
	b.From, b.To = celsius(low), celsius(high)
	bottom, top := shownSpan(m, high)
	b.Low, b.High = bottom-zeroCelsius, top-zeroCelsius
	for _, p := range account.Properties(m) {
		b.Properties = append(b.Properties, curveOf(p, bottom, top))
	}
	if len(m.HeatCapacity.T)+len(m.HeatCapacity.Poly) > 0 && m.Density > 0 {
		b.HeatContent = heatContent(m, bottom, top)
	}
	return b
}

// shownSpan is over which temperatures a medium is shown, in K: beyond where it holds and where it may serve.
func shownSpan(m *material.Medium, high float64) (bottom, top float64) {
	top = 600.0
	for _, T := range []float64{high + 60, m.ServiceLimit + 60, m.TubeLimit + 60} {
		if T < 1800 {
			top = max(top, T)
		}
	}
	if m.Latent > 0 {
		top = max(top, m.Liquidus+120)
	}
	return zeroCelsius, math.Ceil((top-zeroCelsius)/50)*50 + zeroCelsius
}

// shownPieces is into how many pieces a curve is laid.
const shownPieces = 60

func curveOf(p account.Property, bottom, top float64) propertyBody {
	out := propertyBody{Name: p.Name, Unit: p.Unit, Uncertainty: p.Spread, Points: [][2]float64{}}
	low, high := max(bottom, p.Low), min(top, p.High)
	if p.Curve.Min > low && !p.Curve.Hold {
		out.From = celsius(p.Curve.Min)
	}
	if p.Curve.Max < high && !p.Curve.Hold {
		out.To = celsius(p.Curve.Max)
	}
	at := []float64{low, high}
	for i := 1; i < shownPieces && !p.Curve.IsConstant(); i++ {
		at = append(at, low+(high-low)*float64(i)/shownPieces)
	}
	for _, T := range append([]float64{p.Curve.Min, p.Curve.Max}, p.Curve.T...) {
		if T > low && T < high && len(p.Curve.T) < 200 {
			at = append(at, T)
		}
	}
	slices.Sort(at)
	for _, T := range slices.Compact(at) {
		out.Points = append(out.Points, [2]float64{T - zeroCelsius, p.Curve.At(T)})
	}
	return out
}

// heatContent is the enthalpy between two temperatures, its corners among the points.
func heatContent(m *material.Medium, bottom, top float64) [][2]float64 {
	e := material.NewEnthalpy(m)
	from, to := e.Of(bottom), e.Of(top)
	at := []float64{from, to}
	for i := 1; i < shownPieces; i++ {
		at = append(at, from+(to-from)*float64(i)/shownPieces)
	}
	for _, h := range []float64{e.Hs, e.Hl} {
		if h > from && h < to {
			at = append(at, h)
		}
	}
	slices.Sort(at)
	out := [][2]float64{}
	for _, h := range at {
		out = append(out, [2]float64{e.Temperature(h) - zeroCelsius, h})
	}
	return out
}

type materialsQuery struct {
	Run string `query:"run" maxLength:"300" doc:"run file whose receiver's own materials are told too"`
}

type materialsBody struct {
	Materials []mediumBody `json:"materials" doc:"the bench's own first, then the catalogue by kind and name"`
	Rules     []string     `json:"rules" doc:"by which composites can be mixed"`
}

func (d *Desk) getMaterials(_ context.Context, q *materialsQuery) (*body[materialsBody], error) {
	out := materialsBody{Rules: material.Rules(), Materials: []mediumBody{}}
	if q.Run != "" && mayOpen(q.Run) {
		for _, own := range bench.OwnMedia(d.root.FS(), q.Run) {
			b := mediumOf(&own.Medium, own.Entry)
			b.File, b.Path = own.File, own.Path
			out.Materials = append(out.Materials, b)
		}
	}
	all := material.Catalogue()
	slices.SortStableFunc(all, func(a, b material.Entry) int { return strings.Compare(a.Kind, b.Kind) })
	for i := range all {
		m := all[i].Medium()
		out.Materials = append(out.Materials, mediumOf(&m, &all[i]))
	}
	return &body[materialsBody]{out}, nil
}

type compositeQuery struct {
	materialsQuery
	Name           string  `query:"name" maxLength:"80" default:"composite"`
	Matrix         string  `query:"matrix" required:"true" maxLength:"80" doc:"what stays solid"`
	Filler         string  `query:"filler" required:"true" maxLength:"80" doc:"what may melt inside"`
	FillerFraction string  `query:"fraction" required:"true" maxLength:"40" doc:"of the filler, by volume, such as 30 %"`
	VoidFraction   string  `query:"void" maxLength:"40" doc:"empty space, by volume"`
	Mixing         string  `query:"mixing" maxLength:"40" doc:"rule of the conductivity"`
	Volume         float64 `query:"volume" minimum:"0" doc:"m³ that are filled"`
	Heat           float64 `query:"heat" minimum:"0" doc:"J that are to be held above 20 degC"`
}

type compositeBody struct {
	Text     string          `json:"text" doc:"the entry to be written under composites, where nothing is wrong"`
	Problems []bench.Problem `json:"problems" doc:"what is wrong, in the words of check"`
	Mixed    *mediumBody     `json:"mixed,omitempty"`
	Plain    *mediumBody     `json:"plain,omitempty" doc:"the matrix alone"`
	Mass     [2]float64      `json:"mass_kg" doc:"of the volume: mixed, plain"`
	Needed   [2]*float64     `json:"needed_degC" doc:"to which the volume must be heated to hold the heat: mixed, plain"`
}

func (d *Desk) getComposite(_ context.Context, q *compositeQuery) (*body[compositeBody], error) {
	if q.Run != "" && !mayOpen(q.Run) {
		return nil, refused(errName)
	}
	keys := bench.CompositeKeys{Name: q.Name, Matrix: q.Matrix, Filler: q.Filler, FillerFraction: q.FillerFraction, VoidFraction: q.VoidFraction, Mixing: q.Mixing}
	c, problems := bench.Compose(d.root.FS(), q.Run, keys)
	out := compositeBody{Problems: append([]bench.Problem{}, problems...)}
	if problems.Failed() {
		return &body[compositeBody]{out}, nil
	}
	out.Text = keys.Text()
	mixed, plain := mediumOf(&c.Mixed, nil), mediumOf(&c.Matrix, nil)
	out.Mixed, out.Plain = &mixed, &plain
	for i, m := range []*material.Medium{&c.Mixed, &c.Matrix} {
		out.Mass[i] = m.Density * q.Volume
		if q.Heat > 0 && out.Mass[i] > 0 {
			out.Needed[i] = celsius(material.NewEnthalpy(m).Temperature(q.Heat / out.Mass[i]))
		}
	}
	return &body[compositeBody]{out}, nil
}
