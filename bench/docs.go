package bench

import (
	"fmt"
	"strings"
)

// Docs returns the page docs/files.md, written from the table of fields. A test holds the page to it.
func Docs() string {
	w := &docsWriter{seen: map[string]bool{}, sections: map[string]bool{}}
	w.line("# Files", "")
	w.line(filesIntro)
	w.line("A complete run, with receiver and duty in place; `emberbank new DIR` writes a larger one with comments:", "")
	w.line("```yaml", filesExample+"```", "")
	for _, whole := range fileForms {
		f := whole.laid()
		w.line("## kind: "+f.name, "")
		w.line(f.doc, "")
		if f == benchForm.laid() {
			w.line("The bench's folder is the root: no path leads out of it.", "")
		}
		w.table(f, f == runForm.laid())
		w.drain()
	}
	w.line("## Shapes that several keys share", "")
	for _, s := range w.shared {
		w.value = firstQuantity(s)
		w.line("### "+s.section, "", s.doc, "")
		for _, f := range formsIn(s) {
			if !w.seen[identity(f)] && len(f.fields) > 0 {
				w.seen[identity(f)] = true
				w.line("**"+capital(f.name)+"**", "")
				w.table(f, false)
			}
		}
	}
	w.line(filesRules)
	w.line("## Older files", "")
	w.line("Files with `schema: "+olderVersion+"` use a few other words. `emberbank check --upgrade FILE` replaces them, keeps comments and layout, and",
		"keeps the old file beside. Files of a newer or an unknown schema are refused.", "")
	w.line("| under | older word | now |", "| --- | --- | --- |")
	for _, r := range renames {
		under := r.under
		if under == "" {
			under = "the file"
		}
		w.line(fmt.Sprintf("| %s | `%s` | `%s` |", strings.ReplaceAll(strings.ReplaceAll(under, "/*", ", each"), "/", ", "), r.old, r.new))
	}
	return w.out.String()
}

// docsWriter walks forms in the order of first use, so that each stands once, right after what uses it.
type docsWriter struct {
	out      strings.Builder
	seen     map[string]bool // by name and keys
	queue    []*form
	sections map[string]bool
	shared   []*shape
	value    *shape // the quantity that a shared section speaks of without naming its unit
}

func (w *docsWriter) line(lines ...string) {
	for _, l := range lines {
		w.out.WriteString(l)
		w.out.WriteByte('\n')
	}
}

// drain writes the forms that were met, and those met on the way.
func (w *docsWriter) drain() {
	for len(w.queue) > 0 {
		f := w.queue[0]
		w.queue = w.queue[1:]
		w.line("### "+capital(f.name), "")
		if f.doc != "" {
			w.line(f.doc, "")
		}
		w.table(f, false)
	}
}

// table writes one form's keys. In a run the receiver and the duty in place are not written out again.
func (w *docsWriter) table(f *form, shallow bool) {
	w.line("| key | takes | default | meaning |", "| --- | --- | --- | --- |")
	for i := range f.fields {
		fd := &f.fields[i]
		def := fd.def
		if fd.required {
			def = "**needed**"
		}
		doc := fd.doc
		if fd.synonym != "" {
			doc += " (`" + fd.synonym + "` is the same)"
		}
		w.line(fmt.Sprintf("| `%s` | %s | %s | %s |", fd.key, cell(w.takes(fd.typ)), cell(def), cell(doc)))
		if shallow && (fd.key == "receiver" || fd.key == "duty") {
			continue
		}
		if fd.typ.section == "" {
			for _, g := range formsIn(fd.typ) {
				if !w.seen[identity(g)] {
					w.seen[identity(g)] = true
					w.queue = append(w.queue, g)
				}
			}
		}
	}
	w.line("")
}

// takes says in the table what a key takes.
func (w *docsWriter) takes(s *shape) string {
	if s.section != "" {
		w.share(s)
		link := "[" + lower(s.section) + "](#" + anchor(s.section) + ")"
		if first := firstQuantity(s); first != nil {
			return first.allowed() + "; " + link
		}
		return link
	}
	switch s.kind {
	case isQuantity:
		if s == w.value {
			return "the value"
		}
		if s.minText == "" && s.maxText == "" {
			return s.noun
		}
		return s.noun + ", " + s.span()
	case isList:
		return "list of " + w.takes(s.item)
	case isTuple:
		parts := make([]string, len(s.items))
		for i, t := range s.items {
			parts[i] = w.takes(t)
		}
		return "[" + strings.Join(parts, "; ") + "]"
	case isMapping:
		switch s.mapped() {
		case receiverContent(), dutyContent():
			return "[" + s.mapped().name + "](#kind-" + s.mapped().name + ")"
		}
		return "[" + s.mapped().name + "](#" + anchor(s.mapped().name) + ")"
	case isNamed:
		return "names, each with " + w.takes(s.item)
	case isEither:
		parts := make([]string, len(s.options))
		for i, o := range s.options {
			parts[i] = w.takes(o)
		}
		return strings.Join(parts, ", or ")
	}
	return s.allowed()
}

