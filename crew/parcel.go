package crew

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"math"

	"emberbank/farm"
	"emberbank/history"
)

// order is a task as it lies in the queue: what to run, and from which files.
type order struct {
	Number   int64          `json:"number"`
	Key      string         `json:"key"`
	Limit    float64        `json:"limit_s,omitempty"`
	Settings []farm.Setting `json:"settings"`
	Run      string         `json:"run,omitempty"`
	Files    string         `json:"files,omitempty"` // an object's name
}

// id is the variant's word in a subject: one for each key and limit.
func (o *order) id() string {
	if o.Limit > 0 {
		return token(farm.Within(o.Key, o.Limit))
	}
	return token(o.Key)
}

// parcel is what comes back: a record but for the numbers of its history, which follow it as they are.
type parcel struct {
	Key     string           `json:"key"`
	Aside   string           `json:"aside,omitempty"`
	Again   *order           `json:"again,omitempty"` // handed back by a worker that was stopped
	Seconds float64          `json:"seconds"`
	Record  *farm.Record     `json:"record,omitempty"`
	Columns []history.Column `json:"columns,omitempty"`
	Rows    int              `json:"rows,omitempty"`
}

// numbers is how many bytes the numbers of its history take.
func (p *parcel) numbers() int {
	if p.Record == nil {
		return 0
	}
	h := &p.Record.History
	return 8 * len(h.Time) * (1 + len(h.Columns))
}

// pack writes a parcel: the length of its text, the text, and the history's numbers, column after column.
func pack(p parcel) ([]byte, error) {
	var h history.History
	if p.Record != nil {
		h = p.Record.History
		r := *p.Record
		r.History = history.History{}
		p.Record, p.Rows = &r, len(h.Time)
		for _, c := range h.Columns {
			p.Columns = append(p.Columns, history.Column{Name: c.Name, Quantity: c.Quantity})
		}
	}
	text, err := json.Marshal(p)
	if err != nil {
		return nil, fmt.Errorf("packing a record: %w", err)
	}
	out := binary.LittleEndian.AppendUint32(nil, uint32(len(text)))
	out = append(out, text...)
	number := func(xs []float64) {
		for _, x := range xs {
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(x))
		}
	}
	number(h.Time)
	for _, c := range h.Columns {
		if len(c.Values) != len(h.Time) {
			return nil, fmt.Errorf("packing a record: the column %s has %d values in %d rows", c.Name, len(c.Values), len(h.Time))
		}
		number(c.Values)
	}
	return out, nil
}

var errTorn = errors.New("a record arrived that is not whole")

// unpack reads a parcel back.
func unpack(raw []byte) (p parcel, err error) {
	if len(raw) < 4 {
		return p, errTorn
	}
	n := uint64(binary.LittleEndian.Uint32(raw))
	raw = raw[4:]
	if n > uint64(len(raw)) {
		return p, errTorn
	}
	if err := json.Unmarshal(raw[:n], &p); err != nil {
		return p, errTorn
	}
	raw = raw[n:]
	if p.Rows < 0 || p.Rows > len(raw) || len(raw) != 8*p.Rows*(len(p.Columns)+1) && (p.Rows > 0 || len(raw) > 0) {
		return p, errTorn
	}
	if p.Record == nil {
		return p, nil
	}
	column := func() (xs []float64) {
		for range p.Rows {
			xs = append(xs, math.Float64frombits(binary.LittleEndian.Uint64(raw)))
			raw = raw[8:]
		}
		return xs
	}
	p.Record.History.Time = column()
	for _, c := range p.Columns {
		c.Values = column()
		p.Record.History.Columns = append(p.Record.History.Columns, c)
	}
	return p, nil
}
