package bench

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	yaml "go.yaml.in/yaml/v4"
)

// compiled returns a validator of our schema, by a library that knows the standard.
func compiled(t *testing.T, kind string) *jsonschema.Schema {
	t.Helper()
	text, err := Schema(kind)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("file.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("file.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// instance turns YAML into what a validator takes.
func instance(t *testing.T, text []byte) any {
	t.Helper()
	var v any
	if err := yaml.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(plain(v))
	if err != nil {
		t.Fatal(err)
	}
	out, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// plain makes every key text, as an editor's schema check does.
func plain(v any) any {
	switch v := v.(type) {
	case map[any]any:
		out := map[string]any{}
		for k, x := range v {
			out[strings.TrimSpace(toText(k))] = plain(x)
		}
		return out
	case map[string]any:
		for k, x := range v {
			v[k] = plain(x)
		}
	case []any:
		for i, x := range v {
			v[i] = plain(x)
		}
	}
	return v
}

func toText(k any) string {
	b, _ := json.Marshal(k)
	return strings.Trim(string(b), `"`)
}

func TestSchemaAcceptsFilesThatRead(t *testing.T) {
	for _, dir := range []string{"scenario", "testdata/abilities", "../examples/benchmark-b1", "../examples/benchmark-b2", "../examples/bakery-trial", "../examples/two-heaters"} {
		files, _ := filepath.Glob(dir + "/*.yaml")
		if len(files) == 0 {
			t.Fatalf("no files in %s", dir)
		}
		for _, f := range files {
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			kind, ps := Kind(os.DirFS(dir), filepath.Base(f))
			if ps.Failed() {
				t.Fatal(ps)
			}
			if err := compiled(t, kind).Validate(instance(t, text)); err != nil {
				t.Errorf("%s does not fit the schema of its kind: %v", f, err)
			}
			if err := compiled(t, "").Validate(instance(t, text)); err != nil {
				t.Errorf("%s does not fit the schema of all kinds: %v", f, err)
			}
		}
	}
}

func TestSchemaRefusesWhatIsPlainlyWrong(t *testing.T) {
	text, err := fs.ReadFile(WriteScenario(), "receiver.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for was, is := range map[string]string{
		"depth: 200 mm\n":                 "depht: 200 mm\n", // an unknown key
		"width: 300 mm\n":                 "width: 300\n",    // a number without a unit
		"along: width":                    "along: sideways", // an unknown word
		"kind: receiver":                  "kind: duty",      // another kind
		"height: 300 mm":                  "# no height",     // a missing key
		"{name: near, passes: [1, 4, 7]}": "near",            // a word where keys are needed
	} {
		broken := strings.Replace(string(text), was, is, 1)
		if broken == string(text) {
			t.Fatalf("the scenario has no %q", was)
		}
		if err := compiled(t, "receiver").Validate(instance(t, []byte(broken))); err == nil {
			t.Errorf("the schema takes %q", is)
		}
	}
}

func TestSchemaIsTheSameEachTimeAndKnowsItsKinds(t *testing.T) {
	for _, kind := range append(kinds(), "") {
		a, err := Schema(kind)
		if err != nil {
			t.Fatal(err)
		}
		b, _ := Schema(kind)
		if !bytes.Equal(a, b) {
			t.Errorf("the schema of %q differs from one time to the next", kind)
		}
	}
	if _, err := Schema("nothing"); err == nil {
		t.Error("a schema of an unknown kind is given")
	}
}
