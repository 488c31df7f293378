package cli

import "testing"

func TestSharesOfMissingRowsReadAsShares(t *testing.T) {
	for _, c := range []struct {
		n, of int
		want  string
	}{
		{0, 721, "0"}, {3, 721, "0.42 %"}, {22, 721, "3.1 %"}, {100, 721, "14 %"}, {700, 721, "97 %"}, {720, 721, "> 99 %"}, {721, 721, "all"},
	} {
		if got := percent(c.n, c.of); got != c.want {
			t.Errorf("%d of %d: %s, not %s", c.n, c.of, got, c.want)
		}
	}
}
