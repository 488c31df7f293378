package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"

	"emberbank/bench"
	"emberbank/shelf"
)

// keptInputsName is the folder of a study's results that keeps the files from which variants were computed, each set of
// files once, as a small bench under a name made of their content:
//
//	results/STUDY/inputs/0f3a…/study.yaml, run.yaml, receiver.yaml, …
//
// So a variant can be opened when the bench has long changed.
const keptInputsName = "inputs"

// inputSet names a set of files by their names and contents.
func inputSet(inputs []bench.Input) string {
	sum := sha256.New()
	for _, in := range inputs {
		fmt.Fprintf(sum, "%d %s %s\n", len(in.Name), in.Name, in.SHA256)
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}

// keepInputs copies the files of a study below dir unless they stand there, and returns the name of their set. The lock
// of the study is held.
func keepInputs(dir string, at place, inputs []bench.Input, d disks) (string, error) {
	set := inputSet(inputs)
	dir = filepath.Join(dir, keptInputsName)
	target, part := filepath.Join(dir, set), filepath.Join(dir, unfinishedBegin+set)
	if err := os.RemoveAll(part); err != nil {
		return "", disk("clearing "+part, err)
	}
	if len(changedInputs(place{root: target}, entriesOf(inputs))) == 0 {
		return set, nil
	}
	doing := "keeping the study's files in " + target
	defer func() { _ = os.RemoveAll(part) }() // nothing is there where it was moved
	for _, in := range inputs {
		raw, err := os.ReadFile(at.path(in.Name))
		if err != nil {
			return "", disk("reading "+at.shown(in.Name), err)
		}
		if shelf.Sum(raw) != in.SHA256 {
			return "", &failure{code: ExitDisk, message: at.shown(in.Name) + " was changed while it was read", hint: "start again"}
		}
		to := filepath.Join(part, filepath.FromSlash(in.Name))
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return "", disk(doing, err)
		}
		if err := writeNew(to, raw, d); err != nil {
			return "", disk(doing, err)
		}
	}
	if err := os.RemoveAll(target); err != nil { // one that somebody has changed
		return "", disk(doing, err)
	}
	if err := os.Rename(part, target); err != nil {
		return "", disk(doing, err)
	}
	return set, nil
}

// hashOfFile is the hash of a file's bytes; "" where it cannot be read.
func hashOfFile(path string) string {
	return shelf.SumOf(os.DirFS(filepath.Dir(path)), filepath.Base(path))
}

// changedInputs lists those files that are no longer as they were read, or are gone.
func changedInputs(at place, inputs []shelf.Entry) (names []string) {
	return shelf.Changed(inputs, func(name string) string { return hashOfFile(at.path(name)) })
}
