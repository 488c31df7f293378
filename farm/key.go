package farm

import (
	"bufio"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math"
	"reflect"

	"emberbank/heat"
)

// beside are the fields of a problem on which its results do not hang: they are left out of the key. The kernel's loops
// stand in the model's name.
var beside = map[string]bool{"Threads": true, "Kernel": true, "Progress": true, "Seen": true}

// Key is the hash of everything that a problem's run is computed from: every number, name and choice of the problem, as
// it was read and built, and the model that computes it. Comments of files, units in which values were typed and names
// of files do not count. Changes to a type of the problem change all keys.
func Key(p *heat.Problem, model string) string {
	sum := sha256.New()
	h := &hasher{bufio.NewWriter(sum)}
	h.text(model)
	v := reflect.ValueOf(p).Elem()
	for i := range v.NumField() {
		if name := v.Type().Field(i).Name; !beside[name] {
			h.text(name)
			h.value(v.Field(i))
		}
	}
	_ = h.Flush() // a hash takes all
	return hex.EncodeToString(sum.Sum(nil)[:16])
}

// hasher writes values so that different ones give different bytes: each with its length or its names.
type hasher struct{ *bufio.Writer }

func (h *hasher) number(n uint64) {
	_, _ = h.Write(binary.LittleEndian.AppendUint64(h.AvailableBuffer(), n))
}

func (h *hasher) text(s string) {
	h.number(uint64(len(s)))
	_, _ = h.WriteString(s)
}

func (h *hasher) value(v reflect.Value) {
	switch v.Kind() {
	case reflect.Float64, reflect.Float32:
		x := v.Float()
		if x == 0 {
			x = 0 // minus zero is zero
		}
		h.number(math.Float64bits(x))
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		h.number(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		h.number(v.Uint())
	case reflect.Bool:
		h.number(map[bool]uint64{true: 1}[v.Bool()])
	case reflect.String:
		h.text(v.String())
	case reflect.Pointer:
		if v.IsNil() {
			h.number(0)
			return
		}
		h.number(1)
		h.value(v.Elem())
	case reflect.Slice, reflect.Array:
		h.number(uint64(v.Len()))
		for i := range v.Len() {
			h.value(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			h.text(v.Type().Field(i).Name)
			h.value(v.Field(i))
		}
	default: // a test walks the types: none of these is in a problem
		panic(fmt.Sprintf("farm: a problem holds a %s, which has no content to be hashed", v.Type()))
	}
}
