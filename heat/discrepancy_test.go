package heat

import "testing"

func TestBlocksArePairsAndLieAlikeFromBothEnds(t *testing.T) {
	for n := 1; n <= 40; n++ {
		at := blocks(n)
		size := map[int]int{}
		for i, q := range at {
			size[q]++
			if i > 0 && q != at[i-1] && q != at[i-1]+1 {
				t.Fatalf("%d cells: blocks %v", n, at)
			}
			if q+at[n-1-i] != at[n-1] {
				t.Fatalf("%d cells: blocks %v are not alike from both ends", n, at)
			}
		}
		singles := 0
		for _, s := range size {
			if s > 2 {
				t.Fatalf("%d cells: blocks %v", n, at)
			}
			if s == 1 {
				singles++
			}
		}
		if singles > 3 || n%2 == 0 && singles > 0 {
			t.Errorf("%d cells: %d single cells in %v", n, singles, at)
		}
	}
}
