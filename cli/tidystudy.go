package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"

	"emberbank/bench"
	"emberbank/shelf"
)

// isStudyResults tells whether a folder holds what a study has written.
func isStudyResults(dir string) bool {
	if !isFolder(filepath.Join(dir, variantsName)) {
		return false
	}
	if isFile(filepath.Join(dir, outcomeName, studyDocumentName)) {
		return true
	}
	if isFolder(filepath.Join(dir, queueName)) { // it was killed before the first record
		return true
	}
	records, _ := filepath.Glob(filepath.Join(escaped(dir), variantsName, "*", recordName))
	return len(records) > 0
}

// study looks at the results of a study: what it no longer asks for, and the variants that were opened. Nothing is offered
// while the study runs, or where its files ask for something else than its outcome holds.
func (t *tidying) study(dir string) error {
	outcome := filepath.Join(dir, outcomeName)
	if err := whoWrites(outcome); err != nil {
		t.leave(fromHere(dir), err.Error(), dir)
		return nil
	}
	if err := t.opened(dir); err != nil {
		return err
	}
	for _, folder := range []string{variantsName, keptInputsName} {
		parts, err := filepath.Glob(filepath.Join(escaped(dir), folder, unfinishedBegin+"*"))
		if err != nil {
			return disk("reading the folder "+fromHere(dir), err)
		}
		for _, p := range parts {
			t.add("parts", p, outcome, p)
		}
	}
	if queue := filepath.Join(dir, queueName); isFolder(queue) { // the next start takes it over, and does without it too
		t.add("parts", queue, outcome, queue)
	}
	m := readManifest(outcome)
	if m == nil {
		t.leave(fromHere(dir), "the study has not ended yet: the same command goes on from there", filepath.Join(dir, variantsName))
		return nil
	}
	asked, err := keysOf(outcome)
	if err != nil {
		return err
	}
	return t.unasked(dir, m, asked)
}

// opened offers the variants that were opened: the study keeps all that is needed to open them again.
func (t *tidying) opened(dir string) error {
	below := filepath.Join(dir, openedName)
	entries, err := os.ReadDir(below)
	if err != nil {
		return nil // none was
	}
	t.beside(below)
	for _, e := range entries {
		target := filepath.Join(below, e.Name())
		if m := readManifest(target); m == nil || !e.IsDir() || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		f := &folder{target: target}
		if _, err := f.standing(); err != nil {
			t.leave(fromHere(target), "it holds something that no run has written", target)
			continue
		}
		if err := whoWrites(target); err != nil {
			t.leave(fromHere(target), err.Error(), target)
			continue
		}
		t.add("opened", target, target, target)
	}
	return nil
}

// keyText finds the names of records in a study's document, in whatever place they stand: the keys of variants, of the present
// design and of runs that answers needed besides, with the time limit that one did not keep.
var keyText = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`"key":\s*"([^"]+)"`) })

// keysOf are the keys that an outcome hangs on.
func keysOf(outcome string) (map[string]bool, error) {
	path := filepath.Join(outcome, studyDocumentName)
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, disk("reading "+fromHere(path), err)
	}
	keys := map[string]bool{}
	for _, m := range keyText().FindAllSubmatch(raw, -1) {
		keys[string(m[1])] = true
	}
	return keys, nil
}

// unasked offers records under keys that the outcome does not hold, and sets of files that no other record is from.
func (t *tidying) unasked(dir string, m *shelf.Manifest, asked map[string]bool) error {
	store := &variants{dir: filepath.Join(dir, variantsName)}
	entries, err := os.ReadDir(store.dir)
	if err != nil {
		return disk("reading "+fromHere(store.dir), err)
	}
	var records []string
	sets := map[string]bool{inputSet(inputsOf(m.Inputs)): true}
	for _, e := range entries {
		switch {
		case !e.IsDir() || strings.HasPrefix(e.Name(), "."):
		case !asked[e.Name()]:
			if isFile(filepath.Join(store.at(e.Name()), recordName)) {
				records = append(records, store.at(e.Name()))
			}
		default:
			if j, err := store.record(e.Name()); err == nil && j != nil {
				sets[j.Inputs] = true
			}
		}
	}
	var inputs []string
	if kept, err := os.ReadDir(filepath.Join(dir, keptInputsName)); err == nil {
		for _, e := range kept {
			if e.IsDir() && !sets[e.Name()] && isSetName(e.Name()) {
				inputs = append(inputs, filepath.Join(dir, keptInputsName, e.Name()))
			}
		}
	}
	if len(records)+len(inputs) == 0 {
		return nil
	}
	if _, changed := benchOf(dir, m); len(changed) > 0 {
		t.leave(fmt.Sprintf("%s that the last outcome of %s does not hold", counted(len(records), "variant"), fromHere(dir)),
			"the study's files have changed since, or are not found above this folder ("+strings.Join(changed, ", ")+"): run the study first, it may ask for them", records...)
		return nil
	}
	outcome := filepath.Join(dir, outcomeName)
	t.add("records", dir, outcome, records...)
	t.add("inputs", dir, outcome, inputs...)
	return nil
}

// isSetName tells whether a set of kept files can be named so: inputSet writes 16 small hexadecimal digits.
func isSetName(name string) bool {
	return len(name) == 16 && strings.Trim(name, "0123456789abcdef") == ""
}

// inputsOf are files of a manifest as what was read.
func inputsOf(files []shelf.Entry) []bench.Input {
	inputs := make([]bench.Input, len(files))
	for i, f := range files {
		inputs[i] = bench.Input(f)
	}
	return inputs
}
