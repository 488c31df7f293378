package crate

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"emberbank/shelf"

	"go.yaml.in/yaml/v4"
)

func made() (About, []File, []shelf.Kept) {
	about := About{
		Name: "a bench", Says: `How long does "a charge" last: and for whom?`, Licence: "CC-BY-4.0", Date: "2026-11-28",
		Authors: []Author{
			{Name: "Glut", Given: "Ada", ORCID: "0000-0002-1825-0097", Affiliation: "a school"},
			{Name: "the bakery's makers"},
		},
	}
	files := []File{
		{"bench.yaml", 120, strings.Repeat("a", 64)},
		{"a day's run.yaml", 80, strings.Repeat("b", 64)},
		{"results/a day's run/summary.json", 7, strings.Repeat("c", 64)},
		{"results/a day's run/manifest.json", 9, strings.Repeat("d", 64)},
		{"Öfen.csv", 3, strings.Repeat("e", 64)},
	}
	kept := []shelf.Kept{
		{
			Kind: "run", File: "a day's run.yaml", Folder: "results/a day's run", Title: "a day", Version: "0.0.9", Renew: `emberbank run "a day's run.yaml"`,
			Inputs: []shelf.Entry{{Name: "a day's run.yaml"}, {Name: "../elsewhere.csv"}}, Files: []string{"summary.json", "gone.csv"},
		},
		{Kind: "season", File: "season.yaml"},
	}
	return about, files, kept
}

// graph reads metadata back: entities by their identifiers.
func graph(t *testing.T, raw []byte) map[string]map[string]any {
	t.Helper()
	var d struct {
		Context string           `json:"@context"`
		Graph   []map[string]any `json:"@graph"`
	}
	if err := json.Unmarshal(raw, &d); err != nil {
		t.Fatal(err)
	}
	if d.Context != "https://w3id.org/ro/crate/1.2/context" {
		t.Errorf("the context is %s", d.Context)
	}
	all := map[string]map[string]any{}
	for _, e := range d.Graph {
		id, _ := e["@id"].(string)
		if id == "" || e["@type"] == nil || all[id] != nil {
			t.Errorf("an entity without name or type, or there twice: %v", e)
		}
		all[id] = e
	}
	return all
}

// refs are all references that a value holds.
func refs(v any) (out []string) {
	switch v := v.(type) {
	case map[string]any:
		if id, ok := v["@id"].(string); ok && len(v) == 1 {
			out = append(out, id)
		}
		for _, one := range v {
			out = append(out, refs(one)...)
		}
	case []any:
		for _, one := range v {
			out = append(out, refs(one)...)
		}
	}
	return out
}

// What must stand there: RO-Crate 1.2, "Root Data Entity" and "Data Entities": descriptor, name, description, datePublished and license of
// the root; every file reached from it by hasPart; every reference to something that is described.
func TestAnROCrateHasWhatTheStandardAsks(t *testing.T) {
	about, files, kept := made()
	raw, err := Metadata(about, files, kept, "0.1.0")
	if err != nil {
		t.Fatal(err)
	}
	all := graph(t, raw)
	d := all[MetadataName]
	if d == nil || !slices.Contains(refs(d["about"]), "./") || !slices.Contains(refs(d["conformsTo"]), "https://w3id.org/ro/crate/1.2") {
		t.Errorf("the descriptor is %v", d)
	}
	root := all["./"]
	for _, key := range []string{"name", "description", "datePublished", "license", "author", "hasPart"} {
		if root[key] == nil || root[key] == "" {
			t.Errorf("the root lacks %s", key)
		}
	}
	for id, e := range all {
		for key, v := range e {
			if key == "conformsTo" {
				continue
			}
			for _, to := range refs(v) {
				if all[to] == nil {
					t.Errorf("%s of %s leads to %s, which is not described", key, id, to)
				}
			}
		}
	}
	reached := map[string]bool{}
	var walk func(id string)
	walk = func(id string) {
		if !reached[id] {
			reached[id] = true
			for _, next := range refs(all[id]["hasPart"]) {
				walk(next)
			}
		}
	}
	walk("./")
	for id, e := range all {
		if e["@type"] == "File" && !reached[id] {
			t.Errorf("the file %s is no part of the crate", id)
		}
	}
	for _, id := range []string{"a%20day%27s%20run.yaml", "%C3%96fen.csv"} {
		if all[id] == nil && all[strings.ReplaceAll(id, "%27", "'")] == nil {
			t.Errorf("there is no file %s", id)
		}
	}
}

