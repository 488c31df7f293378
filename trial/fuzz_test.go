package trial

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// FuzzAnyFileGivesARecordOrAFinding feeds any bytes as a logger's file. The seeds are the real files, whole and from
// their middles, and the made-up example.
func FuzzAnyFileGivesARecordOrAFinding(f *testing.F) {
	n := 0
	for _, pattern := range []string{"testdata/*.dat", "testdata/*.csv", "../examples/bakery-trial/*.csv"} {
		names, _ := filepath.Glob(pattern)
		for _, name := range names {
			raw, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			n++
			f.Add(raw[:min(len(raw), 6000)], byte(n))
			f.Add(raw[len(raw)/2:min(len(raw), len(raw)/2+3000)], byte(n+64))
		}
	}
	if n < 3 {
		f.Fatalf("only %d real files found", n)
	}
	for _, s := range []string{
		"t,x\n03/04/2026 09:30:00,1\n", "365 2400 1\n1 10 2\n", "\xff\xfea\x00", "a;b\n1;2\n\"", "time [s],a\n0,NaN\n1,OL\n2,-7999\n",
		"14-Mar-2026 09:30:00\t1,5\n", "2026-03-14T24:00:00Z,1e400\n",
	} {
		f.Add([]byte(s), byte(len(s)))
	}
	f.Fuzz(func(t *testing.T, data []byte, how byte) {
		src := Source{Name: "a", Layout: open, Missing: []string{"-99", "x"}}
		switch how % 6 {
		case 1:
			src.Clock = Clock{Kind: Parts, DayOfYear: Ref{Number: 2}, HourMinute: Ref{Number: 3}, FixedYear: 2026}
		case 2:
			src.Clock = Clock{Kind: Elapsed, Column: Ref{Number: 1}, Unit: 1}
		case 3:
			src.Layout.Separator = Fixed
		case 4:
			src.Clock = Clock{Kind: Parts, Year: Ref{Number: 1}, DayOfYear: Ref{Number: 2}, Hour: Ref{Number: 5}, Minute: Ref{Number: 6}}
		case 5:
			src.Clock = Clock{Column: Ref{Number: 1}, Order: DayMonthYear}
		}
		src.Channels = []Channel{channel(t, 2, "a", Body, "degC"), channel(t, 3, "circuit main flow", Flow, "l/min")}
		if how&64 != 0 {
			src.Channels = src.Channels[:1]
		}
		s := &Setup{Axis: -1, Sources: []Source{src}}
		log, found := Decode(bytes.NewReader(data), &s.Sources[0], 0, s.Repairs)
		checkFindings(t, found, log == nil)
		if log == nil {
			return
		}
		rec, found := Join(s, []*Log{log})
		checkFindings(t, found, rec == nil)
		if rec == nil {
			return
		}
		if len(rec.Columns) != len(src.Channels) || len(rec.History.Columns) != len(src.Channels) {
			t.Fatalf("%d columns of %d channels", len(rec.Columns), len(src.Channels))
		}
		for i, x := range rec.History.Time {
			if math.IsNaN(x) || math.IsInf(x, 0) || i == 0 && x != 0 || i > 0 && x <= rec.History.Time[i-1] {
				t.Fatalf("times do not rise from 0: %v", rec.History.Time)
			}
		}
		for _, c := range rec.History.Columns {
			if len(c.Values) != len(rec.History.Time) {
				t.Fatalf("%d values for %d times", len(c.Values), len(rec.History.Time))
			}
			for _, v := range c.Values {
				if math.IsInf(v, 0) {
					t.Fatal("an infinite value")
				}
			}
		}
		Suspect(rec, Known{})
		for _, x := range rec.Repairs {
			if x.Count <= 0 || x.Key == "" || x.What == "" || strings.Contains(x.What, "\n") {
				t.Fatalf("a repair without count or words: %+v", x)
			}
		}
	})
}

func checkFindings(t *testing.T, found []Finding, failed bool) {
	mistakes := 0
	for _, f := range found {
		if !f.Doubt {
			mistakes++
		}
		if f.Message == "" || strings.ContainsAny(f.Message+f.Fix, "\n\r") {
			t.Fatalf("a finding without words, or with a broken line: %+v", f)
		}
	}
	if failed != (mistakes > 0) {
		t.Fatalf("failed: %v, mistakes: %+v", failed, found)
	}
}

// FuzzMomentsAreReadBack feeds any text as a date-time.
func FuzzMomentsAreReadBack(f *testing.F) {
	for _, s := range []string{"2026-03-14 09:30:00", "14.03.2026 9:30", "3/14/26 09:30 PM", "14-Mar-2026 09:30:05.25", "09:30:05,5", "20260314T0930+0530", "2026-12-31 24:00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, o := range []DateOrder{FoundOrder, YearMonthDay, DayMonthYear, MonthDayYear} {
			m, ok := readMoment([]byte(text), o)
			if !ok {
				continue
			}
			if m.dated && !validDate(m.year, m.month, m.day) || m.seconds < 0 || m.dated && m.seconds > 86461 {
				t.Fatalf("%q is %+v", text, m)
			}
		}
	})
}