// share notes a shape with a section of its own; the first of a name stands for all.
func (w *docsWriter) share(s *shape) {
	if !w.sections[s.section] {
		w.sections[s.section] = true
		w.shared = append(w.shared, s)
		for _, f := range formsIn(s) {
			for i := range f.fields {
				w.takes(f.fields[i].typ)
			}
		}
	}
}

// formsIn lists the forms that a shape leads to directly.
func formsIn(s *shape) []*form {
	switch s.kind {
	case isMapping:
		return []*form{s.mapped()}
	case isList, isNamed:
		return formsIn(s.item)
	case isTuple, isEither:
		var out []*form
		for _, t := range append(append([]*shape(nil), s.items...), s.options...) {
			out = append(out, formsIn(t)...)
		}
		return out
	}
	return nil
}

func firstQuantity(s *shape) *shape {
	if s.kind == isEither && s.options[0].kind == isQuantity {
		return s.options[0]
	}
	return nil
}

// identity tells forms of one name and the same keys as one; those of a section are told apart by the section.
func identity(f *form) string { return f.name + ": " + strings.Join(f.keys(), ",") }

// anchor is the name that a heading gets as a link's target.
func anchor(s string) string {
	return strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(s), " ", "-"), "'", "")
}

func cell(s string) string { return strings.ReplaceAll(s, "|", "\\|") }

func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

const filesIntro = `This page is written from the table of fields that also reads the files and makes the JSON Schema
(` + "`emberbank schema KIND`" + `), so it is complete: a key that is not here is not known.

A file is YAML. Its first line is ` + "`schema: emberbank/1`" + `, its second ` + "`kind: …`" + `. The small set of YAML that is
read: mappings, lists, plain and quoted text, comments. Anchors, aliases, merging, several documents in one file,
and tabs in the indentation are refused. A file has at most 16 MiB and some 300 000 keys and entries (long tables belong
in CSV files, up to 64 MiB), and is UTF-8.

**Quantities** are text with a unit: ` + "`80 mm`, `320 degC`, `0.09 kg/s`, `16 W/(m K)`" + `. A number without a unit is a
mistake, unless the quantity has none: ` + "`0.95` or `95 %`" + `. A temperature is a point (` + "`320 degC`, `593.15 K`" + `), a
difference is written in K. The decimal sign is a point. A time may be of several units, the longest first: ` + "`5 h 10 min`" + `.

**Uncertainty**: every quantity may carry one, as the half-width at 95 %: ` + "`380 ± 24 W/(m2 K)`, also `380 +/- 24 W/(m2 K)`" + `.
Results are computed with the value; ` + "`emberbank run --uncertainty`" + ` carries the half-widths to the results.

**Directions**: depth counts from the window inwards, width across, height up. The origin is the block's corner at the
window face, low in width and height; insulation lies at negative coordinates and beyond the block.

**Lists** of one may be written without brackets. What may be left out may be an empty list. Where a name is asked for, a number is one too.

**Paths** are relative to the file that names them, with forward slashes, and do not lead out of the bench.

Mistakes come all at once, each with its line and column, what was typed, what is allowed, and the fix.
`

const filesExample = `schema: emberbank/1
kind: run
receiver:
  block: {depth: 200 mm, width: 300 mm, height: 300 mm, medium: aluminium}
  insulation:
    all: [{material: mineral-wool, thickness: 80 mm}]
  tube: {outer: 12 mm, wall: 1 mm, contact: 400 ± 100 W/(m2 K)}
  passes:
    - {along: width, depth: [50 mm, 150 mm], height: 150 mm}
  circuits:
    - {name: main, passes: [1, 2]}
duty:
  water:
    main: {flow: 0.05 kg/s, inlet: 15 degC}
until: 1 h
initial: 250 degC
grid: {size: 20 mm}
probes:
  - {name: core, depth: 100 mm, width: 150 mm, height: 150 mm}
`

