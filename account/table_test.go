package account

import "testing"

func TestATextThatASpreadsheetWouldComputeStandsBehindAnApostrophe(t *testing.T) {
	for _, s := range []string{"=1+1", "@SUM(1)", "+a", "-B2", "-2+3+x|'y'!A0", "+(1)", "-1*2", " =1", "\t=1", "-\u00e4"} {
		if got := harmless(s); got != "'"+s || TextOf(got) != s {
			t.Errorf("%q becomes %q, which is read as %q", s, got, TextOf(got))
		}
	}
	for _, s := range []string{"", "-", "a", "-40 mm", "+5 %", "-40.5 \u00b0C", "1 = 2", "'a", "a'=b"} {
		if got := harmless(s); got != s || TextOf(got) != s {
			t.Errorf("%q becomes %q, which is read as %q", s, got, TextOf(got))
		}
	}
}
