package season

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"slices"
	"strings"

	"emberbank/heat"
	"emberbank/history"
)

// Kept is what the full model computed of a day, or of the standing state, as far as a fast model is built from it or held against
// it. What hangs on the machine's pace is not in it, so that a season comes out the same whether it was kept or computed.
type Kept struct {
	Rows     []heat.Grouped // of a day
	Field    []float64      // K by cell, of the standing state
	History  history.History
	Ledger   heat.Ledger
	Account  *heat.Account
	Served   *heat.Served
	Cautions []heat.Caution
	Stopped  string
}

// Keeper keeps what the full model computed under a key of all that it hangs on. Several goroutines use it.
type Keeper interface {
	Load(key string) *Kept    // nil: it is not kept, or not whole
	Save(key string, k *Kept) // of what was loaded too: it is still wanted
}

// watched are the columns of a day's history that a fast model looks at.
func watched(name string) bool {
	return slices.Contains([]string{"block mean", "melted", "absorbed"}, name) || strings.HasPrefix(name, "lost ")
}

// compute has the full model compute a problem, or takes what is kept of it. Beside is what the result hangs on besides.
func (b *builder) compute(q heat.Problem, beside string, rows *[]heat.Grouped) (*heat.Result, error) {
	if b.o.Keep == nil || b.o.Key == nil {
		return b.o.Run(b.ctx, q)
	}
	key := b.o.Key(&q) + beside
	if k := b.o.Keep.Load(key); k != nil {
		b.o.Keep.Save(key, k)
		if rows != nil {
			*rows = k.Rows
		}
		r := &heat.Result{History: k.History, Ledger: k.Ledger, Account: k.Account, Served: k.Served, Cautions: k.Cautions, Stopped: k.Stopped}
		if k.Field != nil {
			r.Fields = []heat.Field{{Temperature: k.Field}}
		}
		b.mu.Lock()
		b.kept++
		b.mu.Unlock()
		return r, nil
	}
	r, err := b.o.Run(b.ctx, q)
	if err != nil {
		return nil, err
	}
	k := &Kept{Ledger: r.Ledger, Account: r.Account, Served: r.Served, Cautions: r.Cautions, Stopped: r.Stopped}
	k.History.Time = r.History.Time
	for _, c := range r.History.Columns {
		if watched(c.Name) {
			k.History.Columns = append(k.History.Columns, c)
		}
	}
	if rows != nil {
		k.Rows = *rows
	} else if n := len(r.Fields); n > 0 {
		k.Field = r.Fields[n-1].Temperature
	}
	b.o.Keep.Save(key, k)
	return r, nil
}

// name tells one way of gathering cells in nodes from another.
func (l *laid) name() string {
	sum := sha256.New()
	for _, g := range l.group {
		_ = binary.Write(sum, binary.LittleEndian, g) // a hash takes all
	}
	return "-" + hex.EncodeToString(sum.Sum(nil)[:4])
}
