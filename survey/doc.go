// Package survey runs a study and says what follows from it: it knows which variants there are, has farm run them, and lets
// answer judge what came out.
//
// It is handed all that touches the world outside: the files, the store, the queue, a clock, and whom to ask before
// much is computed. It opens nothing and prints nothing; what it gives is a account.Varied, plain values and sentences.
//
// A variant is what its settings make of the run's files (Build), and nothing else: whoever has the files and the
// settings of a record can compute it again, on another machine or when it is opened.
//
//	result, err := (&survey.Survey{Asked: study, Files: files, Job: farm.Job{Store: store, Workers: 2}}).Work(ctx)
package survey
