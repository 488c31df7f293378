package account

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"testing"

	"github.com/parquet-go/parquet-go"

	"emberbank/heat"
)

// manyChains are those of a run with so many output times, of nine passes.
func manyChains(times int) []heat.Chain {
	var out []heat.Chain
	for t := range times {
		for p := range 9 {
			x := math.Exp(-float64(t) / 100)
			c := heat.Chain{Time: 60 * float64(t), Pass: strconv.Itoa(p + 1), State: "flowing", Block: 300 + 400*x, Water: 290 + 10*x*float64(p+1)/9, Heat: 3000 * x * (1 + float64(p)/7)}
			for l, name := range []string{"block", "spreading", "contact", "tube wall", "film", "water heating up", "boiling point"} {
				gain := 0.01 * x * float64(l)
				if l == 0 || t%5 > 0 {
					gain = math.NaN()
				}
				c.Links = append(c.Links, heat.Link{Name: name, Resistance: 0.01 * float64(l+1) / (1 + x), Share: x / float64(l+2), Gain: gain})
			}
			if t%3 == 1 {
				c.State, c.Heat = "drained", math.Inf(1)
				c.Links = c.Links[:p%3]
			}
			out = append(out, c)
		}
	}
	return out
}

// Both forms of the table of chains hold the same rows, over many pages of the one; the reader of the other is the library's.
func TestChainsAreTheSameInBothForms(t *testing.T) {
	for _, times := range []int{0, 1, 400} {
		chains := manyChains(times)
		var plain, b bytes.Buffer
		if err := chainTable(&plain, chains); err != nil {
			t.Fatal(err)
		}
		if err := chainParquet(&b, chains); err != nil {
			t.Fatal(err)
		}
		lines, err := csv.NewReader(&plain).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		f, err := parquet.OpenFile(bytes.NewReader(b.Bytes()), int64(b.Len()))
		if err != nil {
			t.Fatal(err)
		}
		for i, field := range f.Schema().Fields() {
			if field.Name() != lines[0][i] {
				t.Errorf("column %d is headed %q, and %q in CSV", i, field.Name(), lines[0][i])
			}
		}
		if u, _ := f.Lookup("unit:resistance [K/W]"); u != "K/W" {
			t.Errorf("the unit of resistances is %q", u)
		}
		if f.NumRows() != int64(len(lines)-1) {
			t.Fatalf("%d rows, and %d in CSV", f.NumRows(), len(lines)-1)
		}
		r := parquet.NewReader(f)
		row := make([]parquet.Row, 1)
		for i, line := range lines[1:] {
			if n, err := r.ReadRows(row); n != 1 {
				t.Fatalf("after %d rows: %v", i, err)
			}
			for k, want := range line {
				got := ""
				switch v := row[0][k]; {
				case v.IsNull():
				case v.Kind() == parquet.Double:
					got = decimal(v.Double())
				default:
					got = v.String()
				}
				if got != want {
					t.Fatalf("row %d, %s: %q, and %q in CSV", i, lines[0][k], got, want)
				}
			}
		}
	}
}

// A link that resists nothing in any row of its pass has no rows, one that does in some row has all; nothing else changes.
func TestLinksThatNeverResistHaveNoRows(t *testing.T) {
	chains := manyChains(6)
	for i := range chains {
		for j := range chains[i].Links {
			l := &chains[i].Links[j]
			switch {
			case l.Name == "contact" && chains[i].Pass != "3", l.Name == "boiling point" && i < len(chains)-1:
				l.Resistance, l.Share, l.Gain = 0, 0, math.NaN()
			case l.Name == "film": // resists nothing, but more of it would help
				l.Resistance, l.Share = 0, 0
			}
		}
	}
	told := resisting(chains)
	if len(told) != len(chains) {
		t.Fatalf("%d chains of %d", len(told), len(chains))
	}
	for i, c := range told {
		var want []heat.Link
		for _, l := range chains[i].Links {
			if l.Name == "contact" && c.Pass != "3" || l.Name == "boiling point" && c.Pass != "9" {
				continue
			}
			want = append(want, l)
		}
		if got := fmt.Sprint(c.Links); got != fmt.Sprint(want) {
			t.Fatalf("pass %s at %g s has %s, wanted %v", c.Pass, c.Time, got, want)
		}
		c.Links = chains[i].Links
		if fmt.Sprint(c) != fmt.Sprint(chains[i]) {
			t.Errorf("chain %d is %v, it was %v", i, c, chains[i])
		}
	}
}

func BenchmarkChains(b *testing.B) {
	chains := manyChains(361)
	for name, write := range map[string]func(io.Writer, []heat.Chain) error{"csv": chainTable, "parquet": chainParquet} {
		b.Run(fmt.Sprintf("form=%s", name), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := write(io.Discard, chains); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
