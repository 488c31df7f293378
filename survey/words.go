package survey

import (
	"fmt"
	"math"

	"emberbank/account"
)

// contrasts says, for a study whose one axis goes through words such as media, with which word each response is least and with
// which it is most.
func contrasts(v *account.Varied) (out []string) {
	if len(v.Axes) != 1 || v.Axes[0].Words == nil {
		return nil
	}
	a := &v.Axes[0]
	for k := range v.Responses {
		least, most := -1, -1
		for i := range v.Variants {
			o := &v.Variants[i]
			if o.Failure != "" || math.IsNaN(o.Values[k]) {
				continue
			}
			if least < 0 || o.Values[k] < v.Variants[least].Values[k] {
				least = i
			}
			if most < 0 || o.Values[k] > v.Variants[most].Values[k] {
				most = i
			}
		}
		if least == most {
			continue
		}
		say := func(i int) string {
			o := &v.Variants[i]
			return v.Responses[k].Amount(o.Values[k], false) + " with " + a.Show(o.At[0])
		}
		out = append(out, fmt.Sprintf("Over %s, %s goes from %s to %s.", a.Name, v.Responses[k].Name, say(least), say(most)))
	}
	return out
}
