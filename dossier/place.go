package dossier

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"emberbank/bench"
	"emberbank/paper"
)

// placed is a place for a number in the author's words: {RESULT: NUMBER} or {RESULT: NUMBER, UNIT}.
type placed struct {
	raw                string // with its braces
	result, name, unit string
}

// placeholder finds them; a brace behind a backslash is a brace.
var placeholder = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\\[{}]|\{[^{}\n]*\}`) })

// readPlaced takes one apart; false: it is none.
func readPlaced(raw string) (p placed, ok bool) {
	p.raw = raw
	result, rest, found := strings.Cut(strings.Trim(raw, "{}"), ":")
	if !found {
		return p, false
	}
	p.result, p.name = strings.TrimSpace(result), strings.TrimSpace(rest)
	if i := strings.LastIndexByte(p.name, ','); i >= 0 {
		if u := strings.TrimSpace(p.name[i+1:]); isUnit(u) {
			p.name, p.unit = strings.TrimSpace(p.name[:i]), u
		}
	}
	return p, p.result != "" && p.name != ""
}

// isUnit tells whether a text is one of the units into which numbers are converted.
func isUnit(u string) bool {
	if u == "%" || u == "kJ/K" {
		return true
	}
	for _, r := range readers {
		if _, err := convert(1, r.dim, r.unit, u); err == nil {
			return true
		}
	}
	return false
}

// fits tells whether a number may be written in the unit.
func (n Number) fits(u string) bool {
	if u == "" || u == n.Unit {
		return true
	}
	if n.Unit == "1" || n.Unit == "J/K" {
		return u == "%" && n.Unit == "1" || u == "kJ/K" && n.Unit == "J/K"
	}
	r, known := readers[n.Unit]
	if !known {
		return false
	}
	_, err := convert(n.Value, r.dim, n.Unit, u)
	return err == nil
}

// fill finds what stands in a place; the problem says what there is instead.
func (w *writer) fill(words *bench.Words, raw string, nth int) (paper.Span, *bench.Problem) {
	fail := func(message, allowed, fix string) (paper.Span, *bench.Problem) {
		p := words.Problem(raw, nth, message, allowed, fix)
		return paper.Span{}, &p
	}
	p, ok := readPlaced(raw)
	if !ok {
		return fail(words.Path+" has a place "+raw+" that names no number", "{RESULT: NUMBER} or {RESULT: NUMBER, UNIT}", `write it as "{charge-hold-drain: ledger carried, kWh}"; a brace that is meant as one is written \{`)
	}
	all, number, sentence := w.source(p.result)
	if number == nil {
		names := w.resultNames()
		fix := "name one of them, or compute the result first"
		for _, m := range w.g.Missing {
			if m.Name() == p.result || m.File == p.result {
				fix = "it has no result yet: " + m.Renew
			}
		}
		if near := nearest(names, p.result); strings.HasPrefix(fix, "name") && len(near) > 0 {
			fix = "did you mean " + quotedOr(near) + "?"
		}
		return fail(words.Path+" wants a number of "+strconv.Quote(p.result)+", of which there is no result", strings.Join(names, ", "), fix)
	}
	place := p.name
	if !strings.HasPrefix(place, "/") && !strings.Contains(place, " /") {
		if place = find(all, p.name); place == "" {
			var names []string
			for _, n := range all {
				names = append(names, n.name)
			}
			near := nearest(names, p.name)
			fix := "look for its name or its place in the result"
			if len(near) > 0 {
				fix = "did you mean " + quotedOr(near) + "?"
			}
			return fail(words.Path+" wants "+strconv.Quote(p.name)+", which the result "+p.result+" does not have, or not once", "a name such as \"ledger carried\", or a place such as \"/ledger/carried_J\"", fix)
		}
	}
	if n, ok := number(place); ok {
		if !n.fits(p.unit) {
			return fail(words.Path+" wants "+strconv.Quote(p.name)+" in "+p.unit+", but it is in "+n.Unit, "a unit of the same kind", "take another unit, or leave it out")
		}
		return n.Span(p.unit, -1), nil
	}
	if s, ok := sentence(place); ok {
		return s.Span(), nil
	}
	return fail(words.Path+" wants "+p.name+" of "+p.result+", where no number and no sentence stands", "a place such as \"/ledger/carried_J\"", "look for the place in the result's document")
}

// source is what a place may name: a result, or what the files build.
func (w *writer) source(name string) (all []named, number func(string) (Number, bool), sentence func(string) (Sentence, bool)) {
	if name == "receiver" {
		if file, run := w.g.First(); run != nil {
			t := w.g.built(file, run)
			return t.named(), t.number, t.sentence
		}
	}
	r := w.g.Find(name)
	if r == nil {
		return nil, nil, nil
	}
	return r.tree(r.Main).named(), r.Number, r.Sentence
}

// resultNames are what a place may begin with.
func (w *writer) resultNames() (names []string) {
	for _, r := range w.g.Kept {
		names = append(names, r.Name())
	}
	slices.Sort(names)
	return append(names, "receiver")
}

// quotedOr writes names as a choice.
func quotedOr(names []string) string {
	var b strings.Builder
	for i, n := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			b.WriteString(" or ")
		default:
			b.WriteString(", ")
		}
		b.WriteString(strconv.Quote(n))
	}
	return b.String()
}
