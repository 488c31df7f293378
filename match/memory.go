package match

import (
	"context"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"sort"
	"sync"
)

// Memory holds what runs gave, by trial and parameters. A match that was stopped and is begun again with its memory
// takes the same way without computing anything twice, and ends with the same bytes as one that was never stopped.
// It is stored as JSON.
type Memory struct {
	mu    sync.Mutex
	key   string // of the inputs that it belongs to
	runs  map[string][]float64
	going map[string]chan struct{} // being computed; closed when it is done
	hits  int
	made  int
}

// NewMemory returns an empty memory; key names the inputs to which it belongs, such as the hash of their bytes.
func NewMemory(key string) *Memory {
	return &Memory{key: key, runs: map[string][]float64{}, going: map[string]chan struct{}{}}
}

// Key returns what the memory belongs to.
func (m *Memory) Key() string { return m.key }

// Runs returns how many runs it holds, and how many were computed since it was made.
func (m *Memory) Runs() (held, computed int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return len(m.runs), m.made
}

// of names a run: the trial and the exact parameters that act on it.
func memoryName(trial string, x []float64) string {
	b := []byte(trial + "\x00")
	for _, v := range x {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v))
	}
	return string(b)
}

// recall returns the columns of a run, from memory or by compute. A run that another caller is at is waited for.
func (m *Memory) recall(ctx context.Context, trial string, x []float64, compute func(context.Context) ([]float64, error)) ([]float64, error) {
	name := memoryName(trial, x)
	for {
		m.mu.Lock()
		if v, ok := m.runs[name]; ok {
			m.hits++
			m.mu.Unlock()
			return v, nil
		}
		done, going := m.going[name]
		if !going {
			done = make(chan struct{})
			m.going[name] = done
			m.mu.Unlock()
			v, err := compute(ctx)
			m.mu.Lock()
			if err == nil {
				m.runs[name] = v
				m.made++
			}
			delete(m.going, name)
			m.mu.Unlock()
			close(done)
			return v, err
		}
		m.mu.Unlock()
		select {
		case <-done:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// keep stores what another run has shown of a run.
func (m *Memory) keep(trial string, x, v []float64) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.runs[memoryName(trial, x)] = v
}

type memoryFile struct {
	Schema string      `json:"schema"`
	Key    string      `json:"key"`
	Runs   []memoryRun `json:"runs"`
}

// memoryRun is one run; numbers stand as the base64 of their bytes, so that none loses a digit.
type memoryRun struct {
	Name   string `json:"name"`
	Values string `json:"values"`
}

const memorySchema = "emberbank/match-memory/1"

// MarshalJSON writes the memory, its runs in a fixed order.
func (m *Memory) MarshalJSON() ([]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	f := memoryFile{Schema: memorySchema, Key: m.key, Runs: []memoryRun{}}
	for name, values := range m.runs {
		f.Runs = append(f.Runs, memoryRun{base64.StdEncoding.EncodeToString([]byte(name)), packed(values)})
	}
	sort.Slice(f.Runs, func(i, j int) bool { return f.Runs[i].Name < f.Runs[j].Name })
	return json.Marshal(f)
}

// UnmarshalJSON reads a memory.
func (m *Memory) UnmarshalJSON(raw []byte) error {
	var f memoryFile
	if err := json.Unmarshal(raw, &f); err != nil {
		return fmt.Errorf("reading what an earlier match remembers: %w", err)
	}
	if f.Schema != memorySchema {
		return fmt.Errorf("reading what an earlier match remembers: its schema is %q, not %q", f.Schema, memorySchema)
	}
	m.key, m.runs, m.going = f.Key, map[string][]float64{}, map[string]chan struct{}{}
	for _, r := range f.Runs {
		name, err := base64.StdEncoding.DecodeString(r.Name)
		if err == nil {
			m.runs[string(name)], err = unpacked(r.Values)
		}
		if err != nil {
			return fmt.Errorf("reading what an earlier match remembers: %w", err)
		}
	}
	return nil
}

func packed(v []float64) string {
	b := make([]byte, 0, 8*len(v))
	for _, x := range v {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
	}
	return base64.StdEncoding.EncodeToString(b)
}

func unpacked(s string) ([]float64, error) {
	b, err := base64.StdEncoding.DecodeString(s)
	if err != nil || len(b)%8 != 0 {
		return nil, fmt.Errorf("a run of %d bytes is damaged: %v", len(b), err)
	}
	v := make([]float64, len(b)/8)
	for i := range v {
		v[i] = math.Float64frombits(binary.LittleEndian.Uint64(b[8*i:]))
	}
	return v, nil
}