func TestAResultSaysHowItWasMade(t *testing.T) {
	about, files, kept := made()
	raw, err := Metadata(about, files, kept, "0.1.0")
	if err != nil {
		t.Fatal(err)
	}
	made := 0
	for _, e := range graph(t, raw) {
		if e["@type"] != "CreateAction" {
			continue
		}
		made++
		if e["name"] != `emberbank run "a day's run.yaml"` || len(refs(e["object"])) != 1 || !slices.Equal(refs(e["instrument"]), []string{"#emberbank-0.0.9"}) {
			t.Errorf("the action is %v", e)
		}
	}
	if made != 1 {
		t.Errorf("%d actions, of one result", made)
	}
}

func TestAPersonNamedTwiceIsOne(t *testing.T) {
	about, files, kept := made()
	about.Authors = append(about.Authors, about.Authors[0])
	raw, err := Metadata(about, files, kept, "0.1.0")
	if err != nil {
		t.Fatal(err)
	}
	graph(t, raw) // tells what is there twice
}

func TestTheSameCrateHasTheSameBytes(t *testing.T) {
	about, files, kept := made()
	a, _ := Metadata(about, files, kept, "0.1.0")
	b, _ := Metadata(about, files, kept, "0.1.0")
	if string(a) != string(b) {
		t.Error("twice the same crate, two texts")
	}
}

// Citation File Format 1.2.0: cff-version, message, title and authors are required; a person has family-names, an entity a name.
func TestACitationReadsBackAsItWasMeant(t *testing.T) {
	about, _, _ := made()
	var c struct {
		Version  string              `yaml:"cff-version"`
		Message  string              `yaml:"message"`
		Title    string              `yaml:"title"`
		Abstract string              `yaml:"abstract"`
		Released string              `yaml:"date-released"`
		License  string              `yaml:"license"`
		Authors  []map[string]string `yaml:"authors"`
	}
	if err := yaml.Unmarshal(Citation(about, "0.1.0"), &c); err != nil {
		t.Fatal(err)
	}
	if c.Version != "1.2.0" || c.Message == "" || c.Title != about.Name || c.Abstract != about.Says || c.Released != about.Date || c.License != about.Licence {
		t.Errorf("read back: %+v", c)
	}
	if len(c.Authors) != 2 || c.Authors[0]["family-names"] != "Glut" || c.Authors[0]["orcid"] != "https://orcid.org/0000-0002-1825-0097" || c.Authors[1]["name"] != "the bakery's makers" {
		t.Errorf("authors read back: %v", c.Authors)
	}
}

func TestACitationHoldsWhateverIsWritten(t *testing.T) {
	for _, text := range []string{"\x7f", "\u0080\u009f", "\u0085 next", "\ufeff", "\ufffe\uffff", "\u2028", "\"", "\\u0041", "# no: comment", "Öfen 🔥"} {
		var c struct {
			Title string `yaml:"title"`
		}
		if err := yaml.Unmarshal(Citation(About{Name: text}, "0.1.0"), &c); err != nil || c.Title != text {
			t.Errorf("%q reads back as %q (%v)", text, c.Title, err)
		}
	}
}

func TestWhatACrateLacksIsNamed(t *testing.T) {
	about := About{Name: "a bench", Date: "2026-11-28"}
	if got := about.Lacks(); !slices.Equal(got, []string{"question", "licence", "authors"}) {
		t.Errorf("lacking: %v", got)
	}
}
