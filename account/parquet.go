package account

import (
	"io"
	"reflect"

	"github.com/parquet-go/parquet-go"

	"emberbank/history"
)

// WriteParquet writes the same table as WriteCSV in Parquet: the same headings in the same order, values with all
// their digits, an absent value as null. The unit of each column also stands in the file's metadata, under
// "unit:" and the heading.
func WriteParquet(w io.Writer, h *history.History) error {
	if err := whole(h); err != nil {
		return err
	}
	headings := []string{"time [s]"}
	options := append(parquetOptions(), unitOfColumn("time [s]", "s"))
	group := parquet.Group{"time [s]": parquet.Leaf(parquet.DoubleType)}
	for _, c := range h.Columns {
		headings = append(headings, c.Header())
		group[c.Header()] = parquet.Optional(parquet.Leaf(parquet.DoubleType))
		options = append(options, unitOfColumn(c.Header(), c.Quantity.Unit()))
	}
	options = append(options, parquet.NewSchema("history", inOrder(group, headings)))

	out := parquet.NewWriter(w, options...)
	rows := batch{out: out}
	for t := range h.Time {
		row := append(*rows.row(), parquet.DoubleValue(h.Time[t]).Level(0, 0, 0))
		for i, c := range h.Columns {
			row = append(row, orNull(shown(c.Quantity, c.Values[t]), i+1))
		}
		*rows.row() = row
		rows.next()
	}
	if err := rows.flush(); err != nil {
		return err
	}
	return out.Close()
}

// parquetOptions begin the metadata of every Parquet file.
func parquetOptions() []parquet.WriterOption {
	return []parquet.WriterOption{parquet.CreatedBy("emberbank", "1", ""), parquet.KeyValueMetadata("schema", "emberbank/1")}
}

// unitOfColumn puts the unit of a column into a file's metadata.
func unitOfColumn(heading, unit string) parquet.WriterOption {
	return parquet.KeyValueMetadata("unit:"+heading, unit)
}

// columns is a group of fields that keeps the order of the history; the library's own sorts them by name.
type columns struct {
	parquet.Group
	fields []parquet.Field
}

func inOrder(group parquet.Group, names []string) columns {
	byName := map[string]parquet.Field{}
	for _, f := range group.Fields() {
		byName[f.Name()] = f
	}
	c := columns{Group: group}
	for _, n := range names {
		c.fields = append(c.fields, byName[n])
	}
	return c
}

// Fields returns the columns in the history's order.
func (c columns) Fields() []parquet.Field { return c.fields }

// GoType says that rows are maps: no row is ever built from a struct.
func (c columns) GoType() reflect.Type { return reflect.TypeFor[map[string]float64]() }
