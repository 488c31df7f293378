package dossier

import (
	"cmp"
	"encoding/json"
	"slices"
	"strconv"
	"strings"
)

// named is a number or a sentence of a document under the name by which texts call it.
type named struct{ name, pointer string }

// named lists all numbers and sentences of a document by name: the keys on the way without their units, members of a list by what
// they are called or, where they have no name, by their number from 1. "/ledger/carried_J" is "ledger carried",
// "/parameters/0/shown" of the parameter contact "parameters contact".
func (t *tree) named() (all []named) {
	t.walk("", nil, t.top, &all)
	return all
}

// callings are the keys under which a member of a list says what it is.
var callings = []string{"name", "what", "circuit", "column", "kind", "topic", "question", "of"}

func (t *tree) walk(pointer string, words []string, v any, all *[]named) {
	add := func() { *all = append(*all, named{strings.Join(words, " "), pointer}) }
	switch x := v.(type) {
	case json.Number:
		if n := len(words); n > 1 && (words[n-1] == "shown" || words[n-1] == "value") {
			*all = append(*all, named{strings.Join(words[:n-1], " "), pointer})
		}
		add()
	case string:
		add()
	case *object:
		for _, k := range x.keys {
			word := strings.ReplaceAll(strings.TrimSuffix(k, keySuffix(k)), "_", " ")
			t.walk(pointer+"/"+escaped(k), append(slices.Clip(words), word), x.at[k], all)
		}
	case []any:
		for i, m := range x {
			word := strconv.Itoa(i + 1)
			if o, ok := m.(*object); ok {
				for _, k := range callings {
					if s, ok := o.at[k].(string); ok && s != "" {
						word = s
						break
					}
				}
			}
			t.walk(pointer+"/"+strconv.Itoa(i), append(slices.Clip(words), word), m, all)
		}
	}
}

// find returns the pointer of a name: that which is called so, else the only one whose name ends so; "" where there is none.
func find(all []named, name string) string {
	var ends []string
	for _, n := range all {
		switch {
		case n.name == name:
			return n.pointer
		case strings.HasSuffix(n.name, " "+name) && !slices.Contains(ends, n.pointer):
			ends = append(ends, n.pointer)
		}
	}
	if len(ends) == 1 {
		return ends[0]
	}
	return ""
}

// mostNear is how many names are offered in place of one that is not known.
const mostNear = 3

// nearest are the names most like one that is not known: those that share most of its words, the shortest first.
func nearest(all []string, name string) (near []string) {
	type scored struct {
		name  string
		score float64
	}
	wanted := pieces(name)
	var list []scored
	for _, n := range all {
		common := 0
		have := pieces(n)
		for p := range wanted {
			if have[p] {
				common++
			}
		}
		if common > 0 {
			list = append(list, scored{n, float64(2*common) / float64(len(wanted)+len(have))})
		}
	}
	slices.SortStableFunc(list, func(a, b scored) int {
		return cmp.Or(cmp.Compare(b.score, a.score), cmp.Compare(len(a.name), len(b.name)))
	})
	for _, s := range list {
		if len(near) < mostNear && !slices.Contains(near, s.name) {
			near = append(near, s.name)
		}
	}
	return near
}

// pieces are the letters of a text and the pairs of neighbours.
func pieces(s string) map[string]bool {
	out := map[string]bool{}
	r := []rune(strings.ToLower(s))
	for i := range r {
		out[string(r[i])] = true
		if i > 0 {
			out[string(r[i-1:i+1])] = true
		}
	}
	return out
}
