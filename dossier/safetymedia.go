package dossier

import (
	"math"
	"slices"

	"emberbank/bench"
	"emberbank/hazard"
	"emberbank/heat"
	"emberbank/material"
	"emberbank/receiver"
)

// safeMedium is what a material of the receiver bears in heat, and whether a run took it further.
type safeMedium struct {
	Medium  string      `json:"medium"`
	Used    []string    `json:"used_for"`
	Limits  []safeLimit `json:"limits"`
	Needs   *float64    `json:"melt_needs_share,omitempty"`
	Has     *float64    `json:"melt_has_share,omitempty"`
	Left    *float64    `json:"melt_leaves_share,omitempty"`
	Burns   *float64    `json:"burns_times_as_fast_as_at_the_onset,omitempty"`
	Filler  string      `json:"melts_inside,omitempty"`
	MeltsAt *float64    `json:"melts_from_degC,omitempty"`
}

// safeLimit is one limit of a medium.
type safeLimit struct {
	Kind    string   `json:"kind"`
	Limit   float64  `json:"limit_degC"`
	Source  string   `json:"source"`
	Reached *float64 `json:"reached_degC,omitempty"` // where a run passed it
	Run     string   `json:"run,omitempty"`
	At      *float64 `json:"at_s,omitempty"`
}

// mediaOf lists the media of a receiver that have a limit or melt.
func mediaOf(first *bench.Run, runs []counted) []safeMedium {
	rec := &first.Problem.Receiver
	out := []safeMedium{}
	for i := range rec.Media {
		m := &rec.Media[i]
		one := safeMedium{Medium: m.Name, Used: servesAs(rec, i), Limits: limitsOf(m, slices.Contains(servesAs(rec, i), "tubes"), runs)}
		if len(one.Used) == 0 {
			continue
		}
		if m.Latent > 0 {
			one.Filler, one.MeltsAt = m.Metal, maybe(m.Solidus-iceZero)
		}
		if r := m.Room; r != (material.Room{}) {
			one.Needs, one.Has, one.Left = maybe(r.Needs), maybe(r.Has), maybe(r.Left())
		}
		for _, l := range one.Limits {
			if l.Kind == heat.KindOxidation && l.Reached != nil {
				if r, err := hazard.Burns(*l.Reached+iceZero, m.OxidationOnset); err == nil {
					one.Burns = maybe(r)
				}
			}
		}
		if len(one.Limits) > 0 || one.Filler != "" {
			out = append(out, one)
		}
	}
	return out
}

// servesAs says what a medium is used for.
func servesAs(rec *receiver.Receiver, medium int) (uses []string) {
	add := func(what string) {
		if !slices.Contains(uses, what) {
			uses = append(uses, what)
		}
	}
	for i := range rec.Parts {
		if p := &rec.Parts[i]; p.Medium == medium {
			add(p.Role.String())
		}
	}
	for i := range rec.Passes {
		if rec.Passes[i].WallMedium == medium {
			add("tubes")
		}
	}
	if w := rec.Window; w != nil && w.Glass != nil && w.Glass.Medium == medium {
		add("pane")
	}
	return uses
}

// limitsOf lists the limits of a medium with the hottest that runs took it to beyond them.
func limitsOf(m *material.Medium, tubes bool, runs []counted) []safeLimit {
	out := []safeLimit{}
	add := func(limit float64, source string, places []string, kinds ...string) {
		if !(limit > 0) {
			return
		}
		l := safeLimit{Kind: kinds[0], Limit: limit - iceZero, Source: source}
		hottest := math.Inf(-1)
		for i := range runs {
			for _, w := range runs[i].cautions {
				if slices.Contains(kinds, w.Kind) && slices.Contains(places, w.Place) && w.Value > hottest {
					hottest = w.Value
					l.Reached, l.Run, l.At = maybe(w.Value-iceZero), runs[i].Name(), maybe(w.At)
				}
			}
		}
		out = append(out, l)
	}
	pane, wall := "the pane of "+m.Name, "tubes of "+m.Name
	places := []string{m.Name, pane, pane + " in the brightest light"}
	if tubes && m.TubeLimit == 0 { // the run then holds walls against the service limit
		add(m.ServiceLimit, m.ServiceSource, append(places, wall), heat.KindServiceLimit, heat.KindTubeWall)
	} else {
		add(m.ServiceLimit, m.ServiceSource, places, heat.KindServiceLimit)
	}
	add(m.OxidationOnset, m.OxidationSource, []string{m.Name}, heat.KindOxidation)
	if tubes {
		add(m.TubeLimit, m.TubeSource, []string{wall}, heat.KindTubeWall)
	}
	return out
}
