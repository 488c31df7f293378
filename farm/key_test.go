package farm

import (
	"reflect"
	"testing"

	"emberbank/heat"
	"emberbank/kernel"
)

// fill gives every leaf of a value something other than nothing, slices one element and pointers a target, and calls visit
// with each leaf that can be changed.
func fill(t *testing.T, path string, v reflect.Value, visit func(path string, v reflect.Value)) {
	t.Helper()
	switch v.Kind() {
	case reflect.Pointer:
		if v.CanSet() {
			v.Set(reflect.New(v.Type().Elem()))
			fill(t, path, v.Elem(), visit)
		}
	case reflect.Slice:
		if v.CanSet() {
			v.Set(reflect.MakeSlice(v.Type(), 1, 1))
			fill(t, path+"[]", v.Index(0), visit)
		}
	case reflect.Array:
		for i := range v.Len() {
			fill(t, path, v.Index(i), visit)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); !(path == "" && beside[f.Name]) {
				fill(t, path+"."+f.Name, v.Field(i), visit)
			}
		}
	case reflect.Map, reflect.Func, reflect.Interface, reflect.Chan, reflect.UnsafePointer:
		t.Errorf("%s is a %s, which has no content to be hashed", path, v.Kind())
	default:
		if v.CanSet() {
			visit(path, v)
		}
	}
}

func TestEveryNumberOfAProblemChangesItsKey(t *testing.T) {
	var p heat.Problem
	type leaf struct {
		path string
		v    reflect.Value
	}
	var leaves []leaf
	fill(t, "", reflect.ValueOf(&p).Elem(), func(path string, v reflect.Value) { leaves = append(leaves, leaf{path, v}) })
	if len(leaves) < 150 {
		t.Fatalf("only %d values in a problem", len(leaves))
	}
	base := Key(&p, "model")
	seen := map[string]string{base: "nothing"}
	for _, l := range leaves {
		old := reflect.New(l.v.Type()).Elem()
		old.Set(l.v)
		switch {
		case l.v.CanFloat():
			l.v.SetFloat(1.5)
		case l.v.CanInt():
			l.v.SetInt(1)
		case l.v.CanUint():
			l.v.SetUint(1)
		case l.v.Kind() == reflect.Bool:
			l.v.SetBool(true)
		default:
			l.v.SetString("x")
		}
		if other, twice := seen[Key(&p, "model")]; twice {
			t.Errorf("a change of %s gives the key of a change of %s", l.path, other)
		}
		seen[Key(&p, "model")] = l.path
		l.v.Set(old)
	}
	if Key(&p, "model") != base {
		t.Error("the same problem has two keys")
	}
	if Key(&p, "model 2") == base {
		t.Error("two models have one key")
	}
	p.Threads, p.Kernel, p.Progress = 3, kernel.Plain(), func(float64) {}
	if Key(&p, "model") != base {
		t.Error("threads, kernel or progress change the key")
	}
	a, b := heat.Problem{FieldTimes: []float64{1}}, heat.Problem{ProfileTimes: []float64{1}}
	if Key(&a, "") == Key(&b, "") {
		t.Error("a number in another place gives the same key")
	}
}
