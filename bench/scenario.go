package bench

import (
	"embed"
	"io/fs"
)

//go:embed scenario/*.yaml scenario/*.csv scenario/*.md scenario/trials
var scenario embed.FS

// WriteScenario returns the files of the worked scenario that "emberbank new" writes: a bakery's dish-charged
// block of tin in aluminium. Its data are invented.
func WriteScenario() fs.FS {
	sub, err := fs.Sub(scenario, "scenario")
	if err != nil {
		panic(err) // the folder is part of the program
	}
	return sub
}
