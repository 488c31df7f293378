package web

import (
	"bytes"
	"encoding/json"
	"path"
	"slices"
	"time"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/yield"
)

// keptBody is a day as its results have it, which is there at once.
type keptBody struct {
	Folder   string         `json:"folder"`
	At       time.Time      `json:"at"`
	Sentence string         `json:"sentence"`
	Met      float64        `json:"met_share"`
	Time     []float64      `json:"time_s"`
	Columns  []historyNamed `json:"columns" doc:"the block's mean, the light and the load"`
}

// keptColumns are those that a day's picture is drawn from.
var keptColumns = []string{"block mean", "absorbed", "load wanted", "load delivered", "load circuits open"}

// mostKept is about how many rows of them are told.
const mostKept = 2000

// keptDay reads what "emberbank run" has left for a run, where it was computed from the very files that it was read from now; nil:
// there is nothing, or of other files, or of a run without a load.
func (d *Desk) keptDay(name string, loaded *bench.Run) *keptBody {
	folder := bench.Results(name)
	if loaded.Problem.Duty.Load == nil || !d.madeOf(folder, loaded.Inputs) {
		return nil
	}
	raw, st, err := d.readResult(path.Join(folder, "summary.json"))
	if err != nil {
		return nil
	}
	var doc struct {
		Yield *struct {
			Span      float64 `json:"span_s"`
			Delivered float64 `json:"delivered_J"`
			Load      *struct {
				Of       string
				WantedJ  float64 `json:"wanted_J"`
				MetJ     float64 `json:"met_J"`
				WantedKg float64 `json:"wanted_kg"`
				MetKg    float64 `json:"met_kg"`
			}
		}
	}
	if json.Unmarshal(raw, &doc) != nil || doc.Yield == nil || doc.Yield.Load == nil {
		return nil
	}
	if raw, _, err = d.readResult(path.Join(folder, "history.csv")); err != nil {
		return nil
	}
	h, err := account.ReadHistory(bytes.NewReader(raw))
	if err != nil {
		return nil
	}
	l := doc.Yield.Load
	s := heat.Served{Steam: l.Of == "steam", Wanted: l.WantedJ + l.WantedKg, Met: l.MetJ + l.MetKg}
	if !(s.Wanted > 0) {
		return nil
	}
	y := yield.Report{Served: &s, Span: doc.Yield.Span, Delivered: doc.Yield.Delivered}
	out := keptBody{Folder: folder, At: st.ModTime(), Sentence: account.DaySentence(&y, h, loaded.Starts), Met: s.Met / s.Wanted}
	h.Columns = slices.DeleteFunc(h.Columns, func(c history.Column) bool { return !slices.Contains(keptColumns, c.Name) })
	part := PartQuery{Points: mostKept}
	out.Time, out.Columns = shownRows(h, part.thin(h), false)
	return &out
}
