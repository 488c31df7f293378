package dossier

import "encoding/binary"

// thrift writes structures in Thrift's compact protocol, in which a Parquet file describes itself: fields in rising
// order, each behind a byte with the step from the field before and the type.
//
// Source: Apache Thrift, "Thrift Compact protocol encoding".
type thrift struct {
	b    []byte
	last int   // number of the field before, in the structure in hand
	held []int // the same of the structures around it
}

// Types of the compact protocol.
const (
	thriftI32    = 5
	thriftI64    = 6
	thriftBinary = 8
	thriftList   = 9
	thriftStruct = 12
)

// field begins a field; numbers rise by at most 15.
func (t *thrift) field(number, kind int) {
	t.b = append(t.b, byte((number-t.last)<<4|kind))
	t.last = number
}

// varint appends a number as zigzag.
func (t *thrift) varint(v int64) { t.b = binary.AppendVarint(t.b, v) }

func (t *thrift) string(s string) {
	t.b = binary.AppendUvarint(t.b, uint64(len(s)))
	t.b = append(t.b, s...)
}

func (t *thrift) i32(number, v int) {
	t.field(number, thriftI32)
	t.varint(int64(v))
}

func (t *thrift) i64(number int, v int64) {
	t.field(number, thriftI64)
	t.varint(v)
}

func (t *thrift) text(number int, s string) {
	t.field(number, thriftBinary)
	t.string(s)
}

// open begins a field that is a structure; shut ends it.
func (t *thrift) open(number int) {
	t.field(number, thriftStruct)
	t.held = append(t.held, t.last)
	t.last = 0
}

func (t *thrift) shut() {
	t.stop()
	t.last = t.held[len(t.held)-1]
	t.held = t.held[:len(t.held)-1]
}

// list begins a field that is a list; its elements follow, each structure between begin (the first needs none) and
// stop, and then resume with the list's own number.
func (t *thrift) list(number, kind, n int) {
	t.field(number, thriftList)
	if n < 15 {
		t.b = append(t.b, byte(n<<4|kind))
	} else {
		t.b = binary.AppendUvarint(append(t.b, byte(0xf0|kind)), uint64(n))
	}
	t.last = 0
}

func (t *thrift) begin()            { t.last = 0 }
func (t *thrift) stop()             { t.b = append(t.b, 0) }
func (t *thrift) resume(number int) { t.last = number }
