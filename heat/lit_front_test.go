package heat

import (
	"fmt"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/receiver"
)

// A probe near a lit face follows the face through the onset of melting and behind the front. Exact: a front that runs
// into a long cold solid at a steady speed v, as the flux on its face rises with exp(v² t/α). Before it the solid, and
// from t = 0 on behind it the melt stand at
//
//	T = T0 + (Tm - T0) exp(-v (x - v t)/α),   T = Tm + (L + c (Tm - T0))/c' (exp(v (v t - x)/α') - 1)
//
// with α, c of the solid and α', c' of the melt; the flux is that at x = 0. Source: Carslaw & Jaeger, Conduction of Heat
// in Solids, 2nd ed. 1959, chapter XI (the front at a steady speed; the chapter from memory); both lines fulfil the
// equation of conduction and the balance at the front by insertion. The cold solid starts 8 α/v² before.
//
// Rows are read at every second, within steps and at their ends; from one to the next the probe must move as the exact
// solution does, but for what cells of a given size blur.
func TestProbeNearALitFaceFollowsTheFrontSmoothly(t *testing.T) {
	const (
		rho, ks, kl, cs, cl  = 2800.0, 2.0, 1.5, 600.0, 700.0
		latent, cold, fusion = 33000.0, 400.0, 500.0
		speed, length        = 1e-4, 0.1
		as, al               = ks / (rho * cs), kl / (rho * cl)
		before, after        = 8 * as / (speed * speed), 100.0
		tall                 = 0.01
	)
	flux := func(x float64, melted bool) float64 {
		if melted {
			return rho * speed * (latent + cs*(fusion-cold)) * math.Exp(speed*speed*x/al)
		}
		return rho * speed * cs * (fusion - cold) * math.Exp(speed*speed*x/as)
	}
	exact := func(x, at float64) float64 {
		if ahead := at - speed*x; ahead >= 0 || x < 0 {
			return cold + (fusion-cold)*math.Exp(-speed*ahead/as)
		}
		return fusion + (latent+cs*(fusion-cold))/cl*(math.Exp(speed*(speed*x-at)/al)-1)
	}
	for _, c := range []struct {
		cells     int
		off, jump float64 // K, and K more than the exact solution moves in a second
	}{{20, 25, 2.5}, {40, 8, 2.5}, {80, 3, 2.5}} {
		t.Run(fmt.Sprintf("cells of %g mm", 1e3*length/float64(c.cells)), func(t *testing.T) {
			var power duty.Signal
			for i := 0.0; i <= 100; i++ {
				x := -before + before*i/100
				power.T, power.V = append(power.T, x+before), append(power.V, tall*tall*flux(x, false))
			}
			for i := 0.0; i <= 20; i++ { // knots end steps: few
				x := after * i / 20
				power.T, power.V = append(power.T, x+before), append(power.V, tall*tall*flux(x, true))
			}
			p := bar(length, c.cells, melting(rho, ks, kl, cs, cl, latent, fusion), 0, cold)
			p.Receiver.Surfaces[block.Front].Kind = receiver.Adiabatic
			p.Receiver.Window = &receiver.Window{Opening: p.Receiver.Block, Absorptance: 1}
			p.Duty.Light, p.Duty.Switches.Light = &duty.Light{Power: power, Absorbed: true}, true
			for _, mm := range []float64{0, 0.5, 2} {
				p.Probes = append(p.Probes, Probe{Name: fmt.Sprint(mm), At: block.Point{mm / 1e3, tall / 2, tall / 2}})
			}
			p.Until = before + after
			for x := before - 60; x <= p.Until; x++ {
				p.Output = append(p.Output, x)
			}
			r := solve(t, p)
			for i := range p.Probes {
				v, at := values(t, r, p.Probes[i].Name), p.Probes[i].At[0]
				if at > length/float64(c.cells) {
					continue // a later cell than the lit one
				}
				off, jump := 0.0, 0.0
				for n, x := range r.History.Time {
					e := v[n] - exact(x-before, at)
					off = math.Max(off, math.Abs(e))
					if n > 0 {
						jump = math.Max(jump, math.Abs(e-(v[n-1]-exact(r.History.Time[n-1]-before, at))))
					}
				}
				t.Logf("%s mm: within %.2f K, from row to row within %.2f K", p.Probes[i].Name, off, jump)
				if off > c.off || jump > c.jump {
					t.Errorf("the probe %s mm behind the face is off by %.2f K and jumps by %.2f K; wanted %g K and %g K", p.Probes[i].Name, off, jump, c.off, c.jump)
				}
			}
		})
	}
}

// A block of one cell between warm and cold air through films h, its melting point between: when nothing moves any
// longer, A ΔT/(1/h + length/k + 1/h) flows, by resistances in series, melting or not.
func TestOneCellBetweenTwoFilmsComesToRest(t *testing.T) {
	const h, k, length, tall, hot, cold = 500.0, 20.0, 0.1, 0.01, 873.15, 293.15
	p := bar(length, 1, melting(2100, k, k, 1000, 1000, 60000, 693.15), 0, 688.15)
	p.cool(block.Front, h, hot, 0)
	p.cool(block.Back, h, cold, 0)
	p.every(600, 4*3600)
	r := solve(t, p)
	want := tall * tall * (hot - cold) / (1/h + length/k + 1/h)
	for name, w := range map[string]float64{"lost front": -want, "lost back": want} {
		v := values(t, r, name)
		if got := v[len(v)-1]; math.Abs(got-w) > 1e-3*want {
			t.Errorf("%s is %.4f W at rest, want %.4f", name, got, w)
		}
	}
}
