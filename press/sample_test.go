package press_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"emberbank/internal/testkit"
	"emberbank/paper"
	"emberbank/press"
)

func said(s string) paper.Text { return paper.Text{{Text: s}} }

// symbols is a formula in short: letters are symbols, what follows _ is an index, all else stands as it is.
func symbols(s string) paper.Text {
	var t paper.Text
	below := false
	for _, r := range s {
		style := paper.Plain
		switch {
		case r == '_':
			below = true
			continue
		case below && (r >= '0' && r <= '9' || r >= 'a' && r <= 'z'):
			style = paper.Below
		case r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= 'α' && r <= 'ω':
			style = paper.Symbol
		}
		below = below && style == paper.Below
		t = append(t, paper.Span{Text: string(r), Style: style})
	}
	return t
}

// sample is a report such as a bench gives, with made-up numbers.
func sample(t testing.TB) *paper.Document {
	trial := [][]paper.Text{}
	for i := range 46 {
		trial = append(trial, []paper.Text{
			said(fmt.Sprintf("12:%02d", i)), said("drain, melt left; the water boils in the lower passes and leaves as wet steam"), said(fmt.Sprintf("%d.%02d ± 0.02", i/20, i*7%100)), said("1\u2009551"), said("+0.9"), said("−1.6"),
		})
	}
	long := "Water was let in at 12:00, when the block stood at 249\u2009°C. For the next 36 minutes the tin froze from the lower passes upwards and the heat flow rate stayed at 1\u2009551\u2009±\u200934\u2009W. Over the drain the water took 1.46\u2009±\u20090.03\u2009kWh; the model, matched to trials 1 and 2, had said 1.51. The difference is larger than their joint uncertainty once the block is frozen, and the next chapter says why this is laid to the contact. "
	d := &paper.Document{
		Title: "A block of tin in aluminium for a bakery", Subtitle: "What it stores, what it gives, and how far to believe it", Contents: true, Bench: "../..",
		Facts: []paper.Fact{
			{Name: "bench", Says: said("bakery, invented")},
			{Name: "receiver", Says: said("Tin in aluminium, six passes")},
			{Name: "duty", Says: said("Charge, hold, drain")},
			{Name: "version", Says: said("0.9")},
			{Name: "inputs", Says: said("7f3a\u200909c2")},
			{Name: "trust", Says: said("118 to 246\u2009°C")},
		},
	}
	d.Chapters = []paper.Chapter{
		{Key: "question", Title: "What was asked?", Blocks: []paper.Block{
			paper.Paragraph{Says: paper.Text{
				{Text: "Can a block of "},
				{Text: "58.3\u2009kg", Origin: "results/day/summary.json /mass_kg"},
				{Text: ", charged under a dish by day, bake for half an hour after dark? It can: "},
				{To: "#day"},
				{Text: " shows the day, "},
				{To: "#heat"},
				{Text: " the heat by phase, and "},
				{To: "#stored"},
				{Text: " how it is reckoned."},
			}},
			paper.Paragraph{Says: said(long)},
			paper.List{Items: []paper.Text{said("The block gives 1\u2009551\u2009±\u200934\u2009W at noon, within 1\u2009% of what was computed."), said("Thicker wool still pays at 140\u2009mm; beyond that the study says nothing."), said(long)}},
			paper.List{Ordered: true, Items: []paper.Text{said("draw"), said("predict"), said("try")}},
		}},
		{Key: "drawn", Title: "What was drawn?", Blocks: []paper.Block{
			paper.Figure{Key: "section", Says: said("The block cut along its width at 14:00, with temperatures in °C. Teeth mark the melting front, solid side."), SVG: testkit.Picture(t, "section-width.svg"), Origin: "results/day/summary.json"},
			paper.Paragraph{Says: said(long + long)},
			paper.Equation{Key: "stored", Says: append(symbols("Q_s = m (h(T) − h(T_0))"), paper.Span{Text: "  with  "}, paper.Span{Text: "ρ ∂h/∂t = ∇·(λ∇T) + q", Style: paper.Symbol}), Where: []paper.Text{
				append(symbols("m"), paper.Span{Text: "\u2003mass, kg"}), append(symbols("h"), paper.Span{Text: "\u2003specific enthalpy, J/kg"}),
			}, Source: "definition"},
			paper.Caution{Word: "flashes", Says: said("Water met a block 144\u2009K above its boiling point: it flashes to steam and hammers. Open slowly, stand aside, and pipe the outlet away. Local codes and licensed practice decide."), Source: "safety sheet, item 3"},
		}, Chapters: []paper.Chapter{
			{Title: "Parts and what they weigh", Blocks: []paper.Block{paper.Table{
				Title:   said("Parts and what they weigh."),
				Columns: []paper.Column{{Name: "part"}, {Name: "material"}, {Name: "mass", Unit: "kg", Numbers: true}},
				Rows:    [][]paper.Text{{said("block"), said("tin in aluminium"), said("58.3")}, {said("wool"), said("mineral wool, 80\u2009kg/m³"), said("4.1")}, {said("jacket"), said("steel"), said("6.0")}},
				Notes:   []paper.Text{said("Bores are left out.")},
			}}},
			{Title: "A circuit from inlet to outlet", Blocks: []paper.Block{paper.Figure{Says: said("One circuit."), SVG: testkit.Picture(t, "circuit.svg")}, paper.Paragraph{Says: said(long)}}},
		}},
		{Key: "did", Title: "What did it do?", Apart: true, Blocks: []paper.Block{
			paper.Paragraph{Says: said(long)},
			paper.Table{
				Key: "heat", Title: said("Heat to the water by phase, trial 3 and run 41."), Origin: "results/trial-3/balance.json",
				Columns: []paper.Column{{Name: "from"}, {Name: "phase", Share: 0.4}, {Name: "measured", Unit: "kWh", Numbers: true}, {Name: "flow", Unit: "W", Numbers: true}, {Name: "E", Unit: "%", Numbers: true}, {Name: "least", Unit: "%", Numbers: true}},
				Rows:    trial,
			},
			paper.List{Checked: true, Items: []paper.Text{said("Water runs before the cover opens."), said("Nobody stands before the window."), said("Каждый — ∇T, 你好, ρ ≤ 3 ½, Ω")}},
		}},
	}
	names, err := filepath.Glob(filepath.Join("..", "figure", "testdata", "*.svg"))
	if err != nil || len(names) < 10 {
		t.Fatal("the pictures of room figure are not where they were", err)
	}
	all := paper.Chapter{Title: "Every picture"}
	for i, n := range names {
		f := paper.Figure{Says: said("The picture " + filepath.Base(n) + "."), SVG: testkit.Picture(t, filepath.Base(n))}
		if filepath.Base(n) == "history.svg" {
			f.Key = "day"
		}
		all.Blocks = append(all.Blocks, f)
		if i%3 == 0 {
			all.Blocks = append(all.Blocks, paper.Paragraph{Says: said(long)})
		}
	}
	d.Chapters = append(d.Chapters, all)
	return d
}

