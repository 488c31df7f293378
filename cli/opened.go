package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/farm"
	"emberbank/history"
	"emberbank/shelf"
	"emberbank/survey"
)

// openedName is the folder of a study's results that takes the variants that were opened:
//
//	results/STUDY/opened/variant-3/    what `run` writes
const openedName = "opened"

// opened is a variant of a study that is computed again by itself, with fields and pictures.
type opened struct {
	study    string // its name
	number   int64  // from 1, as the table counts
	key      string
	dir      string // the study's results
	record   *variantJSON
	axes     []string // names
	shown    []string // the value on each, such as "40 mm"
	settings []string // both, such as "wool 40 mm"
	changed  []string // files that are no longer as they were
	lost     bool     // the bench is not found, so that nothing is known of changes
	other    bool     // the problem is built otherwise than when the record was made
}

// studyResults finds the results of a study that an argument names: by its file or by its results folder.
func studyResults(arg, flag string) (dir string, at place, err error) {
	if isFile(filepath.Join(arg, outcomeName, studyDocumentName)) {
		dir, err = filepath.Abs(arg)
		return dir, place{}, err
	}
	if at, err = locate(arg); err != nil {
		return "", at, err
	}
	kind, problems := bench.Kind(at.fs(), at.name)
	switch {
	case problems.Failed():
		return "", at, &failure{code: ExitInput, problems: at.named(problems)}
	case kind != "study":
		return "", at, &failure{code: ExitInput, message: fmt.Sprintf("%s is of kind %q: %s goes with a study", at.shown(at.name), kind, flag), hint: "name a file of kind study, or the folder of its results"}
	}
	dir = at.results()
	if !isFile(filepath.Join(dir, outcomeName, studyDocumentName)) {
		return "", at, &failure{code: ExitInput, message: fmt.Sprintf("the study %s has no results in %s", at.shown(at.name), fromHere(dir)), hint: "compute it first: emberbank study " + shelf.Word(arg) + "; where its results stand elsewhere, name that folder"}
	}
	return dir, at, nil
}

const studyDocumentName = "study.json"

// readStudy reads what a study gave.
func readStudy(dir string) (*account.StudyJSON, error) {
	path := filepath.Join(dir, outcomeName, studyDocumentName)
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, disk("reading "+fromHere(path), err)
	}
	d := &account.StudyJSON{}
	if err := json.Unmarshal(raw, d); err != nil || d.Schema != account.StudySchema {
		return nil, &failure{code: ExitInput, message: fromHere(path) + " is not the outcome of a study of this version", hint: "compute it again: emberbank study"}
	}
	return d, nil
}

// findVariant finds a variant of a study by its number, with its record.
func findVariant(dir string, d *account.StudyJSON, number int64) (*opened, error) {
	if number < 1 || number > int64(len(d.Variants)) {
		return nil, &failure{code: ExitInput, message: fmt.Sprintf("the study %s has no variant %d", d.Name, number), hint: fmt.Sprintf("give a number from 1 to %d, as the table counts", len(d.Variants))}
	}
	row := &d.Variants[number-1]
	if row.Key == "" {
		return nil, &failure{code: ExitInput, message: fmt.Sprintf("variant %d has no results: %s", number, row.Failure), hint: "open another"}
	}
	o := &opened{study: d.Name, number: number, key: row.Key, dir: dir}
	for i, c := range d.Columns {
		if c.Is == "axis" && i < len(row.Values) && row.Values[i] != nil {
			text := c.Show(*row.Values[i])
			o.axes, o.shown, o.settings = append(o.axes, c.Name), append(o.shown, text), append(o.settings, c.Name+" "+text)
		}
	}
	store := &variants{dir: filepath.Join(dir, variantsName)}
	var err error
	if o.record, err = store.record(row.Key); err != nil {
		return nil, err
	}
	if o.record == nil {
		return nil, &failure{code: ExitInput, message: fmt.Sprintf("the record of variant %d is not in %s", number, fromHere(store.at(row.Key))), hint: "compute the study again: what is there is not computed twice"}
	}
	return o, nil
}

// files is where the files of the variant are read: as the study kept them, or from the bench where an older study kept
// none.
func (o *opened) files(at place) (place, error) {
	kept := place{root: filepath.Join(o.dir, keptInputsName, o.record.Inputs), name: o.record.Run}
	switch {
	case o.record.Inputs != "" && isFile(kept.path(kept.name)):
		return kept, nil
	case at.root == "":
		return at, &failure{code: ExitInput, message: fmt.Sprintf("the files of variant %d are not kept in %s", o.number, fromHere(o.dir)), hint: "name the study's file instead of the folder of its results"}
	}
	at.name = o.record.Run
	return at, nil
}

// bench is where the files came from: the folder above the results in which the run file lies.
func (o *opened) bench(at place) string {
	if at.root != "" {
		return at.root
	}
	for dir, n := filepath.Dir(o.dir), 0; n < benchLevels; dir, n = filepath.Dir(dir), n+1 {
		if isFile(filepath.Join(dir, filepath.FromSlash(o.record.Run))) {
			return dir
		}
	}
	return ""
}

