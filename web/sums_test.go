package web

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

func TestAFileIsHashedAgainOnlyWhenItHasChanged(t *testing.T) {
	folder, root := copied(t)
	d := &Desk{root: root}
	at := filepath.Join(folder, "large.csv")
	write := func(text string, when time.Time) {
		t.Helper()
		if err := os.WriteFile(at, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(at, when, when); err != nil {
			t.Fatal(err)
		}
	}
	long := time.Now().Add(-time.Hour)
	write("1,2\n", long)
	first := d.sumOf("large.csv")
	write("3,4\n", long) // as large and as old: only who reads it sees a difference
	if again := d.sumOf("large.csv"); first == "" || again != first {
		t.Errorf("it was read again: %s, then %s", first, again)
	}
	write("3,4\n", long.Add(time.Second))
	second := d.sumOf("large.csv")
	if second == first {
		t.Error("its change is not seen")
	}
	write("5,6\n", time.Now())
	third := d.sumOf("large.csv")
	write("7,8\n", time.Now())
	if third == second || d.sumOf("large.csv") == third {
		t.Error("of two writes that follow closely the second is not seen")
	}
	if sum := d.sumOf("gone.csv"); sum != "" {
		t.Errorf("what is not there has the sum %s", sum)
	}
}