// trialSheet is what lies on the table at the rig, with made-up numbers.
func trialSheet(t testing.TB) *paper.Document {
	var rows [][]paper.Text
	for i := range 6 {
		place := []string{"front, 5\u2009mm under the face", "top of the block", "insulation, half way", "water in", "water out"}[i%5]
		rows = append(rows, []paper.Text{said(fmt.Sprint(i + 1)), said(place), said(fmt.Sprintf("TC%d_C", i+1)), said("thermocouple, type K, class 1"), said("± 1.5"), said("0.5")})
	}
	chapter := func(title string, blocks ...paper.Block) paper.Chapter {
		return paper.Chapter{Title: title, Blocks: blocks}
	}
	return &paper.Document{
		Title: "Trial sheet: lamp, slow", Subtitle: "What to watch, when to stop, what to write down", Close: true,
		Facts: []paper.Fact{{Name: "bench", Says: said("bakery, invented")}, {Name: "trial", Says: said("lamp-slow, 3\u2009h")}, {Name: "flow", Says: said("2.0\u2009kg/h from 12:00")}, {Name: "date, who"}},
		Chapters: []paper.Chapter{
			chapter("Sensors", paper.Table{
				Title:   said("Where they sit and what the logger calls them."),
				Columns: []paper.Column{{Name: "no.", Numbers: true}, {Name: "place"}, {Name: "channel"}, {Name: "kind"}, {Name: "uncertainty", Unit: "K", Numbers: true}, {Name: "lag", Unit: "s", Numbers: true}},
				Rows:    rows,
			}),
			chapter("Expected", paper.Figure{Says: said("What the trial would teach, as planned."), SVG: testkit.Picture(t, "plan.svg")}),
			chapter("Stop when",
				paper.Caution{Word: "burns", Says: said("The jacket passes 60\u2009°C: keep hands off, and a guard around it. Local codes and licensed practice decide.")},
				paper.List{Checked: true, Items: []paper.Text{said("front passes 260\u2009°C: cover shut"), said("pressure passes 3\u2009bar: open the outlet, stand aside"), said("a channel goes blank: cover shut, water stays on")}}),
			chapter("Write down", paper.Table{
				Title:   said("Every ten minutes."),
				Columns: []paper.Column{{Name: "clock", Share: 0.15}, {Name: "front", Unit: "°C", Share: 0.15}, {Name: "water out", Unit: "°C", Share: 0.2}, {Name: "what was done"}},
				Rows:    [][]paper.Text{make([]paper.Text, 4), make([]paper.Text, 4), make([]paper.Text, 4), make([]paper.Text, 4)},
			}),
		},
	}
}

var into = flag.String("press.into", "", "folder for the sample as PDF and as HTML, to be looked at")

// TestTheSampleIsWholeBothWays writes the report to look at where a folder is given: go test ./press -args -press.into=FOLDER.
func TestTheSampleIsWholeBothWays(t *testing.T) {
	d := sample(t)
	var pages, page bytes.Buffer
	missing, err := press.Set(&pages, d, press.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if string(missing) != "你好" {
		t.Errorf("missing are %q", string(missing))
	}
	if err := paper.Set(&page, d); err != nil {
		t.Fatal(err)
	}
	if *into == "" {
		return
	}
	var sheet bytes.Buffer
	if _, err := press.Set(&sheet, trialSheet(t), press.Options{}); err != nil {
		t.Fatal(err)
	}
	for name, b := range map[string]*bytes.Buffer{"sample.pdf": &pages, "sample.html": &page, "sheet.pdf": &sheet} {
		if err := os.WriteFile(filepath.Join(*into, name), b.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}
