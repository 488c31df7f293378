package dossier

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"path"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"emberbank/paper"
)

// Audit walks a document and lists what is wrong with its numbers: those without an origin, and those whose origin does not hold
// them. It reads texts as a reader would and knows nothing of how they were written. Left out are headings, equations, commands and
// names of files (paper.Code), and "95 %", which is the confidence of every half-width.
func Audit(g *Gathered, d *paper.Document) (faults []string) {
	a := &auditor{g: g, trees: map[string]*tree{}}
	for _, f := range d.Facts {
		a.text("the title block", f.Says)
	}
	a.chapters(d.Chapters)
	return a.faults
}

type auditor struct {
	g      *Gathered
	trees  map[string]*tree
	faults []string
}

func (a *auditor) chapters(all []paper.Chapter) {
	for i := range all {
		c := &all[i]
		for _, b := range c.Blocks {
			if _, is := b.(paper.Equation); is {
				continue
			}
			for _, t := range paper.Texts(b) {
				a.text(c.Title, t)
			}
		}
		a.chapters(c.Chapters)
	}
}

func (a *auditor) text(where string, t paper.Text) {
	for i := range t {
		s := &t[i]
		bare := strings.ReplaceAll(s.Text, confidence, "")
		if s.Style == paper.Code || !strings.ContainsAny(bare, "0123456789") {
			continue
		}
		if s.Origin == "" {
			a.faults = append(a.faults, fmt.Sprintf("%s: %q has no origin", where, s.Text))
			continue
		}
		if err := a.holds(s); err != nil {
			a.faults = append(a.faults, fmt.Sprintf("%s: %q from %s: %v", where, s.Text, s.Origin, err))
		}
	}
}

// holds tells whether the origin of a text holds it.
func (a *auditor) holds(s *paper.Span) error {
	file, pointer, placed := strings.Cut(s.Origin, " /")
	if pointer = "/" + pointer; !placed {
		pointer = ""
	}
	if e := path.Ext(file); e != ".json" && e != ".csv" {
		return a.written(file, s.Text)
	}
	v, ok := a.tree(file).at(pointer)
	switch x := v.(type) {
	case string:
		if ok && (x == s.Text || strings.Contains(x, s.Text)) {
			return nil
		}
		return fmt.Errorf("there stands %q", x)
	case json.Number:
		value, err := x.Float64()
		if err == nil && reads(s.Text, value) {
			return nil
		}
		return fmt.Errorf("there stands %s", x)
	}
	return fmt.Errorf("nothing stands there")
}

// tree is a document of results, or one that is handed over beside the papers.
func (a *auditor) tree(file string) *tree {
	t, known := a.trees[file]
	if !known {
		if raw, own := a.g.texts[path.Base(file)]; own && path.Dir(file) == path.Clean(a.g.Folder) {
			t = treeOf(file, raw)
		} else if path.Ext(file) == ".csv" {
			t = readRows(a.g.Root, file)
		} else {
			t = readTree(a.g.Root, file)
		}
		a.trees[file] = t
	}
	return t
}

// written tells whether every number of a text stands in a file that people write.
func (a *auditor) written(file, text string) error {
	st, err := fs.Stat(a.g.Root, file)
	if err == nil && st.IsDir() { // the name of a folder
		return nil
	}
	raw, err := fs.ReadFile(a.g.Root, file)
	if err != nil {
		return err
	}
	for _, n := range figures().FindAllString(text, -1) {
		if !strings.Contains(string(raw), n) {
			return fmt.Errorf("%s does not stand there", n)
		}
	}
	return nil
}

var (
	figures  = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\d+(?:\.\d+)?`) })
	duration = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^` + minus + `?(?:([\d.]+) ?d)? ?(?:([\d.]+) ?h)? ?(?:([\d.]+) ?min)? ?(?:([\d.]+) ?s)?$`)
	})
)

// factors take a number of a result to one that people read: kWh and Wh of J, kg/h of kg/s, bar of Pa, mm of m, %, degrees of rad.
var factors = []float64{1, 1 / 3.6e6, 1 / 3600.0, 1e-6, 3600, 1e-5, 1e-3, 1e3, 100, 1.0 / 60, 180 / math.Pi}

// reads tells whether a text can be read as a value: its first number, to half of its last digit.
func reads(text string, value float64) bool {
	plain := strings.NewReplacer("\u2009", " ", "\u00a0", " ", "\u202f", " ").Replace(text)
	if m := duration().FindStringSubmatch(plain); m != nil {
		sum, last := 0.0, 1.0
		for i, size := range []float64{86400, 3600, 60, 1} {
			if x, err := strconv.ParseFloat(m[i+1], 64); err == nil {
				sum, last = sum+x*size, size
			}
		}
		return math.Abs(sum-math.Abs(value)) <= last
	}
	head, _, _ := strings.Cut(plain, " ±")
	below := strings.HasPrefix(head, "<")
	joined := strings.TrimLeft(grouped().ReplaceAllString(head, "$1$2"), "< ")
	sign := 1.0
	if strings.HasPrefix(joined, minus) {
		sign, joined = -1, strings.TrimPrefix(joined, minus)
	}
	n := leading().FindString(joined)
	x, err := strconv.ParseFloat(n, 64)
	if err != nil {
		return false
	}
	digit := lastDigit(n)
	if strings.Contains(plain, " ±") && digit == 1 { // zeros before the point may stand for digits that are not known
		for d := 10.0; x != 0 && math.Mod(x, d) == 0; d *= 10 {
			digit = d
		}
	}
	near := func(v float64) bool {
		if below {
			return math.Abs(v) < x
		}
		return math.Abs(v-sign*x) <= 0.5000001*digit
	}
	for _, f := range factors {
		if near(value * f) {
			return true
		}
	}
	if value > 150 && near(value-273.15) {
		return true
	}
	return false
}

var (
	grouped = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(\d) (\d{3})`) })
	leading = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^\d+(?:\.\d+)?(?:e[+-]\d+)?`) })
)

// lastDigit is the size of the last digit of a number as it is written.
func lastDigit(n string) float64 {
	mantissa, exponent, _ := strings.Cut(n, "e")
	e, _ := strconv.Atoi(exponent)
	if _, fraction, has := strings.Cut(mantissa, "."); has {
		return math.Pow(10, float64(e-len(fraction)))
	}
	return math.Pow(10, float64(e))
}
