package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strconv"
	"strings"

	"emberbank/account"
	"emberbank/bench"
	"emberbank/farm"
	"emberbank/survey"
)

// A variant of a study is looked at as a run whose name is the study's file, a # and its number, from 1, as the table counts:
//
//	insulation.yaml#3
//
// It is computed from the files that the study has kept, with the variant's numbers in place of theirs.

// variantNamed reads such a name.
func variantNamed(name string) (study string, number int, ok bool) {
	study, text, ok := strings.Cut(name, "#")
	if !ok {
		return "", 0, false
	}
	number, err := strconv.Atoi(text)
	return study, number, err == nil && number > 0 && strconv.Itoa(number) == text
}

// mayRun says why a name cannot be looked at as a run.
func (d *Desk) mayRun(name string) error {
	file := name
	if study, _, ok := variantNamed(name); ok {
		file = study
	}
	if !mayOpen(file) {
		return errName
	}
	if _, err := fs.Stat(d.root.FS(), file); err != nil {
		return errNoFile
	}
	return nil
}

// loadRun reads a run, or a variant.
func (d *Desk) loadRun(name string) (*bench.Run, bench.Problems) {
	study, number, ok := variantNamed(name)
	if !ok {
		return bench.LoadRun(d.root.FS(), name, bench.Options{})
	}
	loaded, problems, err := d.loadVariant(study, number)
	if err != nil {
		return nil, bench.Problems{{File: study, Message: fmt.Sprintf("variant %d cannot be opened: %v", number, err), Fix: "compute the study again: what is there is not computed twice"}}
	}
	return loaded, problems
}

// variantRecord is what is read here of a variant's record.json.
type variantRecord struct {
	Run      string
	Inputs   string
	Settings []farm.Setting
}

// variantOf finds the record of a variant, and what it differs by, in words.
func (d *Desk) variantOf(study string, number int) (record variantRecord, words string, err error) {
	raw, _, err := d.readResult(studyResult(study))
	if err != nil {
		return record, "", errors.New("the study has no results")
	}
	var doc account.StudyJSON
	if err := json.Unmarshal(raw, &doc); err != nil || doc.Schema != account.StudySchema {
		return record, "", errors.New("its results are not of this version")
	}
	if number > len(doc.Variants) {
		return record, "", fmt.Errorf("the study has %d variants", len(doc.Variants))
	}
	row := &doc.Variants[number-1]
	key := row.Key
	if key == "" || !fs.ValidPath(key) || strings.Contains(key, "/") {
		return record, "", fmt.Errorf("it has no results: %s", row.Failure)
	}
	var parts []string
	for i := range doc.Columns {
		if c := &doc.Columns[i]; c.Is == "axis" && i < len(row.Values) && row.Values[i] != nil {
			parts = append(parts, c.Name+" "+c.Show(*row.Values[i]))
		}
	}
	raw, _, err = d.readResult(path.Join(bench.Results(study), "variants", key, "record.json"))
	if err != nil || json.Unmarshal(raw, &record) != nil {
		return record, "", errors.New("its record is gone")
	}
	return record, fmt.Sprintf("variant %d of %s: %s", number, doc.Name, strings.Join(parts, ", ")), nil
}

// loadVariant reads a variant's run from the files that the study has kept, or from the bench where it has kept none.
func (d *Desk) loadVariant(study string, number int) (*bench.Run, bench.Problems, error) {
	record, words, err := d.variantOf(study, number)
	if err != nil {
		return nil, nil, err
	}
	files := d.root.FS()
	if record.Inputs != "" {
		kept := path.Join(bench.Results(study), "inputs", record.Inputs)
		if !fs.ValidPath(kept) || !isThere(files, path.Join(kept, record.Run)) {
			return nil, nil, errors.New("its files are not kept any more")
		}
		if files, err = fs.Sub(files, kept); err != nil {
			return nil, nil, fmt.Errorf("reading the files that are kept: %w", err)
		}
	}
	options := survey.Options(record.Settings)
	options.Excerpt = true
	loaded, problems := bench.LoadRun(files, record.Run, options)
	if loaded != nil {
		loaded.Title = words
	}
	return loaded, problems, nil
}
