package uncertainty

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// sampler draws inputs. Components of one group share one draw.
type sampler struct {
	rng    *rand.Rand
	x      []float64
	values []float64
	free   []source  // what is drawn by itself
	joint  []int     // inputs that the matrix couples
	root   []float64 // lower triangle of the factor of their covariance, by rows
	z      []float64
}

// source is one cause of uncertainty with its effects.
type source struct {
	shape Shape
	dof   float64
	on    []int     // inputs
	moves []float64 // by how much one standard deviation of the cause moves them
}

func (m *Model) sampler(seed uint64) (*sampler, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	s := &sampler{rng: rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15)), values: m.values()}
	s.x = make([]float64, len(s.values))
	coupled := func(i int) bool {
		for j := range m.Inputs {
			if m.Correlation != nil && j != i && m.Correlation[i][j] != 0 {
				return true
			}
		}
		return false
	}
	groups := map[string]int{}
	for i := range m.Inputs {
		if coupled(i) {
			s.joint = append(s.joint, i)
			continue
		}
		for _, c := range m.Inputs[i].Components {
			if c.U == 0 {
				continue
			}
			k, known := groups[c.Group]
			if c.Group == "" || !known {
				k = len(s.free)
				s.free = append(s.free, source{shape: c.Shape, dof: c.DoF})
				if c.Group != "" {
					groups[c.Group] = k
				}
			}
			if f := &s.free[k]; f.shape != c.Shape {
				return nil, fmt.Errorf("model %q: the components of the group %q have different shapes; one cause has one shape", m.Name, c.Group)
			} else if c.DoF > 0 && (f.dof == 0 || c.DoF < f.dof) {
				f.dof = c.DoF
			}
			s.free[k].on = append(s.free[k].on, i)
			s.free[k].moves = append(s.free[k].moves, c.U)
		}
	}
	return s, s.factor(m)
}

// factor takes the root of the covariance of the coupled inputs. Source: JCGM 101:2008, C.5.
func (s *sampler) factor(m *Model) error {
	n := len(s.joint)
	s.root, s.z = make([]float64, n*n), make([]float64, n)
	for i := range n {
		for j := 0; j <= i; j++ {
			a, b := s.joint[i], s.joint[j]
			v := m.Correlation[a][b] * m.Inputs[a].U() * m.Inputs[b].U()
			for k := range j {
				v -= s.root[i*n+k] * s.root[j*n+k]
			}
			switch scale := m.Inputs[a].U() * m.Inputs[a].U(); {
			case i == j && v < -1e-9*scale:
				return fmt.Errorf("model %q: no distribution has the correlation matrix given (its least eigenvalue is below 0): check the entries of %q", m.Name, m.Inputs[a].Name)
			case i == j:
				s.root[i*n+i] = math.Sqrt(math.Max(0, v))
			case s.root[j*n+j] > 0:
				s.root[i*n+j] = v / s.root[j*n+j]
			}
		}
	}
	return nil
}

// draw returns a point, valid until the next one.
func (s *sampler) draw() []float64 {
	copy(s.x, s.values)
	for i := range s.free {
		f := &s.free[i]
		z := s.one(f.shape, f.dof)
		for k, at := range f.on {
			s.x[at] += f.moves[k] * z
		}
	}
	n := len(s.joint)
	for i := range n {
		s.z[i] = s.rng.NormFloat64()
	}
	for i, at := range s.joint {
		for k := 0; k <= i; k++ {
			s.x[at] += s.root[i*n+k] * s.z[k]
		}
	}
	return s.x
}

// one draws with mean 0 and, but for the t distribution, standard deviation 1.
func (s *sampler) one(shape Shape, dof float64) float64 {
	switch shape {
	case Rectangular:
		return math.Sqrt(3) * (2*s.rng.Float64() - 1)
	case Triangular:
		return math.Sqrt(6) * (s.rng.Float64() + s.rng.Float64() - 1)
	case ArcSine:
		return math.Sqrt2 * math.Sin(2*math.Pi*s.rng.Float64())
	}
	z := s.rng.NormFloat64()
	if dof > 0 && dof < 1e4 {
		z *= math.Sqrt(dof / s.chiSquared(dof))
	}
	return z
}

// chiSquared draws χ² with dof >= 1 degrees of freedom as twice a gamma variate.
// Source: Marsaglia and Tsang, ACM Trans. Math. Software 26 (2000) 363-372 (from memory).
func (s *sampler) chiSquared(dof float64) float64 {
	shape, boost := dof/2, 1.0
	if shape < 1 {
		boost = math.Pow(1-s.rng.Float64(), 1/shape)
		shape++
	}
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		z := s.rng.NormFloat64()
		v := 1 + c*z
		if v <= 0 {
			continue
		}
		v = v * v * v
		if math.Log(1-s.rng.Float64()) < z*z/2+d-d*v+d*math.Log(v) {
			return 2 * boost * d * v
		}
	}
}

// point names the values last drawn, the first few.
func (s *sampler) point(m *Model) string {
	text := ""
	for i := range min(3, len(s.x)) {
		if i > 0 {
			text += ", "
		}
		text += fmt.Sprintf("%s = %.6g", m.Inputs[i].Name, s.x[i])
	}
	return text
}
