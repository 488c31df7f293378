package browser

import (
	"io"
	"net/http"
	"net/url"
	"os/exec"
	"strings"
	"testing"
)

// The description of the interface is held to the schema of OpenAPI 3.1 that the standard's authors publish (spec.openapis.org/oas/3.1),
// by @seriousme/openapi-schema-validator 2.11.0, which brings that schema.
func TestTheInterfaceIsDescribedAsTheStandardWantsIt(t *testing.T) {
	d := served(t)
	link, err := url.Parse(d.link)
	if err != nil {
		t.Fatal(err)
	}
	r, err := http.NewRequest(http.MethodGet, "http://"+link.Host+"/api/openapi.json", nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+link.Query().Get("key"))
	got, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer got.Body.Close()
	raw, err := io.ReadAll(got.Body)
	if err != nil || got.StatusCode != http.StatusOK {
		t.Fatalf("%d %v", got.StatusCode, err)
	}
	validated := func(document string) string {
		t.Helper()
		check := exec.Command("node", "--input-type=module", "-e", `
			import { Validator } from "@seriousme/openapi-schema-validator";
			import { readFileSync } from "node:fs";
			const v = new Validator();
			const r = await v.validate(JSON.parse(readFileSync(0, "utf8")));
			console.log(v.version, JSON.stringify(r));`)
		check.Dir = "../../page"
		check.Stdin = strings.NewReader(document)
		out, err := check.CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %.600s: build the program first: make build", err, out)
		}
		return strings.TrimSpace(string(out))
	}
	if said := validated(string(raw)); said != `3.1 {"valid":true}` {
		t.Errorf("it is not: %.1500s", said)
	}
	if said := validated(strings.Replace(string(raw), `"in":"query"`, `"in":"nowhere"`, 1)); !strings.Contains(said, `"valid":false`) {
		t.Errorf("a parameter that stands nowhere is not found: %s", said)
	}
}
