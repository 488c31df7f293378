package dossier

import (
	"encoding/binary"
	"io"
	"math"

	"emberbank/history"
)

// WriteParquet writes the same table as WriteCSV in Parquet: the same headings in the same order, values with all
// their digits, an absent value as null. The unit of each column also stands in the file's metadata, under
// "unit:" and the heading.
//
// The file is one group of rows, each column in pages of plain doubles without compression. That needs so little of
// the form that it is written here: a general library would take longer to start than all results take to write.
//
// Source of the form: Apache Parquet, "File Format" and parquet.thrift (format version 2.10): field numbers and enums
// below are theirs.
func WriteParquet(w io.Writer, h *history.History) error {
	if err := whole(h); err != nil {
		return err
	}
	p := &parquetFile{w: w}
	p.put([]byte("PAR1"))
	p.column("time [s]", history.Time, h.Time, true)
	for _, c := range h.Columns {
		p.column(c.Header(), c.Quantity, c.Values, false)
	}
	p.footer(h)
	return p.err
}

// parquetFile is a file in the making.
type parquetFile struct {
	w       io.Writer
	at      int64 // bytes written
	err     error
	page    []byte
	columns []parquetColumn
}

type parquetColumn struct {
	name      string
	required  bool
	at, bytes int64
	values    int64
}

// Enums of parquet.thrift.
const (
	typeDouble           = 5
	repetitionRequired   = 0
	repetitionOptional   = 1
	encodingPlain        = 0
	encodingRLE          = 3
	codecUncompressed    = 0
	pageData             = 0
	parquetFormatVersion = 1
)

const pageRows = 1 << 15 // values of a page, absent ones included

func (p *parquetFile) put(b []byte) {
	if p.err == nil {
		_, p.err = p.w.Write(b)
		p.at += int64(len(b))
	}
}

// column writes the pages of one column.
func (p *parquetFile) column(name string, q history.Quantity, values []float64, required bool) {
	c := parquetColumn{name: name, required: required, at: p.at, values: int64(len(values))}
	for first := true; first || len(values) > 0; first = false {
		n := min(len(values), pageRows)
		p.page = p.page[:0]
		if !required {
			p.page = appendLevels(p.page, q, values[:n])
		}
		for _, v := range values[:n] {
			if v = shown(q, v); required || present(v) {
				p.page = binary.LittleEndian.AppendUint64(p.page, math.Float64bits(v))
			}
		}
		var head thrift
		head.i32(1, pageData)
		head.i32(2, len(p.page)) // uncompressed
		head.i32(3, len(p.page)) // compressed
		head.open(5)             // of a data page
		head.i32(1, n)
		head.i32(2, encodingPlain)
		head.i32(3, encodingRLE) // of definition levels
		head.i32(4, encodingRLE) // of repetition levels, of which there are none
		head.shut()
		head.stop()
		p.put(head.b)
		p.put(p.page)
		values = values[n:]
	}
	c.bytes = p.at - c.at
	p.columns = append(p.columns, c)
}

// present tells whether a cell holds a value.
func present(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// appendLevels appends the definition levels, 1 where there is a value and 0 where not, as runs of equal levels
// behind their length in bytes.
func appendLevels(b []byte, q history.Quantity, values []float64) []byte {
	start := len(b)
	b = append(b, 0, 0, 0, 0)
	for i := 0; i < len(values); {
		level, from := present(shown(q, values[i])), i
		for i < len(values) && present(shown(q, values[i])) == level {
			i++
		}
		b = binary.AppendUvarint(b, uint64(i-from)<<1)
		if level {
			b = append(b, 1)
		} else {
			b = append(b, 0)
		}
	}
	binary.LittleEndian.PutUint32(b[start:], uint32(len(b)-start-4))
	return b
}

// footer writes what says where everything stands.
func (p *parquetFile) footer(h *history.History) {
	rows := int64(len(h.Time))
	var f thrift
	f.i32(1, parquetFormatVersion)
	f.list(2, thriftStruct, 1+len(p.columns)) // the schema, its root first
	f.text(4, "history")
	f.i32(5, len(p.columns))
	f.stop()
	for _, c := range p.columns {
		f.begin()
		f.i32(1, typeDouble)
		if c.required {
			f.i32(3, repetitionRequired)
		} else {
			f.i32(3, repetitionOptional)
		}
		f.text(4, c.name)
		f.stop()
	}
	f.resume(2)
	f.i64(3, rows)
	f.list(4, thriftStruct, 1) // the groups of rows
	f.list(1, thriftStruct, len(p.columns))
	total := int64(0)
	for _, c := range p.columns {
		f.begin()
		f.i64(2, c.at)
		f.open(3)
		f.i32(1, typeDouble)
		f.list(2, thriftI32, 2)
		f.varint(encodingPlain)
		f.varint(encodingRLE)
		f.resume(2)
		f.list(3, thriftBinary, 1)
		f.string(c.name)
		f.resume(3)
		f.i32(4, codecUncompressed)
		f.i64(5, c.values)
		f.i64(6, c.bytes)
		f.i64(7, c.bytes)
		f.i64(9, c.at) // of the first data page
		f.shut()
		f.stop()
		total += c.bytes
	}
	f.resume(1)
	f.i64(2, total)
	f.i64(3, rows)
	f.stop()
	f.resume(4)
	f.list(5, thriftStruct, 2+len(h.Columns)) // pairs of key and value
	pair := func(key, value string) {
		f.begin()
		f.text(1, key)
		f.text(2, value)
		f.stop()
	}
	pair("schema", "emberbank/1")
	pair("unit:time [s]", "s")
	for _, c := range h.Columns {
		pair("unit:"+c.Header(), c.Quantity.Unit())
	}
	f.resume(5)
	f.text(6, "emberbank version 1")
	f.stop()
	f.b = binary.LittleEndian.AppendUint32(f.b, uint32(len(f.b)))
	p.put(append(f.b, "PAR1"...))
}
