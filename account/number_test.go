package account

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"testing"

	"github.com/parquet-go/parquet-go"
	"pgregory.net/rapid"

	"emberbank/history"
)

// byTenDigits is what decimal shall print, by way of the number that ten digits give.
func byTenDigits(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	switch a := math.Abs(v); {
	case v == 0:
		return "0"
	case a >= 1e-5 && a < 1e15:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

func TestDecimalIsTheShortestOfTenDigits(t *testing.T) {
	check := func(v float64) {
		if a := math.Abs(v); a > 0 && a < 2.3e-308 || a > 1.79e308 && !math.IsInf(v, 0) {
			return // too few digits are left, or ten digits lie beyond
		}
		if got, want := decimal(v), byTenDigits(v); got != want {
			t.Errorf("%v is printed %q, want %q", v, got, want)
		}
	}
	for _, v := range []float64{
		0, math.Copysign(0, -1), 1, -1, 10, 0.1, 1e-5, 9.9999999999e-6, 9.99999999999e-6, 1e-6, 1e15, 999999999999999, 1e20, 1e21, 1e22,
		99999999999.5, 1234567890.5, 12345678905, 1.5e308, 2.5e-308, math.NaN(), math.Inf(1), 2.5e-9, 1e100, 1e-300,
	} {
		check(v)
		check(-v)
	}
	rapid.Check(t, func(q *rapid.T) {
		check(rapid.Float64().Draw(q, "any"))
		check(rapid.Float64Range(-1e6, 1e6).Draw(q, "usual"))
		check(float64(rapid.IntRange(-1e7, 1e7).Draw(q, "n")) * math.Pow10(rapid.IntRange(-15, 15).Draw(q, "power")))
	})
}

func TestCellsReadBackAsTheyWere(t *testing.T) {
	rapid.Check(t, func(q *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[a-c ,"\t\n]{0,6}`), 2, 5).Draw(q, "words")
		var b bytes.Buffer
		table := newTable(&b)
		for _, w := range words {
			table.text(w)
		}
		table.end()
		if err := table.flush(); err != nil {
			q.Fatal(err)
		}
		rows, err := csv.NewReader(&b).ReadAll()
		if err != nil || len(rows) != 1 || len(rows[0]) != len(words) {
			q.Fatalf("%q reads back as %q (%v)", words, rows, err)
		}
		for i := range words {
			if rows[0][i] != words[i] {
				q.Fatalf("%q reads back as %q", words[i], rows[0][i])
			}
		}
	})
}

// More rows than a page holds, and absent values in every pattern, read back by another's library.
func TestParquetOfManyPagesReadsBack(t *testing.T) {
	const n = 1<<16 + 17
	h := history.History{Columns: []history.Column{
		{Name: "full", Quantity: history.Heat}, {Name: "holes", Quantity: history.Temperature}, {Name: "none", Quantity: history.Fraction},
	}}
	for i := range n {
		h.Time = append(h.Time, float64(i))
		hole := 300 + float64(i)
		if i%7 == 3 || i%1000 < 50 {
			hole = math.NaN()
		}
		for c, v := range []float64{float64(i) * 1.5, hole, math.NaN()} {
			h.Columns[c].Values = append(h.Columns[c].Values, v)
		}
	}
	var b bytes.Buffer
	if err := WriteParquet(&b, &h); err != nil {
		t.Fatal(err)
	}
	r := parquet.NewReader(bytes.NewReader(b.Bytes()))
	if got := r.NumRows(); got != int64(n) {
		t.Fatalf("%d rows, want %d", got, n)
	}
	rows := make([]parquet.Row, 100)
	at := 0
	for at < n {
		got, err := r.ReadRows(rows)
		if got == 0 {
			t.Fatalf("after %d rows: %v", at, err)
		}
		for _, row := range rows[:got] {
			if row[0].Double() != h.Time[at] {
				t.Fatalf("row %d has time %v", at, row[0])
			}
			for c := range h.Columns {
				v := shown(h.Columns[c].Quantity, h.Columns[c].Values[at])
				if cell := row[c+1]; math.IsNaN(v) != cell.IsNull() || !cell.IsNull() && cell.Double() != v {
					t.Fatalf("row %d of %s reads %v, want %v", at, h.Columns[c].Name, cell, v)
				}
			}
			at++
		}
	}
}
