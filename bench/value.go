package bench

import "math"

// The methods of value answer for missing values too, so that building needs no test at each step.

// get goes down by keys; nil where one is missing.
func (v *value) get(keys ...string) *value {
	for _, k := range keys {
		if v == nil {
			return nil
		}
		v = v.at[k]
	}
	return v
}

func (v *value) has(key string) bool { return v.get(key) != nil }

// items returns a list's entries.
func (v *value) items() []*value {
	if v == nil {
		return nil
	}
	return v.list
}

// number returns the SI value, or def where the value is missing.
func (v *value) number(def float64) float64 {
	if v == nil {
		return def
	}
	return v.num
}

// must returns the SI value, or NaN where it is missing: comparisons with it are then false, so that a check
// keeps quiet about a value that was already complained of.
func (v *value) must() float64 { return v.number(math.NaN()) }

func (v *value) word(def string) string {
	if v == nil {
		return def
	}
	return v.text
}

func (v *value) yes(def bool) bool {
	if v == nil {
		return def
	}
	return v.on
}

// is tells whether the value is the given word.
func (v *value) is(w string) bool {
	return v != nil && (v.typ.kind == isWord || v.typ.kind == isText) && v.text == w
}

// isQuantity tells whether the value was read as a quantity.
func (v *value) isQuantity() bool { return v != nil && v.typ.kind == isQuantity }

// pointer returns the SI value's address, or nil where the value is missing.
func (v *value) pointer() *float64 {
	if v == nil {
		return nil
	}
	x := v.num
	return &x
}
