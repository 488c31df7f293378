package account

import (
	"errors"
	"fmt"
	"io"

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
			leaf = repeated(parquet.String())
		} else if _, u := unit.ParseHeading(h); u != "" {
			options = append(options, unitOfColumn(h, u))
		}
		group[h] = parquet.Optional(leaf)
	}
	out := parquet.NewWriter(w, append(options, parquet.NewSchema(name, inOrder(group, kinds.headings)))...)
	rows := &parquetRows{texts: kinds.texts, words: wordBytes{}}
	for _, c := range out.ColumnWriters() {
		rows.columns = append(rows.columns, columnValues{out: c})
	}
	if err := fill(keptIn(rows)); err != nil {
		return err
	}
	for i := range rows.columns {
		if err := rows.columns[i].end(); err != nil {
			return err
		}
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

// parquetRows puts the cells of rows into their columns, but for the headings.
type parquetRows struct {
	columns []columnValues
	texts   []bool
	words   wordBytes
	at      int // the next cell's column
	begun   bool
}

func (r *parquetRows) add(c cell) {
	if !r.begun {
		return
	}
	to := &r.columns[r.at]
	switch {
	case !r.texts[r.at]:
		to.add(orNull(c.number), 1)
	case c.isText:
		to.add(r.words.value(c.text).Level(0, 1, 0), 1)
	default:
		to.add(parquet.NullValue(), 1)
	}
	r.at++
}

func (r *parquetRows) end() { r.at, r.begun = 0, true }

// wordBytes are texts as the library takes them, of those that came before: a table has few.
type wordBytes map[string][]byte

const mostTextsHeld = 1024

// value is a text in a column that lacks none.
func (w wordBytes) value(s string) parquet.Value {
	b, known := w[s]
	if !known {
		b = []byte(s)
		if len(w) < mostTextsHeld {
			w[s] = b
		}
	}
	return parquet.ByteArrayValue(b)
}
