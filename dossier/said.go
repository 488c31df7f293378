package dossier

import "emberbank/paper"

// Said is a number or a sentence of a paper with the place that it was read from.
type Said struct {
	From string `json:"from"`
	Says string `json:"says"`
}

// SaidBy lists what a paper says with an origin, each once, in its order: two dossiers are compared by that.
func SaidBy(d *paper.Document) []Said {
	s := &listing{seen: map[Said]bool{}}
	for _, f := range d.Facts {
		s.text(f.Says)
	}
	s.chapters(d.Chapters)
	return s.all
}

type listing struct {
	all  []Said
	seen map[Said]bool
}

func (s *listing) chapters(all []paper.Chapter) {
	for i := range all {
		for _, b := range all[i].Blocks {
			for _, t := range paper.Texts(b) {
				s.text(t)
			}
		}
		s.chapters(all[i].Chapters)
	}
}

func (s *listing) text(t paper.Text) {
	for i := range t {
		one := Said{t[i].Origin, t[i].Text}
		if one.From != "" && !s.seen[one] {
			s.seen[one] = true
			s.all = append(s.all, one)
		}
	}
}

// Changed is what two dossiers say otherwise of one place; "": one of them says nothing of it.
type Changed struct {
	From   string `json:"from"`
	First  string `json:"first"`
	Second string `json:"second"`
}

// Differences lists what the first and the second say otherwise, in the order of the first, then what the second says alone. What is
// said of a place in several ways is set one after the other.
func Differences(first, second []Said) (differ []Changed) {
	places := func(all []Said) (order []string, at map[string]string) {
		at = map[string]string{}
		for _, s := range all {
			if before, known := at[s.From]; known {
				at[s.From] = before + "; " + s.Says
				continue
			}
			at[s.From] = s.Says
			order = append(order, s.From)
		}
		return order, at
	}
	ours, a := places(first)
	theirs, b := places(second)
	for _, from := range ours {
		if a[from] != b[from] {
			differ = append(differ, Changed{from, a[from], b[from]})
		}
	}
	for _, from := range theirs {
		if _, known := a[from]; !known {
			differ = append(differ, Changed{from, "", b[from]})
		}
	}
	return differ
}
