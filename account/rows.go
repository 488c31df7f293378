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
// value. Units stand in the file's metadata as WriteParquet puts them there. The table is filled twice, so that none of it has to be
// held: the first time shows what its columns are.
func parquetTable(w io.Writer, name string, fill func(t *table) error) error {
	var kinds columnKinds
	t := newTable(io.Discard)
	t.kept = &kinds
	if err := fill(t); err != nil {
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
	t = newTable(io.Discard)
	rows := &parquetRows{out: out, texts: kinds.texts}
	t.kept = rows
	if err := fill(t); err != nil {
		return err
	}
	if rows.err != nil {
		return rows.err
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
	out   parquet.RowWriter
	texts []bool
	row   parquet.Row
	begun bool
	err   error // the first
}

func (r *parquetRows) add(c cell) {
	i := len(r.row)
	switch {
	case !r.begun:
	case r.texts[i] && c.isText:
		r.row = append(r.row, parquet.ByteArrayValue([]byte(c.text)).Level(0, 1, i))
	case r.texts[i] || math.IsNaN(c.number) || math.IsInf(c.number, 0):
		r.row = append(r.row, parquet.NullValue().Level(0, 0, i))
	default:
		r.row = append(r.row, parquet.DoubleValue(c.number).Level(0, 1, i))
	}
}

func (r *parquetRows) end() {
	if r.begun && r.err == nil {
		_, r.err = r.out.WriteRows([]parquet.Row{r.row})
	}
	r.begun, r.row = true, r.row[:0]
}
