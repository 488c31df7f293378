package account

import (
	"errors"
	"fmt"
	"io"
	"math"

	"github.com/parquet-go/parquet-go"

	"emberbank/unit"
)

// cell is a text or a number of a table.
type cell struct {
	text   string
	number float64
	isText bool
}

// cells takes a table's cells one by one.
type cells interface {
	add(c cell)
	end() // of a row
}

// inBoth is a table as CSV and as Parquet, under name.csv and name.parquet.
func inBoth(name string, fill func(t *table) error) []document {
	return []document{
		{name + ".csv", func(w io.Writer) error { return fill(newTable(w)) }},
		{name + ".parquet", func(w io.Writer) error { return parquetTable(w, name, fill) }},
	}
}

// parquetTable writes a table with all its digits: a column of texts as strings, any other as doubles, null where there is no
// value. Units stand in the file's metadata as WriteParquet puts them there. The table is filled twice, so that hardly any of it has
// to be held: the first time shows what its columns are.
func parquetTable(w io.Writer, name string, fill func(t *table) error) error {
	var kinds columnKinds
	if err := fill(keptIn(&kinds)); err != nil {
		return err
	}
	if kinds.rows == 0 {
		return errors.New("a table without headings")
	}
	options := parquetOptions()
	group := parquet.Group{}
	for i, h := range kinds.headings {
		if group[h] != nil {
			return fmt.Errorf("two columns are headed %q", h)
		}
		leaf := parquet.Leaf(parquet.DoubleType)
		if kinds.texts[i] {
			leaf = parquet.Encoded(parquet.String(), &parquet.RLEDictionary) // older readers know no other that is as short
		} else if _, u := unit.ParseHeading(h); u != "" {
			options = append(options, unitOfColumn(h, u))
		}
		group[h] = parquet.Optional(leaf)
	}
	out := parquet.NewWriter(w, append(options, parquet.NewSchema(name, inOrder(group, kinds.headings)))...)
	rows := &parquetRows{batch: batch{out: out}, texts: kinds.texts, bytes: map[string][]byte{}}
	if err := fill(keptIn(rows)); err != nil {
		return err
	}
	if err := rows.flush(); err != nil {
		return err
	}
	return out.Close()
}

// columnKinds takes the headings, which are the first row, and which columns hold texts.
type columnKinds struct {
	headings []string
	texts    []bool
	rows, at int
}

func (k *columnKinds) add(c cell) {
	if k.rows == 0 {
		k.headings, k.texts = append(k.headings, c.text), append(k.texts, false)
		return
	}
	k.texts[k.at] = k.texts[k.at] || c.isText
	k.at++
}

func (k *columnKinds) end() { k.rows, k.at = k.rows+1, 0 }

// parquetRows hands rows on, but for the headings.
type parquetRows struct {
	batch
	texts []bool
	bytes map[string][]byte // of texts that came before: a table has few
	begun bool
}

const mostTextsHeld = 1024

func (r *parquetRows) add(c cell) {
	if !r.begun {
		return
	}
	row := r.row()
	i := len(*row)
	switch {
	case r.texts[i] && c.isText:
		*row = append(*row, parquet.ByteArrayValue(r.text(c.text)).Level(0, 1, i))
	case r.texts[i]:
		*row = append(*row, parquet.NullValue().Level(0, 0, i))
	default:
		*row = append(*row, orNull(c.number, i))
	}
}

// orNull is a number in the column i, null where there is none.
func orNull(v float64, i int) parquet.Value {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return parquet.NullValue().Level(0, 0, i)
	}
	return parquet.DoubleValue(v).Level(0, 1, i)
}

// text is a text as the library takes it.
func (r *parquetRows) text(s string) []byte {
	b, known := r.bytes[s]
	if !known {
		b = []byte(s)
		if len(r.bytes) < mostTextsHeld {
			r.bytes[s] = b
		}
	}
	return b
}

func (r *parquetRows) end() {
	if r.begun {
		r.next()
	}
	r.begun = true
}

// batch hands rows on some at a time: the library does much once for every time.
type batch struct {
	out  parquet.RowWriter
	rows [rowsAtOnce]parquet.Row // of them n are filled
	n    int
	err  error // the first
}

const rowsAtOnce = 64 // which is how many the library takes in one piece

// row is the row in hand.
func (b *batch) row() *parquet.Row { return &b.rows[b.n] }

// next ends the row in hand.
func (b *batch) next() {
	if b.n++; b.n == len(b.rows) {
		_ = b.flush() // kept for the last
	}
}

// flush hands on the rows that are filled; it returns the first error of all.
func (b *batch) flush() error {
	if b.err == nil && b.n > 0 {
		_, b.err = b.out.WriteRows(b.rows[:b.n])
	}
	for i := range b.rows[:b.n] {
		b.rows[i] = b.rows[i][:0]
	}
	b.n = 0
	return b.err
}
