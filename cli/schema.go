package cli

import "emberbank/bench"

type schemaCommand struct {
	Kind string `arg:""`
}

func (s *schemaCommand) run(c *call) error {
	text, err := bench.Schema(s.Kind)
	if err != nil {
		return &failure{code: ExitUsage, message: err.Error()}
	}
	_, _ = c.out.Write(text) // watched
	return nil
}
