package dossier

import (
	"encoding/csv"
	"io"

	"emberbank/heat"
	"emberbank/history"
)

// writeChain writes the resistances between block and water, one row per output time, pass and link, in the
// order from the block to the water.
func writeChain(w io.Writer, chains []heat.Chain) error {
	rows := csv.NewWriter(w)
	if err := rows.Write([]string{"time [s]", "pass", "state", "block [degC]", "water [degC]", "heat [W]", "link", "resistance [K/W]", "share [1]"}); err != nil {
		return err
	}
	for _, c := range chains {
		for _, l := range c.Links {
			err := rows.Write([]string{
				decimal(c.Time), c.Pass, c.State, decimal(shown(history.Temperature, c.Block)), decimal(shown(history.Temperature, c.Water)),
				decimal(c.Heat), l.Name, decimal(l.Resistance), decimal(l.Share),
			})
			if err != nil {
				return err
			}
		}
	}
	rows.Flush()
	return rows.Error()
}
