package dish

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"emberbank/sample"
)

// Options say how many rays are cast.
type Options struct {
	Rays  int64      // at least so many, and no more than twice or one pass; 0: until Error is met
	Error float64    // wanted standard error of the power in the window, over that power; 0: 0.001
	Peak  float64    // the same for the flux of the bin at the peak; 0: twenty times Error
	Most  int64      // rays at which refining ends all the same; 0: 2²⁶
	Bins  int        // of the map along its longer side; 0: 64
	Half  [2]float64 // m, half the extent of the map; 0: what window and spot ask for
	Seed  uint64
	// Threads is how many work at a time; 0: one a core. Results do not depend on it.
	Threads int
	// Progress is told the rays cast so far and the error that they reach, after each pass; may be nil.
	Progress func(rays int64, error float64)
}

const (
	scramblings = 16
	meanRays    = 256 // that one unit sends to a piece of mean size, of one scrambling
	leastRays   = 16
	mostUnits   = 1 << 22
)

func (o Options) filled() Options {
	if o.Error <= 0 {
		o.Error = 0.001
	}
	if o.Peak <= 0 {
		o.Peak = 20 * o.Error
	}
	if o.Most <= 0 {
		o.Most = 1 << 26
	}
	if o.Bins <= 0 {
		o.Bins = 64
	}
	if o.Threads <= 0 {
		o.Threads = runtime.GOMAXPROCS(0)
	}
	return o
}

// Cast sends rays by a dish to the window's plane until the wanted error is met, and says where they end. When ctx ends,
// it gives up with an error that wraps the context's.
func Cast(ctx context.Context, d *Dish, opt Options) (*Result, error) {
	if err := d.Check(); err != nil {
		return nil, err
	}
	opt = opt.filled()
	c := d.ready()
	if err := c.lay(ctx, d, opt); err != nil {
		return nil, err
	}
	w, err := c.workers(opt)
	if err != nil {
		return nil, err
	}
	for {
		if err := w.pass(ctx, max(1, w.units), opt.Threads); err != nil {
			return nil, fmt.Errorf("casting rays: %w", err)
		}
		r := w.result(d)
		power, peak := r.errors()
		if opt.Progress != nil {
			opt.Progress(r.Rays, power)
		}
		enough := r.Rays >= opt.Rays
		if opt.Rays == 0 {
			enough = power <= opt.Error && peak <= opt.Peak || r.Rays >= opt.Most
		}
		if enough || w.units >= mostUnits {
			return r, nil
		}
	}
}

// ready prepares what every ray needs, but the map.
func (d *Dish) ready() *caster {
	c := &caster{
		focal: d.Focal, plane: d.Window.Distance, sun: d.Sun.directions(), tracking: d.Tracking, off: d.Off, normals: newNormals(),
		body: d.Body.ready(d.Window.Distance), window: d.Window,
	}
	c.layAngles()
	for i := range d.Arms {
		c.arms = append(c.arms, d.Arms[i].ready())
	}
	sum, n := 0.0, 0
	for i := range d.Pieces {
		if d.Pieces[i].Present {
			c.pieces = append(c.pieces, newPiece(&d.Pieces[i], d.Focal))
			sum, n = sum+c.pieces[n].area, n+1
		}
	}
	for i := range c.pieces {
		p := &c.pieces[i]
		// A power of two: so many points of a sequence lie most evenly.
		p.rays = max(leastRays, 1<<max(0, int(math.Round(math.Log2(meanRays*p.area*float64(n)/sum)))))
		p.per = p.area / float64(p.rays)
	}
	return c
}

// lay sets the map's extent: the window and somewhat more, or the spot where that is larger, up to three windows.
func (c *caster) lay(ctx context.Context, d *Dish, opt Options) error {
	reach := [2]float64{math.Abs(c.window.Centre[0]) + c.window.Width/2, math.Abs(c.window.Centre[1]) + c.window.Height/2}
	longer := math.Max(reach[0], reach[1])
	c.half, c.bins, c.perBin = [2]float64{3 * longer, 3 * longer}, [2]int{1, 1}, 1/(6*longer)
	c.curves(8)
	if opt.Half[0] > 0 && opt.Half[1] > 0 {
		c.half = opt.Half
	} else {
		w, err := c.workers(Options{Seed: opt.Seed ^ 0x100c})
		if err != nil {
			return err
		}
		if err := w.pass(ctx, 1, opt.Threads); err != nil {
			return fmt.Errorf("looking for the spot: %w", err)
		}
		spot := w.reachOf(0.99)
		for a := range c.half {
			c.half[a] = math.Max(1.15*reach[a], math.Min(1.1*spot, 3*longer))
		}
	}
	c.perBin = float64(opt.Bins) / (2 * math.Max(c.half[0], c.half[1]))
	for a := range c.bins {
		c.bins[a] = max(1, int(math.Ceil(2*c.half[a]*c.perBin-1e-9)))
		c.half[a] = float64(c.bins[a]) / c.perBin / 2
	}
	c.curves(math.Max(2, math.Min(6, math.Max(c.half[0]/(c.window.Width/2), c.half[1]/(c.window.Height/2)))))
	return nil
}

// curves sets how far the curves over the window's size reach, in windows.
func (c *caster) curves(times float64) {
	c.perShare = sizeBins / times
	c.perRadius = sizeBins / (times * math.Max(c.window.Width, c.window.Height) / 2)
}

// work is a cast under way: one tally and one stream for each scrambling.
type work struct {
	c       *caster
	seed    uint64
	tallies []tally
	streams []*sample.Stream
	units   int64
}

func (c *caster) workers(opt Options) (*work, error) {
	w := &work{c: c, seed: opt.Seed, tallies: make([]tally, scramblings), streams: make([]*sample.Stream, scramblings)}
	for i := range w.tallies {
		w.tallies[i].flux = make([]float64, c.bins[0]*c.bins[1])
		var err error
		if w.streams[i], err = sample.NewStream(columns, opt.Seed*scramblings+uint64(i)+1); err != nil {
			return nil, err
		}
	}
	return w, nil
}

// pass casts so many units more of every scrambling.
func (w *work) pass(ctx context.Context, units int64, threads int) error {
	var next atomic.Int64
	var crew sync.WaitGroup
	for range min(threads, scramblings) {
		crew.Go(func() {
			for i := next.Add(1) - 1; i < scramblings; i = next.Add(1) - 1 {
				for k := range w.c.pieces {
					if ctx.Err() != nil {
						return
					}
					p := &w.c.pieces[k]
					w.streams[i].Begin(w.units*int64(p.rays), w.seed*0x9e3779b97f4a7c15^uint64(k)<<8^uint64(i))
					w.c.cast(&w.tallies[i], p, w.streams[i], int(units)*p.rays)
				}
			}
		})
	}
	crew.Wait()
	w.units += units
	return ctx.Err()
}

// reachOf returns the distance from the window's centre within which a share of what meets the plane lies, as far as the
// curve reaches.
func (w *work) reachOf(share float64) float64 {
	var sum [sizeBins]float64
	total := 0.0
	for i := range w.tallies {
		t := &w.tallies[i]
		total += t.end[InWindow] + t.end[Spilled]
		for k, x := range t.round {
			sum[k] += x
		}
	}
	got := 0.0
	for k, x := range sum {
		if got += x; got >= share*total {
			return float64(k+1) / w.c.perRadius
		}
	}
	return sizeBins / w.c.perRadius
}
