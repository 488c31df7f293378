package trial

import (
	"math"
	"slices"
	"sort"
)

// Own returns what the logger of a column wrote, at the rows of that logger: the record's rows where it made the axis.
func (r *Record) Own(i int) (t, v []float64) {
	if o := r.Columns[i].Rows; o != nil {
		return o.Time, o.Values
	}
	return r.History.Time, r.History.Columns[i].Values
}

func (o *Rows) values() []float64 {
	if o == nil {
		return nil
	}
	return o.Values
}

// beside returns a column at the own rows of another, in straight lines; of one logger its rows as they are.
func (r *Record) beside(i, of int) []float64 {
	t, _ := r.Own(of)
	if o := r.Columns[i].Rows; o != nil && len(o.Time) == len(t) && &o.Time[0] == &t[0] {
		return o.Values
	}
	s, v := r.Own(i)
	out := make([]float64, len(t))
	for k, at := range t {
		m, found := slices.BinarySearch(s, at)
		switch {
		case found:
			out[k] = v[m]
		case m == 0 || m == len(s):
			out[k] = v[min(m, len(s)-1)] // a row beyond the end of the record
		default:
			f := (at - s[m-1]) / (s[m] - s[m-1])
			out[k] = v[m-1] + f*(v[m]-v[m-1])
		}
	}
	return out
}

// own cuts a channel's rows to the record, with one more at each end. The channels of a logger share their times.
func (j *joining) own(rec *Record, i, c int, t0 float64, times [][]float64) *Rows {
	l := j.logs[i]
	shift := j.offset[i] - t0
	end := rec.History.Time[len(rec.History.Time)-1]
	from := max(0, sort.Search(len(l.Time), func(k int) bool { return l.Time[k]+shift > 0 })-1)
	to := min(len(l.Time), sort.Search(len(l.Time), func(k int) bool { return l.Time[k]+shift >= end })+1)
	if to-from < 2 {
		return nil
	}
	if times[i] == nil {
		times[i] = make([]float64, to-from)
		for k := range times[i] {
			times[i][k] = l.Time[from+k] + shift
		}
	}
	return &Rows{Time: times[i], Values: l.Values[c][from:to:to]}
}

// longest is the distance of a logger's rows, in s, above which they leave a gap.
func (j *joining) longest(i int) float64 {
	if j.setup.Gap > 0 {
		return j.setup.Gap
	}
	return 3 * j.logs[i].step()
}

// stand puts rows of other loggers into the gaps of the one that makes the axis, so that what they measured there is
// not lost with it: of each gap those of the fastest logger that went on. It returns for each row of the record the
// row of the axis's logger, or -1; nil where there is nothing to put in.
func (j *joining) stand(rec *Record, axis, from int, t0 float64) []int {
	var rows []int
	t := rec.History.Time
	for _, g := range gaps(t, j.longest(axis)) {
		best := -1
		var put []float64
		for i, l := range j.logs {
			if i == axis || best >= 0 && l.step() >= j.logs[best].step() {
				continue
			}
			var inside []float64
			for _, at := range l.Time {
				if x := at + j.offset[i] - t0; x > g.From+1e-6 && x < g.To-1e-6 {
					inside = append(inside, x)
				}
			}
			if len(inside) > 0 {
				best, put = i, inside
			}
		}
		if best < 0 {
			continue
		}
		if rows == nil {
			rows = make([]int, len(t))
			for k := range rows {
				rows[k] = from + k
			}
		}
		k, _ := slices.BinarySearch(rec.History.Time, g.To)
		gone := make([]int, len(put))
		for n := range gone {
			gone[n] = -1
		}
		rows = slices.Insert(rows, k, gone...)
		rec.History.Time = slices.Insert(rec.History.Time, k, put...)
		j.align = append(j.align, Repair{
			Key: "gap", File: j.logs[axis].Source.Name, Count: len(put), Mended: true,
			What: "in a gap of " + words(g.To-g.From) + " the rows of " + j.logs[best].Source.Name + " make the axis",
		})
	}
	return rows
}

// decimals counts the digits behind the decimal sign of a cell that is a number, less its power of ten.
func decimals(cell []byte, decimal byte) int {
	n, power := 0, 0
	behind := false
	for i, b := range cell {
		switch {
		case b == decimal:
			n, behind = 0, true
		case b == 'e' || b == 'E':
			minus := false
			for _, e := range cell[i+1:] {
				switch {
				case e == '-':
					minus = true
				case e-'0' < 10 && power < 1000:
					power = 10*power + int(e-'0')
				}
			}
			if minus {
				power = -power
			}
			return n - power
		case b-'0' < 10 && behind:
			n++
		}
	}
	return n
}

// lastDigit returns what one step of the last decimal seen in the file is in SI; 0 where no number was.
func (st *channelState) lastDigit() float64 {
	if !st.counted {
		return 0
	}
	step := math.Pow10(-st.decimals)
	c := st.c
	if g := c.Signal; g != nil {
		switch {
		case g.Couple != "":
			return step * st.electric // V, see couples
		case g.Table != nil:
			n := len(g.Table.X)
			if n < 2 {
				return 0
			}
			step *= math.Abs((g.Table.Y[n-1] - g.Table.Y[0]) / (g.Table.X[n-1] - g.Table.X[0]))
		default:
			step *= math.Abs(g.Factor)
		}
	}
	return math.Abs(c.Conversion.ToSI(step) - c.Conversion.ToSI(0))
}
