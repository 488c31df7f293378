package account

import (
	"io"
	"math"
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
	columns := []parquetColumn{{"time [s]", "s", parquet.Leaf(parquet.DoubleType), func(to *columnValues) {
		for _, t := range h.Time {
			to.add(parquet.DoubleValue(t), 1)
		}
	}}}
	for _, c := range h.Columns {
		columns = append(columns, parquetColumn{c.Header(), c.Quantity.Unit(), parquet.Optional(parquet.Leaf(parquet.DoubleType)), func(to *columnValues) {
			for _, v := range c.Values {
				to.add(orNull(shown(c.Quantity, v)), 1)
			}
		}})
	}
	return writeColumns(w, "history", columns)
}

// parquetColumn is a column of a table that is written column by column: the library takes that sooner than rows.
type parquetColumn struct {
	heading, unit string // unit: "" for none
	node          parquet.Node
	fill          func(to *columnValues) // from the first row to the last
}

// writeColumns writes a table of columns that are equally long.
func writeColumns(w io.Writer, name string, columns []parquetColumn) error {
	options := parquetOptions()
	group := parquet.Group{}
	var headings []string
	for _, c := range columns {
		headings = append(headings, c.heading)
		group[c.heading] = c.node
		if c.unit != "" {
			options = append(options, unitOfColumn(c.heading, c.unit))
		}
	}
	out := parquet.NewWriter(w, append(options, parquet.NewSchema(name, inOrder(group, headings)))...)
	var to columnValues
	for i, one := range out.ColumnWriters() {
		to.out = one
		columns[i].fill(&to)
		if err := to.end(); err != nil {
			return err
		}
	}
	return out.Close()
}

// columnValues hands the values of a column on, many at a time.
type columnValues struct {
	out      *parquet.ColumnWriter
	gathered []parquet.Value
	err      error // the first
}

const valuesAtOnce = 256

// add puts a value into so many rows.
func (c *columnValues) add(v parquet.Value, rows int) {
	for range rows {
		if len(c.gathered) == valuesAtOnce {
			c.handOn()
		}
		c.gathered = append(c.gathered, v)
	}
}

func (c *columnValues) handOn() {
	if c.err == nil && len(c.gathered) > 0 {
		_, c.err = c.out.WriteRowValues(c.gathered)
	}
	c.gathered = c.gathered[:0]
}

// end ends the column; its last page need not wait for those of the others.
func (c *columnValues) end() error {
	c.handOn()
	if c.err == nil {
		c.err = c.out.Close()
	}
	return c.err
}

// orNull is a number in a column that may lack some, null where there is none.
func orNull(v float64) parquet.Value {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return parquet.NullValue()
	}
	return parquet.DoubleValue(v).Level(0, 1, 0)
}

// parquetPage is how many bytes of a column are gathered before they become a page: more would be memory that is taken only to be
// left again.
const parquetPage = 16 << 10

// parquetOptions begin the metadata of every Parquet file. What a page's values lie between stands in the index of pages alone, not
// before each page too.
func parquetOptions() []parquet.WriterOption {
	return []parquet.WriterOption{
		parquet.CreatedBy("emberbank", "1", ""), parquet.KeyValueMetadata("schema", "emberbank/1"),
		parquet.PageBufferSize(parquetPage), parquet.DataPageStatistics(false),
	}
}

// repeated is a leaf whose values are often those of rows before: each is kept once, and rows say which it is. Older readers know no
// other form that is as short.
func repeated(leaf parquet.Node) parquet.Node { return parquet.Encoded(leaf, &parquet.RLEDictionary) }

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
