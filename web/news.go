package web

import "sync"

// Moved is what the page is told while something goes on: where a run stands.
type Moved struct {
	Run     string  `json:"run" doc:"run file, relative to the bench"`
	State   string  `json:"state" enum:"computing,done,stopped,mistaken,failed" doc:"what is going on"`
	Coarse  bool    `json:"coarse" doc:"the answer at hand is a coarse one"`
	Old     bool    `json:"old" doc:"the answer at hand is of the files as they were before their last change"`
	Does    string  `json:"computes" enum:"nothing,coarse,whole" doc:"which answer is being computed; nothing: none, or the files are being read"`
	Reached float64 `json:"reached_s" doc:"how far the march has got"`
	Until   float64 `json:"until_s" doc:"where it ends"`
	Left    float64 `json:"left_s" doc:"wall time that is left, about; 0: not known"`
	Rows    int     `json:"rows" doc:"rows of the history at hand"`
	Answer  int     `json:"answer" doc:"grows when another answer takes the place of the one at hand"`
	Read    int     `json:"read" doc:"grows when the files have been read again without a mistake, so that the drawing may be another"`
}

// news hands what happens, each a Moved, a Job or a Cast, to every page that listens. A page that is slow misses steps between and gets the last.
type news struct {
	mu      sync.Mutex
	readers map[chan any]bool
}

// listen returns a channel of what happens from now on; stop ends it.
func (n *news) listen() (moves <-chan any, stop func()) {
	c := make(chan any, 64)
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.readers == nil {
		n.readers = map[chan any]bool{}
	}
	n.readers[c] = true
	return c, func() {
		n.mu.Lock()
		defer n.mu.Unlock()
		delete(n.readers, c)
	}
}

func (n *news) tell(m any) {
	n.mu.Lock()
	defer n.mu.Unlock()
	for c := range n.readers {
		for sent := false; !sent; {
			select {
			case c <- m:
				sent = true
			default: // full: the oldest goes
				select {
				case <-c:
				default:
				}
			}
		}
	}
}
