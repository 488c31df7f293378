package farm

import "sync"

// Times is where the time of a job's own workers went, in s, added up over them and over calls of Work.
type Times struct {
	mu     sync.Mutex
	Waited float64 // for the queue to hand over a task that it had
	Built  float64 // building the problems of tasks
	Ran    float64 // running them
	Kept   float64 // waiting for what they gave before to be kept
}

// add counts what a worker spent on one task; a job without times counts nothing.
func (t *Times) add(waited, built, ran, kept float64) {
	if t == nil {
		return
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.Waited += waited
	t.Built += built
	t.Ran += ran
	t.Kept += kept
}
