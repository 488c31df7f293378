package web

import (
	"slices"
	"strings"

	"emberbank/account"
	"emberbank/heat"
	"emberbank/receiver"
)

// cautionBody is a caution and where its sign stands.
type cautionBody struct {
	Text     string   `json:"text"`
	Likewise string   `json:"likewise,omitempty" doc:"the other places with their numbers"`
	At       float64  `json:"at_s" doc:"when it first arises"`
	Word     string   `json:"word,omitempty" doc:"what it does to a hand or a number, in a word"`
	Columns  []string `json:"columns" doc:"of the history, whose numbers show the danger from then on"`
}

// signs are, by kind of caution, how the column of the number is called that shows it: after a circuit, after a surface, after the
// block, or as it is.
var signs = map[string]struct{ circuit, surface, block, column string }{
	heat.KindLight:        {column: "absorbed"},
	heat.KindFlux:         {column: "absorbed"},
	heat.KindMoltenMetal:  {block: "melted"},
	heat.KindServiceLimit: {block: "block mean"},
	heat.KindOxidation:    {block: "block mean"},
	heat.KindTouch:        {surface: "lost "},
	heat.KindWetting:      {circuit: " wall max"},
	heat.KindFirstWater:   {circuit: " wall max"},
	heat.KindClosed:       {circuit: " wall max"},
	heat.KindSaturation:   {circuit: " wall max"},
	heat.KindTubeWall:     {circuit: " wall max"},
	heat.KindFull:         {circuit: " outlet"},
	heat.KindHotOutlet:    {circuit: " outlet"},
	heat.KindSteam:        {circuit: " steam"},
	heat.KindChoke:        {circuit: " steam"},
	heat.KindBranch:       {circuit: " quality"},
	heat.KindShares:       {circuit: " quality"},
	heat.KindMaterial:     {},
}

// cautionOf finds the columns whose numbers show a danger. What no column shows, such as a pane that is too hot beside a block
// that is not, stands in its words alone.
func cautionOf(d *account.Danger, rec *receiver.Receiver) cautionBody {
	out := cautionBody{Text: d.Text, Likewise: d.Likewise, At: d.At, Word: account.DangerWord(d.Kind), Columns: []string{}}
	for _, place := range d.Places {
		out.Columns = append(out.Columns, columnsAt(d.Kind, place, rec)...)
	}
	return out
}

// columnsAt are the columns that show a kind of danger at a place.
func columnsAt(kind, place string, rec *receiver.Receiver) (columns []string) {
	s := signs[kind]
	surface, outside := strings.CutPrefix(place, "surface ")
	switch {
	case s.circuit != "" && strings.HasPrefix(place, "circuit "):
		return []string{place + s.circuit}
	case s.circuit != "":
		for i := range rec.Circuits {
			if c := &rec.Circuits[i]; concerns(place, c, rec) {
				columns = append(columns, "circuit "+c.Name+s.circuit)
			}
		}
		return columns
	case s.surface != "" && outside:
		return []string{s.surface + surface}
	case s.block != "" && isBlock(place, rec):
		return []string{s.block}
	case s.column != "":
		return []string{s.column}
	}
	return nil
}

// concerns tells whether a place that several circuits share is one of this circuit: those of a pump, or tubes of a material.
func concerns(place string, c *receiver.Circuit, rec *receiver.Receiver) bool {
	if names, several := strings.CutPrefix(place, "circuits "); several {
		return strings.Contains(", "+names+", ", ", "+c.Name+", ")
	}
	material, tubes := strings.CutPrefix(place, "tubes of ")
	return tubes && slices.ContainsFunc(c.Runs, func(r receiver.Run) bool {
		wall := rec.Passes[r.Pass].WallMedium
		return wall >= 0 && rec.Media[wall].Name == material
	})
}

// isBlock tells whether a place is the medium of the block.
func isBlock(place string, rec *receiver.Receiver) bool {
	return slices.ContainsFunc(rec.Parts, func(p receiver.Part) bool {
		return p.Role == receiver.RoleBlock && p.Medium >= 0 && p.Medium < len(rec.Media) && rec.Media[p.Medium].Name == place
	})
}
