package paper_test

import (
	"testing"

	"emberbank/internal/testkit"
	"emberbank/paper"
)

func said(s string) paper.Text { return paper.Text{{Text: s}} }

// sample is a document with one of everything. Its numbers are made up.
func sample(t testing.TB) *paper.Document {
	return &paper.Document{
		Title: "A block of tin in aluminium for a bakery", Subtitle: "What it stores, what it gives, and how far to believe it", Contents: true, Bench: "../..",
		Facts: []paper.Fact{{Name: "bench", Says: said("bakery, invented")}, {Name: "receiver", Says: said("Tin in aluminium, six passes")}, {Name: "inputs", Says: said("7f3a 09c2")}},
		Chapters: []paper.Chapter{
			{Key: "drawn", Title: "What was drawn?", Blocks: []paper.Block{
				paper.Paragraph{Says: paper.Text{
					{Text: "The block weighs "},
					{Text: "58.3\u2009kg", Origin: "results/day/summary.json /mass_kg"},
					{Text: " and stands in wool, as "},
					{To: "#section"},
					{Text: " shows. It holds "},
					{Text: "Q", Style: paper.Symbol},
					{Text: "s", Style: paper.Below},
					{Text: " by "},
					{To: "#stored"},
					{Text: "."},
				}},
				paper.Figure{Key: "section", Says: said("The block cut along its width at 14:00, temperatures in °C."), SVG: testkit.Picture(t, "section-width.svg"), Origin: "results/day/summary.json"},
				&paper.Equation{Key: "stored", Says: paper.Text{
					{Text: "Q", Style: paper.Symbol},
					{Text: "s", Style: paper.Below},
					{Text: " = "},
					{Text: "m", Style: paper.Symbol},
					{Text: " ("},
					{Text: "h", Style: paper.Symbol},
					{Text: "("},
					{Text: "T", Style: paper.Symbol},
					{Text: ") − "},
					{Text: "h", Style: paper.Symbol},
					{Text: "("},
					{Text: "T", Style: paper.Symbol},
					{Text: "0", Style: paper.Below},
					{Text: "))"},
				}, Where: []paper.Text{
					{{Text: "m", Style: paper.Symbol}, {Text: "  mass, kg"}},
					{{Text: "h", Style: paper.Symbol}, {Text: "  specific enthalpy, J/kg"}},
				}, Source: "definition"},
			}, Chapters: []paper.Chapter{{Title: "Parts", Blocks: []paper.Block{paper.Table{
				Key: "parts", Title: said("Parts and what they weigh."), Columns: []paper.Column{{Name: "part", Share: 0.4}, {Name: "mass", Unit: "kg", Numbers: true}},
				Rows: [][]paper.Text{{said("block"), said("58.3")}, {said("wool"), said("4.1")}}, Notes: []paper.Text{said("Bores are left out.")},
			}}}}},
			{Key: "will", Title: "What will it do?", Apart: true, Blocks: []paper.Block{
				paper.Caution{Word: "burns", Says: said("The jacket reaches 71 °C at the window's frame. Local codes and licensed practice decide."), Source: "ISO 13732-1"},
				paper.List{Checked: true, Items: []paper.Text{said("water runs before the cover opens"), said("nobody stands before the window")}},
				paper.Figure{Says: said("The day."), SVG: testkit.Picture(t, "history.svg")},
			}},
		},
	}
}
