package cli

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"emberbank/trial"
)

// seen is how much of a trial was followed, to say what its closing report covers: that is read from the files as they lie
// there at the end.
type seen struct {
	begun       bool
	first, last float64 // s of the trial
	files       []*grown
}

func (s *seen) take(rows trial.Fresh) {
	at := rows.Now
	if len(rows.Time) > 0 {
		at = rows.Time[0]
	}
	if !s.begun {
		s.begun, s.first, s.last = true, at, at
	}
	s.first, s.last = min(s.first, at), max(s.last, rows.Now)
}

// covered says what the closing report covers where a file began anew while it was followed and the report holds less than
// was seen; "" where it holds all.
func (s *seen) covered(r *trial.Record) string {
	if s == nil || !s.begun {
		return ""
	}
	watched, holds := s.last-s.first, r.Length()
	missing := watched - holds
	if !(missing > math.Max(2*r.Interval, 1)) {
		return ""
	}
	var anew, where []string
	for _, g := range s.files {
		if g.anew == 0 {
			continue
		}
		name := filepath.Base(g.path)
		anew = append(anew, name)
		for _, w := range g.was {
			where = append(where, fmt.Sprintf("%s holds what %s held before", w, name))
		}
	}
	if len(anew) == 0 {
		return ""
	}
	text := fmt.Sprintf("This report covers %s of the %s that were followed: %s began anew meanwhile (rotated, truncated or written again), and it is of what the files hold now.",
		duration(holds), duration(watched), strings.Join(anew, " and "))
	if len(where) == 0 {
		return text + " The rows before were read and judged, and are kept nowhere."
	}
	return text + " " + strings.Join(where, "; ") + ": name it before the other in the description (\"file: [" + s.list() + "]\") to have both in the record. What was cut off without being renamed is kept nowhere."
}

// list is the files of the first logger that was rotated, in the order of time.
func (s *seen) list() string {
	for _, g := range s.files {
		if len(g.was) > 0 {
			return strings.Join(append(append([]string{}, g.was...), filepath.Base(g.path)), ", ")
		}
	}
	return ""
}
