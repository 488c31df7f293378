package cli

import (
	"fmt"
	"runtime"
)

type versionCommand struct {
	JSON bool `name:"json"`
}

func (v *versionCommand) wantsJSON() bool { return v.JSON }

// versionJSON is what `version --json` prints.
type versionJSON struct {
	Version string `json:"version"`
	Build   string `json:"build,omitempty"`
	Go      string `json:"go"`
	System  string `json:"system"`
	Machine string `json:"machine"`
}

func (v *versionCommand) run(c *call) error {
	d := versionJSON{Version, build, runtime.Version(), runtime.GOOS, runtime.GOARCH}
	if v.JSON {
		c.printJSON(d)
		return nil
	}
	more := ""
	if d.Build != "" {
		more = " (" + d.Build + ")"
	}
	fmt.Fprintf(c.out, "emberbank %s%s, %s, %s %s\n", d.Version, more, d.Go, d.System, d.Machine)
	return nil
}
