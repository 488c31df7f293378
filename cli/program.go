package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"sync"

	"emberbank/kernel"
)

// programHash is the hash of the program's own file. A version's text does not tell two builds under development apart, nor
// one made with another compiler or for another kind of processor, whose last digits may differ: the file does.
var programHash = sync.OnceValues(func() (string, error) {
	path, err := os.Executable()
	if err != nil {
		return "", disk("looking for the program's own file", err)
	}
	f, err := os.Open(path)
	if err != nil {
		return "", disk("reading the program's own file", err)
	}
	defer func() { _ = f.Close() }()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return "", disk("reading the program's own file", err)
	}
	return hex.EncodeToString(sum.Sum(nil)[:6]), nil
})

// programName names what results hang on beside their inputs: version, build, the program's file and the loops that compute.
// Two programs of one name give the same bytes for the same problem.
func programName(loops *kernel.Set) (string, error) {
	hash, err := programHash()
	if err != nil {
		return "", err
	}
	name := Version
	if build != "" {
		name += " " + build
	}
	return name + ", file " + hash + ", loops " + loops.Name, nil
}
