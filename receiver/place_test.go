package receiver

import (
	"testing"

	"emberbank/block"
)

func TestThePlaceOfASensorIsInTheSmallestPart(t *testing.T) {
	r := Receiver{Parts: []Part{
		{Name: "wool", Role: RoleInsulation, Box: block.Box{Min: block.Point{-1, -1, -1}, Max: block.Point{2, 2, 2}}, Medium: 1},
		{Name: "block", Role: RoleBlock, Box: block.Box{Max: block.Point{1, 1, 1}}, Medium: 0},
	}}
	for at, want := range map[block.Point]int{{0.5, 0.5, 0.5}: 0, {1.5, 0.5, 0.5}: 1, {3, 0, 0}: -1} {
		if got := r.MediumAt(&at); got != want {
			t.Errorf("at %v there is medium %d, not %d", at, got, want)
		}
	}
	if got := r.MediumAt(nil); got != 0 {
		t.Errorf("nowhere in particular is medium %d, not that of the block", got)
	}
}
