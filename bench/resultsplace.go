package bench

import (
	"path"
	"strings"
)

// ResultsFolder is the folder, beside a bench's files, that takes what was computed from them.
const ResultsFolder = "results"

// Results is the folder that takes the results of a file where nothing else is said, with forward slashes: results/FILE
// beside it.
func Results(name string) string {
	base := path.Base(name)
	return path.Join(path.Dir(name), ResultsFolder, SafeName(strings.TrimSuffix(base, path.Ext(base))))
}

// SafeName turns a run's name into a folder's name that every system takes: the characters that Windows refuses
// become dashes, and its device names get an underscore.
func SafeName(name string) string {
	name = strings.Map(func(r rune) rune {
		if r < ' ' || strings.ContainsRune(`<>:"/\|?*`, r) {
			return '-'
		}
		return r
	}, name)
	name = strings.TrimRight(name, ". ")
	stem, _, _ := strings.Cut(strings.ToUpper(name), ".")
	switch {
	case name == "":
		return "run"
	case stem == "CON" || stem == "PRN" || stem == "AUX" || stem == "NUL",
		len(stem) == 4 && (strings.HasPrefix(stem, "COM") || strings.HasPrefix(stem, "LPT")) && stem[3] >= '1' && stem[3] <= '9':
		return "_" + name
	}
	return name
}
