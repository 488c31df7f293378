package pages

import "testing"

func TestWhatIsTooSmallForALargePageIsNotAskedFor(t *testing.T) {
	for _, small := range [][]byte{nil, make([]byte, 10), make([]byte, 2*Large-1)} {
		if Ask(small) {
			t.Errorf("%d bytes were made of large pages", len(small))
		}
	}
}
