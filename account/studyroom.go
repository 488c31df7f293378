package account

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"math"
	"slices"
	"strconv"
)

// pictureRoom is what the picture of a response takes, bytes: curves take 6 to 12 kB.
const pictureRoom = 10_000

// StudyRoom estimates how many bytes the files of a study will have, from a study of which one variant is known and from how
// many there will be: what two made-up tables of different length take, on a straight line, and pictures as they are on the
// mean.
func StudyRoom(v *Varied, count int64) int64 {
	if len(v.Variants) == 0 || count < 1 {
		return 0
	}
	pictures := pictureRoom * int64(len(v.Responses))
	few, many := min(count, 64), min(count, 384)
	a := float64(madeUp(v, few).room())
	if many == few {
		return pictures + int64(a)
	}
	b := float64(madeUp(v, many).room())
	return pictures + int64(a+(b-a)/float64(many-few)*float64(count-few))
}

// madeUp is a study of so many variants like the first one, with other digits.
func madeUp(v *Varied, count int64) *Varied {
	out := *v
	out.Variants = nil
	like := &v.Variants[0]
	for i := range count {
		one := *like
		sum := sha256.Sum256([]byte(strconv.FormatInt(i, 10)))
		one.Key = hex.EncodeToString(sum[:16])
		one.Values = slices.Clone(like.Values)
		for k := range one.Values {
			one.Values[k] *= 1 + math.Sqrt(float64(i+2))*1e-3 // digits to the last, as computed numbers have them
		}
		out.Variants = append(out.Variants, one)
	}
	return &out
}

// room is what the tables of the study take.
func (v *Varied) room() int64 {
	var n counting
	for _, d := range v.tables() {
		_ = d.write(&n) // an error shows when the study is written
	}
	return int64(n)
}

// counting counts what is written to it.
type counting int64

var _ io.Writer = (*counting)(nil)

func (n *counting) Write(p []byte) (int, error) {
	*n += counting(len(p))
	return len(p), nil
}
