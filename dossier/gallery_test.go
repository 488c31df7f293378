package dossier

import (
	"bytes"
	"strings"
	"testing"
	"testing/fstest"

	"emberbank/account"
	"emberbank/block"
	"emberbank/heat"
)

// TestAFieldOfAnotherReceiverIsTold: files of results may come from anywhere, and a picture is drawn over the cells and parts of all of
// them.
func TestAFieldOfAnotherReceiverIsTold(t *testing.T) {
	root := benchOf("3 bar", "")
	put(t, root, "results/run", "summary.json", `{"kind":"summary","title":"made day"}`)
	for _, one := range []struct {
		moment string
		depth  []float64 // edges of its cells, m
		part   int16
	}{{"0", []float64{0, 1}, 0}, {"60", []float64{0, 1, 2}, 0}, {"120", []float64{0, 1}, 999}} {
		n := len(one.depth) - 1
		part := make([]int16, n)
		part[0] = one.part
		var b bytes.Buffer
		if err := account.WriteField(&b, &block.Grid{Lines: [3][]float64{one.depth, {0, 1}, {0, 1}}}, part, heat.Field{Temperature: make([]float64, n), Melted: make([]float64, n)}); err != nil {
			t.Fatal(err)
		}
		root["results/run/fields/field-"+one.moment+".vtr"] = &fstest.MapFile{Data: b.Bytes()}
	}
	g := gathered(t, root)
	r, run := g.Find("run"), &heat.Result{}
	if _, err := g.Field(r, run, "0"); err != nil {
		t.Fatal(err)
	}
	for moment, want := range map[string]string{"60": "2 cells, the field before it 1", "120": "a part 999"} {
		if _, err := g.Field(r, run, moment); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("the field at %s s: %v", moment, err)
		}
	}
}
