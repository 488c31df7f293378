// Package logbook keeps what is told of a trial: the description and what its loggers wrote become a record's document
// and a heat balance. The command line and the page show the same, since both ask here.
//
// It opens no file but a logger's that Look guesses at: bench has read the trial, and trial and balance hold what is
// measured and reckoned. Left out: how it is shown.
//
//	loaded, problems := bench.LoadTrial(fsys, "trial.yaml", bench.Options{})
//	report, notes := logbook.Reduce(loaded)
//	document := logbook.Document(loaded)
package logbook
