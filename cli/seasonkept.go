package cli

import (
	"bytes"
	"compress/gzip"
	"encoding/gob"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"emberbank/farm"
	"emberbank/heat"
	"emberbank/kernel"
	"emberbank/season"
)

// keptFolder is the folder of a season's results in which days that the full model computed are kept, and keptEnding ends their
// names.
const (
	keptFolder = "known/"
	keptEnding = ".day"
)

// keptDays takes what the full model computed for a season from the results that stand there, and keeps it for those in the making.
type keptDays struct {
	from    string // the results that stand there
	program string
	mu      sync.Mutex
	made    map[string][]byte
}

func newKeptDays(f *folder, loops *kernel.Set) (*keptDays, error) {
	program, err := programName(loops)
	return &keptDays{from: filepath.Join(f.target, filepath.FromSlash(keptFolder)), program: program, made: map[string][]byte{}}, err
}

// key is of all that a problem's result hangs on.
func (k *keptDays) key(p *heat.Problem) string { return farm.Key(p, k.program) }

// Load returns what is kept; nil where there is none, or none that is whole.
func (k *keptDays) Load(key string) *season.Kept {
	raw, err := os.ReadFile(filepath.Join(k.from, key+keptEnding))
	if err != nil {
		return nil
	}
	z, err := gzip.NewReader(bytes.NewReader(raw))
	if err != nil {
		return nil
	}
	text, err := io.ReadAll(z) // its sum is looked at there
	if err != nil {
		return nil
	}
	out := &season.Kept{}
	if gob.NewDecoder(bytes.NewReader(text)).Decode(out) != nil {
		return nil
	}
	return out
}

// Save keeps a result for the folder in the making.
func (k *keptDays) Save(key string, day *season.Kept) {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if gob.NewEncoder(z).Encode(day) != nil || z.Close() != nil { // into memory: it cannot fail
		return
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	k.made[key] = b.Bytes()
}

// write puts all of them into the folder in the making.
func (k *keptDays) write(f *folder) error {
	for _, key := range slices.Sorted(maps.Keys(k.made)) {
		err := f.write(keptFolder+key+keptEnding, false, func(w io.Writer) error {
			_, err := w.Write(k.made[key])
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}
