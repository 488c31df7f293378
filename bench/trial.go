package bench

import (
	"io/fs"
	"math"
	"slices"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/heat"
	"emberbank/material"
	"emberbank/receiver"
	"emberbank/trial"
	"emberbank/unit"
)

// Trial is a trial's description with what its loggers measured.
type Trial struct {
	Name     string
	Record   *trial.Record
	Receiver *receiver.Receiver // nil where none is named
	Duty     *duty.Duty         // nil where none is named
	Probes   []heat.Probe       // the receiver's temperatures with a position, as sensors with their lag
	Lump     *Lump              // nil where none is given
	Uptakes  []Uptake
	Ambient  Ambient
	Inputs   []Input  // every file that was read, loggers' files too
	Warnings []string // doubtful but usable
	Doubts   Problems // the warnings, with their places
}

// Lump is a storage known by its mass and heat capacity alone.
type Lump struct {
	Mass         float64 // kg
	HeatCapacity float64 // J/(kg K)
	U            float64 // relative standard uncertainty of their product
}

// Ambient is the temperature of the air as the description states it, for where no channel measures it.
type Ambient struct {
	Value float64 // K; 0: not stated
	U     float64 // K, standard uncertainty; 0: not stated
}

// Uptake makes watts into the receiver of a source's reading.
type Uptake struct {
	Of     string  // the column
	Factor float64 // W for one W, or for one W/m²
	U      float64 // relative standard uncertainty of Factor
}

// LoadTrial reads a trial's description, its loggers' files, and its receiver and duty where it names them. Problems
// hold mistakes only; warnings stand in Trial.Warnings. After a mistake Trial is nil.
func LoadTrial(fsys fs.FS, name string, opt Options) (*Trial, Problems) {
	r := newReader(fsys, opt)
	t := r.loadTrial(name)
	if r.problems.Failed() {
		return nil, r.sorted()
	}
	return t, nil
}

// trialPlan is a trial while it is being built.
type trialPlan struct {
	r     *reader
	v     *value
	setup trial.Setup
	rec   *plan
	names map[string]*value
	// chans holds the value of each channel, by logger and channel.
	loggers []*value
	chans   [][]*value
	strays  []stray // sensors outside the solid
}

// loadTrial reads and builds a trial.
func (r *reader) loadTrial(name string) *Trial {
	p, duty := r.describeTrial(name)
	if p == nil {
		return nil
	}
	v := p.v
	p.follow()
	if r.problems.Failed() {
		p.columns()
		return nil
	}
	logs := p.decode()
	if r.problems.Failed() {
		return nil
	}
	record, found := trial.Join(&p.setup, logs)
	p.report(found)
	if record == nil || r.problems.Failed() {
		return nil
	}
	for _, x := range v.get("phases").items() {
		if to := x.get("to"); to.must() > record.Length()*(1+1e-9)+record.Interval {
			r.wrong(to, "the record ends before", "up to "+unit.Format(record.Length(), unit.Time, "s"), "end the phase within the record, which begins at from where that is given")
		}
	}
	out := &Trial{Name: p.setup.Name, Record: record, Inputs: r.inputs, Duty: duty}
	if p.rec != nil {
		out.Receiver = &p.rec.out
	}
	if b := v.get("block"); b != nil {
		out.Lump = &Lump{b.get("mass").num, b.get("heat capacity").num, b.get("within").number(0) / half95}
	}
	if a := v.get("ambient"); a != nil {
		out.Ambient.Value = a.must()
		for _, u := range r.uncertain {
			if u.Path == "ambient" {
				out.Ambient.U = u.Half / half95
			}
		}
		if i := slices.IndexFunc(record.Columns, func(c trial.Column) bool { return c.Role == trial.Ambient }); i >= 0 {
			r.wrong(a, "a channel measures it already", "one of the two", "take this out, or the channel at the place ambient")
		}
	}
	p.uptakes(out)
	suspicions := trial.Suspect(record, p.body(out))
	for i := range suspicions {
		suspicions[i].Doubt = suspicions[i].Doubt || v.get("trust mapping").yes(false)
		if !suspicions[i].Doubt {
			suspicions[i].Fix += `; if the mapping is right nevertheless, add "trust mapping: yes" to the trial`
		}
	}
	p.report(suspicions)
	if r.problems.Failed() {
		return nil
	}
	for i := range record.Columns {
		c := &record.Columns[i]
		if c.Role == trial.Body && c.Position != nil {
			out.Probes = append(out.Probes, heat.Probe{Name: c.Name, Kind: heat.Sensor, At: block.Point(*c.Position), Lag: c.Lag, Immersion: 1})
		}
	}
	for _, q := range r.sorted() {
		if q.Warning {
			text := q.Place() + ": " + q.Message
			if q.Fix != "" {
				text += "; " + q.Fix
			}
			out.Warnings, out.Doubts = append(out.Warnings, text), append(out.Doubts, q)
		}
	}
	return out
}

// describeTrial reads a trial's description, and the receiver and duty that it names, without its loggers' files.
func (r *reader) describeTrial(name string) (*trialPlan, *duty.Duty) {
	f := r.openAs(name, "trial")
	if f == nil {
		return nil, nil
	}
	v := r.readFile(f, trialForm.laid(), "")
	p := &trialPlan{r: r, v: v, names: map[string]*value{}}
	p.setup.Name = titled(v, name)
	p.receiver()
	p.whole()
	for i, l := range v.get("loggers").items() {
		p.logger(i, l)
	}
	p.tellStrays()
	return p, p.duty()
}

