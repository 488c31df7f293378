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
	rows := &parquetRows{out: out, texts: kinds.texts, bytes: map[string][]byte{}}
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

// parquetRows hands rows on, but for the headings, some at a time: the library does much once for every time.
type parquetRows struct {
	out   parquet.RowWriter
	texts []bool
	bytes map[string][]byte // of texts that came before: a table has few
	rows  []parquet.Row // of them n are filled and the next one is being so
	n     int
	begun bool
	err   error // the first
}

const (
	rowsAtOnce    = 64 // which is how many the library takes in one piece
	mostTextsHeld = 1024
)

func (r *parquetRows) add(c cell) {
	if !r.begun {
		return
	}
	row := &r.rows[r.n]
	i := len(*row)
	switch {
	case r.texts[i] && c.isText:
		*row = append(*row, parquet.ByteArrayValue(r.text(c.text)).Level(0, 1, i))
	case r.texts[i] || math.IsNaN(c.number) || math.IsInf(c.number, 0):
		*row = append(*row, parquet.NullValue().Level(0, 0, i))
	default:
		*row = append(*row, parquet.DoubleValue(c.number).Level(0, 1, i))
	}
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
	if !r.begun {
		r.begun, r.rows = true, make([]parquet.Row, rowsAtOnce)
		return
	}
	if r.n++; r.n == len(r.rows) {
		_ = r.flush() // kept for the last
	}
}

// flush hands on the rows that are filled; it returns the first error of all.
func (r *parquetRows) flush() error {
	if r.err == nil && r.n > 0 {
		_, r.err = r.out.WriteRows(r.rows[:r.n])
	}
	for i := range r.rows[:r.n] {
		r.rows[i] = r.rows[i][:0]
	}
	r.n = 0
	return r.err
}
