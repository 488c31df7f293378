package web

import (
	"encoding/json"
	"math"
	"net/url"
	"slices"
	"testing"

	"emberbank/bench"
)

func TestMaterialsAreThoseOfTheBenchAndOfTheCatalogue(t *testing.T) {
	_, ask := opened(t)
	code, raw := ask("GET", "materials", url.Values{"run": {"trial-1.yaml"}}, "")
	var all materialsBody
	if err := json.Unmarshal([]byte(raw), &all); code != 200 || err != nil {
		t.Fatalf("%d %v: %.300s", code, err, raw)
	}
	if m := all.Materials[0]; m.Name != "wool" || m.Kind != "own" || m.File != "receiver.yaml" || m.Path != "materials[1]" || m.Density != 100 {
		t.Errorf("the bench's own: %+v", m)
	}
	i := slices.IndexFunc(all.Materials, func(m mediumBody) bool { return m.Name == "tin" })
	if i < 0 {
		t.Fatal("no tin")
	}
	tin := all.Materials[i]
	// The melting point is a fixed point of ITS-90: 231.928 degC.
	if tin.Solidus == nil || math.Abs(*tin.Solidus-231.928) > 0.1 || len(tin.Sources) == 0 || len(tin.Properties) < 4 {
		t.Errorf("tin: %+v", tin)
	}
	// At the melting point the heat content steps by the latent heat.
	var step float64
	for k := 1; k < len(tin.HeatContent); k++ {
		if a, b := tin.HeatContent[k-1], tin.HeatContent[k]; math.Abs(a[0]-*tin.Solidus) < 0.01 && math.Abs(b[0]-*tin.Solidus) < 0.01 {
			step += b[1] - a[1]
		}
	}
	if math.Abs(step-tin.Latent) > 0.01*tin.Latent {
		t.Errorf("the heat content of tin steps by %g J/kg, its latent heat is %g", step, tin.Latent)
	}
	for _, p := range tin.Properties {
		if len(p.Points) < 2 {
			t.Errorf("%s has %d points", p.Name, len(p.Points))
		}
	}
}

func TestACompositeIsMixedBeforeItIsWrittenAndThenUsed(t *testing.T) {
	_, ask := opened(t)
	mixed := func(q url.Values) (c compositeBody) {
		t.Helper()
		code, raw := ask("GET", "composite", q, "")
		if err := json.Unmarshal([]byte(raw), &c); code != 200 || err != nil {
			t.Fatalf("%d %v: %.300s", code, err, raw)
		}
		return c
	}
	q := url.Values{"run": {"trial-1.yaml"}, "name": {"tin in aluminium"}, "matrix": {"aluminium"}, "filler": {"tin"}, "fraction": {"30 %"}, "void": {"3 %"}, "volume": {"0.001"}, "heat": {"600000"}}
	c := mixed(q)
	if len(c.Problems) != 0 || c.Mixed == nil || c.Plain == nil || c.Text != "{name: tin in aluminium, matrix: aluminium, filler: tin, filler fraction: 30 %, void fraction: 3 %}" {
		t.Fatalf("%+v", c)
	}
	// Densities go by volume: 0.67 of the matrix and 0.30 of the filler.
	all := struct{ al, sn float64 }{c.Plain.Density, 7290}
	if want := 0.67*all.al + 0.3*all.sn; math.Abs(c.Mixed.Density-want) > 0.01*want || math.Abs(c.Mass[0]-c.Mixed.Density/1000) > 1e-9 {
		t.Errorf("density %g, want about %g; mass %v", c.Mixed.Density, want, c.Mass)
	}
	if c.Needed[0] == nil || c.Needed[1] == nil || !(*c.Needed[0] < *c.Needed[1]) {
		t.Errorf("tin that melts should hold the heat at a lower temperature: %v", c.Needed)
	}
	wrong := mixed(url.Values{"run": {"trial-1.yaml"}, "matrix": {"aluminium"}, "filler": {"tim"}, "fraction": {"130 %"}})
	if len(wrong.Problems) == 0 || wrong.Mixed != nil || wrong.Problems[0].Field != "filler fraction" {
		t.Errorf("%+v", wrong)
	}
	// Written by the way of every field, it can be named as the block's medium.
	_, mark := field(t, ask, "receiver.yaml", "block.medium")
	put := func(path, text string) fieldDone {
		t.Helper()
		raw, err := json.Marshal(map[string]string{"name": "receiver.yaml", "path": path, "text": text, "mark": mark})
		if err != nil {
			t.Fatal(err)
		}
		var done fieldDone
		code, answer := ask("PUT", "field", nil, string(raw))
		if err := json.Unmarshal([]byte(answer), &done); code != 200 || err != nil || !done.Written || slices.ContainsFunc(done.Problems, func(p bench.Problem) bool { return !p.Warning }) {
			t.Fatalf("%d %v: %s", code, err, answer)
		}
		mark = done.Mark
		return done
	}
	put("composites[+]", c.Text)
	put("block.medium", "tin in aluminium")
	if r := settled(t, ask, "trial-1.yaml"); r.State != done {
		t.Errorf("%+v", r)
	}
}
