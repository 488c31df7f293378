package account

import (
	"encoding/json"
	"fmt"

	"emberbank/heat"
)

// ReadLedger reads what ledger.json holds back, to the digits that it keeps.
func ReadLedger(raw []byte) (l heat.Ledger, err error) {
	var all map[string]json.RawMessage
	if err := json.Unmarshal(raw, &all); err != nil {
		return l, fmt.Errorf("reading a ledger: %w", err)
	}
	_ = json.Unmarshal(all["steady"], &l.Steady) // then it is none
	unit := "_J"
	if l.Steady {
		unit = "_W"
	}
	for _, one := range []struct {
		key string
		to  *float64
	}{
		{"absorbed", &l.Absorbed},
		{"glass", &l.Glass},
		{"electric", &l.Electric},
		{"generated", &l.Generated},
		{"stored", &l.Stored},
		{"latent", &l.Latent},
		{"to_passes", &l.ToPasses},
		{"carried", &l.Carried},
		{"lost", &l.Lost},
		{"left_over", &l.Residual},
	} {
		if err := json.Unmarshal(all[one.key+unit], one.to); err != nil {
			return l, fmt.Errorf("reading a ledger: %s%s: %w", one.key, unit, err)
		}
	}
	for _, one := range []struct {
		key string
		to  *[]heat.Share
	}{{"stored_by", &l.StoredBy}, {"by_pass", &l.ByPass}, {"by_circuit", &l.ByCircuit}, {"by_path", &l.ByPath}} {
		var shares []struct {
			Name   string  `json:"name"`
			Energy float64 `json:"energy_J"`
			Flow   float64 `json:"heat_flow_W"`
		}
		if err := json.Unmarshal(all[one.key], &shares); err != nil {
			return l, fmt.Errorf("reading a ledger: %s: %w", one.key, err)
		}
		for _, s := range shares {
			*one.to = append(*one.to, heat.Share{Name: s.Name, Amount: s.Energy + s.Flow}) // one of the two is there
		}
	}
	return l, nil
}
