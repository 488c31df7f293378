package cli

import (
	"fmt"
	"runtime"
)

// limit returns the number of threads to use of those asked for, and says so where it is fewer: more than the machine
// has cores would take memory and turns, and give nothing. 0 stands for all cores.
func (c *call) limit(asked int, quiet bool) (int, error) {
	if asked < 0 {
		return 0, &failure{code: ExitUsage, message: fmt.Sprintf("--threads is %d", asked), hint: "give 1 or more; 0, or none, means all cores"}
	}
	cores := runtime.GOMAXPROCS(0)
	if asked <= cores {
		return asked, nil
	}
	if !quiet {
		fmt.Fprintf(c.err, "--threads is %d: %d are used, as many as this machine has cores\n", asked, cores)
	}
	return cores, nil
}

// threads is the number of threads behind one that was asked for.
func threads(asked int) int {
	if asked > 0 {
		return asked
	}
	return runtime.GOMAXPROCS(0)
}