const filesRules = `## Tables

A CSV file has one row of headings, each with its unit in brackets (` + "`time [s],ambient [degC]`" + `), and numbers below.
Lines that begin with ` + "`#`" + ` are comments. Cells are parted by commas, or by semicolons or tabs where the first line has
no comma. The decimal sign is a point. Times never go back; two equal times make a jump. A flux map has widths in its first
row, heights in its first column, and in its first cell the unit of both, as ` + "`height [mm]`" + `.

## What a run writes

` + "`history.csv`" + ` (and the same in ` + "`history.parquet`" + `) has one row per output time; each heading holds its unit:

| column | meaning |
| --- | --- |
| ` + "`block mean`" + ` | mean temperature of the block, by volume |
| ` + "`stored`" + ` | heat content of everything inside, glass and water too, counted from 20 degC solid (from 20 degC liquid for water): below zero where it is colder |
| ` + "`melted`" + ` | share of the block's medium that is melted, 0 to 1 |
| ` + "`absorbed`" + ` | light taken in by the block's face; what the glass takes in stands in the ledger |
| ` + "`heat to passes`, `pass N heat`" + ` | out of the block into the water; below zero where the water warms the block |
| ` + "`circuit N outlet`, `quality`" + ` | of the water that leaves, empty unless it flows; quality below 0 is liquid below boiling, 0 to 1 a mixture, above 1 steam |
| ` + "`circuit N flow`, `pressure drop`" + ` | of that circuit |
| ` + "`circuit N pressure`" + ` | of what is shut in, and else at the outlet; empty while drained. Only where the duty can shut the circuit |
| ` + "`circuit N wall max`" + ` | the hottest of the circuit's tube walls at the water, dry or wet |
| ` + "`lost PATH`" + ` | to the surroundings, by the window and by each surface |
| ` + "`NAME`" + ` | each probe, front (in m) and sensor, by its name |

Beside it lie ` + "`summary.json`" + ` (cautions and warnings, which are to be read first), ` + "`ledger.json`, `chain.csv`" + ` (the resistances between
block and water, their shares, and what a tenth more of each would give), ` + "`circuits.csv`" + ` and ` + "`circuits.parquet`" + ` (water, wall
and block along each circuit at the times of ` + "`profiles`" + `), ` + "`fields/`, `pictures/`, `performance.json`" + ` (time and memory), and
` + "`manifest.json`" + ` (the files of the results with their hashes, by which the next run knows what it may replace).
Each table stands there as Parquet too: [data.md](data.md).

## Rules that no table shows

- **Names of materials** are looked for in the receiver's own lists, then in the material files that ` + "`bench.yaml`" + ` names,
  then in the catalogue (` + "`emberbank materials`" + `).
- **What stands where**: block, insulation, jacket, the window's opening, fixtures, boxes; a later one replaces an earlier
  one. What sticks out of the body stands in open air that takes the surface of that side.
- **Flow** in a circuit alternates from pass to pass: the first runs from low to high coordinate, the next back. Bends
  leave the block's face by a stub, run along one or two directions at their offset, and come back by a stub; ends on
  different sides are joined outside, without length. The heat of a bend counts to the pass before it, that of a lead to its pass.
- **Light** needs a window; ` + "`window: {}`" + ` is the whole face, open. Within the opening the block's face takes the window's
  film and emissivity, beside it those of the surface front.
- **A flowing circuit** needs a flow above zero at all times; write ` + "`closed`" + ` or ` + "`drained`" + ` for none.
- **Between** a film stated as a value and radiation: a surface with ` + "`film: 8 W/(m2 K)`" + ` and no emissivity does not radiate;
  with ` + "`film: outside`" + ` it has an emissivity of 0.9.
- **A given grid** (cells or edges) is not moved to passes or layers; each cell takes what stands at its middle.
- **Names of probes and sensors** head columns of the history and are places for rules, so they are none of those there:
  ` + "`block mean`, `block max`, `stored`, `melted`, `absorbed`, `heat to passes`, `light`, `time`, `outlet CIRCUIT`, `circuit CIRCUIT outlet`" + `.
- **Doubts** about size: a flow that means less than 0.002 m/s or more than 10 m/s in a tube, and light under 10 W/m2 or over
  10 MW/m2, are warned of and computed: look at the unit.
- **Uncertain inputs** have a path by which they are known in results: ` + "`receiver.tube.contact`, `duty.water.main.flow`" + `;
  entries of lists count from 1, as ` + "`receiver.passes[2].contact`" + `. The spread of a medium's own properties is known as
  ` + "`medium[NAME].conductivity`" + ` and so on, a factor on the whole curve; a property that a file states itself has none, and is known by its place
  there, as ` + "`receiver.composites[1].heat capacity`" + `;
  ` + "`films in tubes`" + ` is every computed film in a tube at once, at the ends of its own correlation's spread.
`
