package account

import (
	"io"
	"strings"
	"testing"
)

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

func TestATableWithOneHeadingTwiceIsRefused(t *testing.T) {
	err := parquetTable(io.Discard, "table", func(t *table) error {
		t.text("variant [1]")
		t.text("variant [1]")
		t.end()
		t.number(1)
		t.number(2)
		t.end()
		return t.flush()
	})
	if err == nil || !strings.Contains(err.Error(), `"variant [1]"`) {
		t.Errorf("it ends with %v", err)
	}
}
