package bench

import (
	"math"
	"os"
	"testing"

	"emberbank/block"
)

// TestDimensionsSayWhereEachLengthIsWritten for the demo's receiver: the numbers are those of its file.
func TestDimensionsSayWhereEachLengthIsWritten(t *testing.T) {
	run, problems := LoadRun(os.DirFS("scenario"), "charge-hold-drain.yaml", Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	for _, c := range []struct {
		path, text string
		kind       DimensionKind
		axis       block.Axis
		from, to   float64
		shows      int // at how many places
	}{
		{"block.depth", "200 mm", DimensionBody, block.Depth, 0, 0.2, 1},
		{"block.height", "300 mm", DimensionBody, block.Height, 0, 0.3, 1},
		{"insulation.front[1].thickness", "30 mm", DimensionBody, block.Depth, -0.03, 0, 1},
		{"insulation.back[2].thickness", "50 mm", DimensionBody, block.Depth, 0.23, 0.28, 1},
		{"insulation.around[1].thickness", "30 mm", DimensionBody, block.Width, -0.03, 0, 4}, // left first, then the other sides
		{"window.height", "180 mm", DimensionWindow, block.Height, 0.06, 0.24, 1},
		{"passes[1].depth[2]", "100 mm", DimensionPlace, block.Depth, 0, 0.1, 1},
		{"passes[1].height[3]", "225 mm", DimensionPlace, block.Height, 0, 0.225, 1},
		{"tube.outer", "12 mm", DimensionOuter, block.Depth, 0, 0, 1},
		{"tube.wall", "1 mm", DimensionWall, block.Depth, 0, 0, 1},
		{"tube.contact", "400 ± 100 W/(m2 K)", DimensionContact, block.Depth, 0, 0, 1},
	} {
		shows := 0
		for _, d := range run.Dimensions {
			if d.Path != c.path {
				continue
			}
			if shows++; shows > 1 {
				continue
			}
			if d.File != "receiver.yaml" || d.Text != c.text || d.Kind != c.kind || d.Axis != c.axis || math.Abs(d.From-c.from) > 1e-9 || math.Abs(d.To-c.to) > 1e-9 || d.What == "" {
				t.Errorf("%s is told as %+v", c.path, d)
			}
		}
		if shows != c.shows {
			t.Errorf("%s shows at %d places, want %d", c.path, shows, c.shows)
		}
	}
}
