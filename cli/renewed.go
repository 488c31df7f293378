package cli

import (
	"fmt"
	"path/filepath"
)

// renewing is the command that args give, as they stand in shelf.Kept for the bench in the folder root, as if it had been typed in
// that folder. It prints one document. threads bounds what it computes with; 0: all cores.
func renewing(root string, args []string, threads int) (command, error) {
	parsed, err := parse(args)
	if err != nil {
		return nil, err
	}
	at := func(names ...*string) {
		for _, n := range names {
			if *n != "" {
				*n = filepath.Join(root, filepath.FromSlash(*n))
			}
		}
	}
	each := func(names []string) {
		for i := range names {
			at(&names[i])
		}
	}
	switch k := parsed.(type) {
	case *runCommand:
		at(&k.File, &k.Output, &k.Match)
		k.Threads, k.JSON, k.Quiet = threads, true, true
	case *matchCommand:
		at(&k.File, &k.Output)
		k.Threads, k.JSON, k.Quiet = threads, true, true
	case *planCommand:
		at(&k.File, &k.Output)
		k.Threads, k.JSON, k.Quiet = threads, true, true
	case *studyCommand:
		at(&k.File, &k.Output, &k.Match)
		k.Workers, k.JSON, k.Quiet = threads, true, true
	case *lightCommand:
		at(&k.File, &k.Output)
		k.Threads, k.JSON, k.Quiet = threads, true, true
	case *trialCommand:
		each(k.Files)
		at(&k.Output)
		k.JSON, k.Quiet = true, true
	case *compareCommand:
		each(k.Files)
		at(&k.Output)
		k.JSON, k.Quiet = true, true
	default:
		return nil, &failure{code: ExitUsage, message: fmt.Sprintf("%s renews no result", args[0])}
	}
	return parsed, nil
}