// receiver reads the receiver that the trial names.
func (p *trialPlan) receiver() {
	v := p.v.get("receiver")
	if v == nil {
		return
	}
	p.r.loadBenchMaterials()
	if rec := p.r.part(v, receiverForm.laid(), "receiver."); rec != nil {
		p.rec = p.r.buildReceiver(rec)
	}
	if b := p.v.get("block"); b != nil {
		p.r.wrong(b, "the receiver says it already", "a receiver, or a lump", "take one of the two out")
	}
}

// duty reads the duty that the trial names.
func (p *trialPlan) duty() *duty.Duty {
	v := p.v.get("duty")
	if v == nil {
		return nil
	}
	if p.rec == nil {
		if p.v.get("receiver") == nil {
			p.r.wrong(v, "a duty is done to a receiver, and none is named", "a duty with a receiver", "name the receiver, or take the duty out")
		}
		return nil
	}
	d := p.r.part(v, dutyForm.laid(), "duty.")
	if d == nil {
		return nil
	}
	probes := map[string]bool{}
	for n := range p.names {
		probes[n] = true
	}
	return &p.r.buildDuty(d, p.rec, probes).out
}

// whole reads what concerns the trial as a whole.
func (p *trialPlan) whole() {
	v, s := p.v, &p.setup
	if z := v.get("zone"); z != nil {
		s.Zone = p.r.zone(z)
	}
	s.From, s.To, s.Gap = v.get("from").number(0), v.get("to").number(0), v.get("gap").number(0)
	if s.To > 0 && s.To <= s.From {
		p.r.wrong(v.get("to"), "it is not after from", "a time after "+v.get("from").word("the start"), "exchange them")
	}
	s.Repairs = repairs(v.get("repairs"))
	s.Axis = -1
	if a := v.get("axis"); a != nil {
		s.Axis = int(a.num) - 1
		if n := len(v.get("loggers").items()); n > 0 && s.Axis >= n {
			p.r.wrong(a, "there are not so many loggers", "up to the number of loggers", "count the loggers from 1")
		}
	}
	for _, x := range v.get("phases").items() {
		ph := trial.Phase{Kind: x.get("kind").word(""), From: x.get("from").must(), To: x.get("to").must()}
		ph.Name = x.get("name").word(ph.Kind)
		if ph.To <= ph.From {
			p.r.wrong(x.get("to"), "it is not after from", "a time after "+x.get("from").word("from"), "exchange them")
			continue
		}
		for i, other := range s.Phases {
			if ph.From < other.To-1e-9 && other.From < ph.To-1e-9 {
				p.r.wrong(x, "it overlaps phase "+other.Name, "phases one after the other", "end the one where the other begins")
				_ = i
				break
			}
		}
		s.Phases = append(s.Phases, ph)
	}
}

// repairs reads switches.
func repairs(v *value) trial.Repairs {
	var r trial.Repairs
	for key, to := range map[string]*trial.Switch{
		"missing": &r.Missing, "quality": &r.Quality, "range": &r.Range, "spikes": &r.Spikes, "stuck": &r.Stuck, "dribble": &r.Dribble,
		"duplicates": &r.Duplicates,
	} {
		if s := v.get(key); s != nil {
			*to = trial.Off
			if s.on {
				*to = trial.On
			}
		}
	}
	switch b := v.get("backward"); {
	case b.is("no"):
		r.Backward = trial.Off
	case b.is("shift"):
		r.Shift = true
	}
	return r
}

// body gives what is known of the storage's heat: that of the block without its bores, or of the lump.
func (p *trialPlan) body(t *Trial) trial.Known {
	if t.Lump != nil {
		c := t.Lump.Mass * t.Lump.HeatCapacity
		return trial.Known{Stored: func(T float64) float64 { return c * T }}
	}
	if t.Receiver == nil {
		return trial.Known{}
	}
	for i := range t.Receiver.Parts {
		q := &t.Receiver.Parts[i]
		if q.Role != receiver.RoleBlock || q.Medium < 0 {
			continue
		}
		volume := 1.0
		for a := range q.Box.Min {
			volume *= q.Box.Max[a] - q.Box.Min[a]
		}
		for k := range t.Receiver.Passes {
			s := &t.Receiver.Passes[k]
			volume -= math.Pi / 4 * s.Outer * s.Outer * (s.To - s.From)
		}
		m := &t.Receiver.Media[q.Medium]
		e, mass := material.NewEnthalpy(m), volume*m.Density
		return trial.Known{Stored: func(T float64) float64 { return mass * e.Of(T) }}
	}
	return trial.Known{}
}

// uptakes reads what of each source goes into the receiver.
func (p *trialPlan) uptakes(t *Trial) {
	for _, u := range p.v.get("uptake").items() {
		of := u.get("of")
		i := t.Record.Index(of.word(""))
		if i < 0 {
			p.r.wrong(of, "no channel has this place", "the place of a channel of this trial", "name a channel that measures a source")
			continue
		}
		factor := u.get("share").number(1)
		switch role := t.Record.Columns[i].Role; role {
		case trial.Irradiance:
			if !u.has("area") {
				p.r.wrong(u, "an irradiance needs the area that catches it", "area: such as 0.5 m2", "add the area")
			}
			factor *= u.get("area").number(0)
		case trial.LampPower, trial.LightPower, trial.HeaterPower:
			if a := u.get("area"); a != nil {
				p.r.wrong(a, "watts are caught whole", "an area for an irradiance", "take it out")
			}
		default:
			p.r.wrong(of, "this channel measures no source but "+role.String(), "lamp power, light, irradiance or a heater's power", "name the source")
		}
		t.Uptakes = append(t.Uptakes, Uptake{t.Record.Columns[i].Name, factor, u.get("within").number(0) / half95})
	}
}
