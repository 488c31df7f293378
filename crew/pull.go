package crew

import (
	"context"
	"sync"
	"time"

	"github.com/nats-io/nats.go/jetstream"
)

// pull fetches messages for those who wait for one, and keeps what comes when nobody waits any more for who waits next: a
// study asks for variants in several goes, and what was under way to it when one ended is not lost.
type pull struct {
	c       jetstream.Consumer
	ctx     context.Context // of the queue, not of a go
	got     chan jetstream.Msg
	mu      sync.Mutex
	waiting int
	asked   int // fetches under way
}

func newPull(ctx context.Context, c jetstream.Consumer) *pull {
	return &pull{c: c, ctx: ctx, got: make(chan jetstream.Msg, room)}
}

// next waits for a message.
func (p *pull) next(ctx context.Context) (jetstream.Msg, error) {
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	p.mu.Lock()
	p.waiting++
	if p.asked < p.waiting-len(p.got) {
		p.asked++
		go p.fetch()
	}
	p.mu.Unlock()
	defer func() {
		p.mu.Lock()
		p.waiting--
		p.mu.Unlock()
	}()
	select {
	case m := <-p.got:
		return m, nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// fetch asks the server until a message comes, or nobody waits for it.
func (p *pull) fetch() {
	for {
		m, err := fetch(p.ctx, p.c, 5*time.Second)
		if err != nil {
			pause(p.ctx, time.Second)
		}
		p.mu.Lock()
		if m != nil {
			p.asked--
			p.mu.Unlock()
			p.got <- m
			return
		}
		if p.ctx.Err() != nil || p.asked > p.waiting {
			p.asked--
			p.mu.Unlock()
			return
		}
		p.mu.Unlock()
	}
}
