package dossier

import (
	"errors"
	"io"
	"math"

	"github.com/parquet-go/parquet-go"
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

// rows keeps the cells of a table with all their digits; the first row are the headings. A nil one keeps nothing.
type rows struct {
	all  [][]cell
	open bool
}

func (r *rows) add(c cell) {
	if r == nil {
		return
	}
	if !r.open {
		r.all, r.open = append(r.all, nil), true
	}
	last := &r.all[len(r.all)-1]
	*last = append(*last, c)
}

func (r *rows) end() {
	if r != nil {
		r.open = false
	}
}

// inBoth is a table as CSV and as Parquet, under name.csv and name.parquet.
func inBoth(name string, fill func(t *table) error) []document {
	return []document{
		{name + ".csv", func(w io.Writer) error { return fill(newTable(w)) }},
		{name + ".parquet", func(w io.Writer) error {
			t := newTable(io.Discard)
			kept := &rows{}
			t.kept = kept
			if err := fill(t); err != nil {
				return err
			}
			return kept.parquet(w, name)
		}},
	}
}

// parquet writes the rows with their headings: a column of texts as strings, any other as doubles, null where there is
// no value.
func (r *rows) parquet(w io.Writer, name string) error {
	if len(r.all) == 0 {
		return errors.New("a table without headings")
	}
	var headings []string
	group := parquet.Group{}
	texts := make([]bool, len(r.all[0]))
	for i, h := range r.all[0] {
		headings = append(headings, h.text)
		for _, row := range r.all[1:] {
			texts[i] = texts[i] || row[i].isText
		}
		leaf := parquet.Leaf(parquet.DoubleType)
		if texts[i] {
			leaf = parquet.String()
		}
		group[h.text] = parquet.Optional(leaf)
	}
	out := parquet.NewWriter(w, parquet.CreatedBy("emberbank", "1", ""), parquet.KeyValueMetadata("schema", "emberbank/1"),
		parquet.NewSchema(name, inOrder(group, headings)))
	for _, row := range r.all[1:] {
		made := make(parquet.Row, len(row))
		for i, c := range row {
			switch {
			case texts[i] && c.isText:
				made[i] = parquet.ByteArrayValue([]byte(c.text)).Level(0, 1, i)
			case texts[i] || math.IsNaN(c.number) || math.IsInf(c.number, 0):
				made[i] = parquet.NullValue().Level(0, 0, i)
			default:
				made[i] = parquet.DoubleValue(c.number).Level(0, 1, i)
			}
		}
		if _, err := out.WriteRows([]parquet.Row{made}); err != nil {
			return err
		}
	}
	return out.Close()
}
