package web

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
	"testing"

	"emberbank/account"
	"emberbank/heat"
	"emberbank/material"
	"emberbank/receiver"
)

func TestEveryKindOfCautionHasItsWord(t *testing.T) {
	f, err := parser.ParseFile(token.NewFileSet(), "../heat/kinds.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	ast.Inspect(f, func(at ast.Node) bool {
		if l, ok := at.(*ast.BasicLit); ok && l.Kind == token.STRING {
			kind, _ := strconv.Unquote(l.Value)
			n++
			if _, known := signs[kind]; !known || account.DangerWord(kind) == "" {
				t.Errorf("%q has no word", kind)
			}
		}
		return true
	})
	if n < 18 {
		t.Errorf("only %d kinds are found", n)
	}
}

func TestASignStandsAtTheColumnThatShowsTheDanger(t *testing.T) {
	rec := &receiver.Receiver{
		Media:    []material.Medium{{Name: "wool"}, {Name: "tin in aluminium"}, {Name: "steel"}},
		Parts:    []receiver.Part{{Role: receiver.RoleInsulation, Medium: 0}, {Role: receiver.RoleBlock, Medium: 1}},
		Passes:   []receiver.Pass{{WallMedium: 2}, {WallMedium: -1}},
		Circuits: []receiver.Circuit{{Name: "far", Runs: []receiver.Run{{Pass: 0}}}, {Name: "near", Runs: []receiver.Run{{Pass: 1}}}},
	}
	for _, c := range []struct {
		kind   string
		places []string
		want   []string
	}{
		{heat.KindHotOutlet, []string{"circuit far", "circuit near"}, []string{"circuit far outlet", "circuit near outlet"}},
		{heat.KindFirstWater, []string{"circuit far"}, []string{"circuit far wall max"}},
		{heat.KindTubeWall, []string{"tubes of steel"}, []string{"circuit far wall max"}},
		{heat.KindShares, []string{"circuits far, near"}, []string{"circuit far quality", "circuit near quality"}},
		{heat.KindTouch, []string{"surface right"}, []string{"lost right"}},
		{heat.KindMoltenMetal, []string{"tin in aluminium"}, []string{"melted"}},
		{heat.KindServiceLimit, []string{"the pane of wool"}, []string{}}, // no column tells of the pane
		{heat.KindServiceLimit, []string{"tin in aluminium"}, []string{"block mean"}},
		{heat.KindLight, []string{"window"}, []string{"absorbed"}},
		{heat.KindMaterial, []string{"tin in aluminium"}, []string{}},
	} {
		if got := cautionOf(&account.Danger{Kind: c.kind, Places: c.places}, rec); !slices.Equal(got.Columns, c.want) {
			t.Errorf("%s at %q stands at %q, want %q", c.kind, c.places, got.Columns, c.want)
		}
	}
}

// hasEverySign holds a run of a receiver whose block melts, with the water and the surfaces that a danger may be at, to the columns at
// which signs stand: one that is called otherwise by now would have no sign.
func hasEverySign(t *testing.T, r runBody, circuit string, surfaces ...string) {
	t.Helper()
	for kind, s := range signs {
		wanted := []string{s.block, s.column}
		if s.circuit != "" {
			wanted = append(wanted, "circuit "+circuit+s.circuit)
		}
		for _, name := range surfaces {
			if s.surface != "" {
				wanted = append(wanted, s.surface+name)
			}
		}
		for _, name := range wanted {
			if name != "" && !slices.ContainsFunc(r.Columns, func(c columnBody) bool { return c.Name == name }) {
				t.Errorf("the sign of %q stands at %q, which no history has", kind, name)
			}
		}
	}
}
