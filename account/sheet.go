package account

import (
	"fmt"

	"emberbank/block"
	"emberbank/figure"
	"emberbank/heat"
	"emberbank/receiver"
)

// Computed is a variant of a study that was computed again, with its fields.
type Computed struct {
	Name     string // such as "variant 4: wool 120 mm"
	Receiver *receiver.Receiver
	Result   *heat.Result
	Colours  figure.Range // of temperature; what is not fixed gives way to what is drawn
}

// fixed are the colours of all variants where their bench fixes them.
func fixed(all []Computed) figure.Range {
	if len(all) > 0 && all[0].Colours.Fixed {
		return all[0].Colours
	}
	return figure.Range{}
}

// WriteSheets draws sections through variants side by side, upright through the middle of the window: a picture for each
// time at which one of them has a field, named sections-TIME.svg with the time in s. It returns the pictures' names. What has no
// field at a time, because it ended before, is told on the sheet.
func WriteSheets(sink Sink, title string, all []Computed) (names []string, err error) {
	for _, t := range sheetTimes(all) {
		var cuts []figure.Cut
		var missing []string
		steady := true
		for i := range all {
			one := &all[i]
			f := fieldAt(one.Result, t)
			if f == nil {
				missing = append(missing, one.Name+" ended before and is left out.")
				continue
			}
			steady = steady && one.Result.Ledger.Steady
			cuts = append(cuts, figure.Cut{Name: one.Name, Result: one.Result, Receiver: one.Receiver, Field: *f, Axis: block.Width, At: throughWindow(one.Receiver)})
		}
		when := "after " + figure.Span(t)
		if steady {
			when = "in the steady state"
		}
		says := append([]string{"Cut upright through the middle of the window: depth to the right, height upwards; all to one scale."}, missing...)
		name := "sections-" + decimal(t) + ".svg"
		doc := picture(name, func() []byte { return figure.Sections(fmt.Sprintf("%s %s", title, when), says, cuts, fixed(all)) })
		if err := doc.into(sink); err != nil {
			return names, err
		}
		names = append(names, name)
	}
	return names, nil
}

// sheetTimes are the times of all fields, in the order in which they come.
func sheetTimes(all []Computed) (times []float64) {
	seen := map[float64]bool{} // looked up, never walked
	for i := range all {
		for _, f := range all[i].Result.Fields {
			if !seen[f.Time] {
				seen[f.Time] = true
				times = append(times, f.Time)
			}
		}
	}
	return times
}

func fieldAt(r *heat.Result, t float64) *heat.Field {
	for i := range r.Fields {
		if r.Fields[i].Time == t {
			return &r.Fields[i]
		}
	}
	return nil
}