// load reads the variant's run, with its numbers in place of the files'.
func (o *opened) load(at place) (files place, loaded *bench.Run, base bench.Options, err error) {
	if files, err = o.files(at); err != nil {
		return at, nil, base, err
	}
	base = survey.Options(o.record.Settings)
	base.Excerpt = true
	loaded, problems := bench.LoadRun(files.fs(), files.name, base)
	if problems.Failed() {
		return files, nil, base, &failure{code: ExitInput, problems: files.named(problems)}
	}
	return files, loaded, base, nil
}

// loadVariant opens the variant that r.Variant names.
func (r *runCommand) loadVariant() (place, *bench.Run, error) {
	if r.Match != "" {
		return place{}, nil, &failure{code: ExitUsage, message: "--match does not go with --variant: a variant has the numbers of its study", hint: "leave one out"}
	}
	dir, at, err := studyResults(r.File, "--variant")
	if err != nil {
		return at, nil, err
	}
	d, err := readStudy(dir)
	if err != nil {
		return at, nil, err
	}
	o, err := findVariant(dir, d, r.Variant)
	if err != nil {
		return at, nil, err
	}
	files, loaded, base, err := o.load(at)
	if err != nil {
		return files, nil, err
	}
	r.base = base
	now := o.bench(at)
	o.lost = now == ""
	if !o.lost {
		o.changed = changedInputs(place{root: now}, entriesOf(loaded.Inputs))
	}
	o.other = o.record.Model != "" && farm.Key(&loaded.Problem, o.record.Model) != o.key
	loaded.Title += ": variant " + strconv.FormatInt(o.number, 10) + " of " + o.study
	if r.Output == "" {
		r.Output = filepath.Join(dir, openedName, "variant-"+strconv.FormatInt(o.number, 10))
	}
	r.opened = o
	return files, loaded, r.prepare(loaded)
}

// tells says which variant it is, whether its files have changed since, and whether its history is the kept one; doubt is
// what must not be missed.
func (o *opened) tells(h *history.History, model string) (info *account.OpenedVariant, doubt []string) {
	info = &account.OpenedVariant{Study: o.study, Number: o.number, Key: o.key, Settings: o.settings}
	info.Said = append(info.Said, fmt.Sprintf("Variant %d of the study %s: %s.", o.number, o.study, strings.Join(o.settings, ", ")))
	switch {
	case o.record.Inputs == "":
		info.Said = append(info.Said, "The study has not kept its files: they are read as they are now.")
	case o.lost:
		info.Said = append(info.Said, "It is computed from the files that the study kept; the bench that they came from is not found.")
	case len(o.changed) > 0:
		info.Said = append(info.Said, fmt.Sprintf("It is computed from the files that the study kept; changed since or gone: %s.", strings.Join(o.changed, ", ")))
	default:
		info.Said = append(info.Said, "Its files have not changed since.")
	}
	same, words := o.sameHistory(h)
	if o.other {
		words += " Its problem is not built as it was then."
	}
	if !same && o.record.Model != "" && o.record.Model != model {
		words += fmt.Sprintf(" It was computed by %s, and is now by %s.", o.record.Model, model)
	}
	info.Said = append(info.Said, words)
	info.Same = same
	if !same {
		doubt = append(doubt, words)
	}
	return info, doubt
}

// sameHistory compares a history with the kept one, digit by digit as tables have them.
func (o *opened) sameHistory(h *history.History) (bool, string) {
	if o.record.Failure != "" {
		return false, "Its run failed in the study: " + o.record.Failure + "."
	}
	var table bytes.Buffer
	if err := account.WriteCSV(&table, h); err == nil && shelf.Sum(table.Bytes()) == o.record.SHA256 {
		return true, "Its history equals the kept one to the last digit kept."
	}
	path := filepath.Join(o.dir, variantsName, o.key, "history.csv")
	raw, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, "Its history cannot be compared: the kept one is gone."
	case err != nil || shelf.Sum(raw) != o.record.SHA256:
		return false, "Its history cannot be compared: the kept one is damaged."
	}
	kept, ok := historyOf(raw, o.record.Columns, nil)
	if !ok {
		return false, "Its history cannot be compared: the kept one cannot be read."
	}
	return false, "Its history is not the kept one: " + widestGap(&kept, h) + "."
}

// widestGap says where two histories of one run differ most, measured by what the column spans.
func widestGap(a, b *history.History) string {
	if len(a.Time) != len(b.Time) || len(a.Columns) != len(b.Columns) {
		return fmt.Sprintf("%s and %s were kept, there are now %d and %d", counted(len(a.Time), "time"), counted(len(a.Columns), "column"), len(b.Time), len(b.Columns))
	}
	gaps, _ := history.Gaps(a, b)
	share, text := 0.0, "it differs in its last digits, or in where there are values"
	for _, g := range gaps {
		if s := math.Abs(g.Most) / (g.Span + 1e-9*math.Abs(g.A)); s > share {
			share, text = s, fmt.Sprintf("%s differs by %s at %s", g.Name, account.Amount(g.Quantity, math.Abs(g.Most), true), duration(g.At))
		}
	}
	return text
}
