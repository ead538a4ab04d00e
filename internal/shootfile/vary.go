package shootfile

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"evenfall/internal/shoot"
)

// varyFlag is the flag that Variation is read from, without dashes.
const varyFlag = "vary"

// mostValues is how many values are set side by side: a row each, on a screen.
const mostValues = 12

// exampleVaried is what may be typed in place of what cannot be read.
const exampleVaried = "units=1,2,4"

// Variation is one flag of a shoot with the values that it is to have side by
// side.
type Variation struct {
	Key    Key
	Values []string // as they were typed, at least two
}

// ParseVariation reads KEY=VALUE,VALUE,..., KEY being a flag without dashes.
// What the values mean is looked at by ResolveEach. The error is a Faults.
func ParseVariation(text string) (Variation, error) {
	name, list, given := strings.Cut(text, "=")
	name = strings.ToLower(strings.TrimPrefix(strings.TrimSpace(name), "--"))
	k, known := flagKey(name)
	switch {
	case !known || name == "" || k.Group == WishGroup:
		return Variation{}, unknownVaried(name, list)
	case k.List:
		return Variation{}, variedFault("--vary "+name+": compare without --vary sets the methods side by side",
			"--"+name+" "+Typed(cmp.Or(strings.TrimSpace(list), k.Example))+" without --vary")
	case k.hasCommas():
		return Variation{}, variedFault("--vary "+name+": its value has a comma of its own, and is planned alone",
			"--"+name+" "+k.Example+" without --vary")
	case !given || strings.TrimSpace(list) == "":
		return Variation{}, variedFault("--vary "+Typed(text)+" has no values", "--vary "+k.someValues())
	}
	v := Variation{Key: k}
	for _, value := range strings.Split(list, ",") {
		v.Values = append(v.Values, strings.TrimSpace(value))
	}
	return v, v.check()
}

// check reports values that are too many, too few, or there twice.
func (v *Variation) check() error {
	once := onceEach(v.Values)
	switch n := len(v.Values); {
	case len(once) == 1:
		return variedFault("--vary "+v.typed(v.Values)+" sets one value beside no other",
			"--"+v.Key.Flag+" "+Typed(once[0])+" without --vary")
	case len(once) < n:
		return variedFault("--vary "+v.typed(v.Values)+" has a value twice", "--vary "+v.typed(once[:min(len(once), mostValues)]))
	case n > mostValues:
		return variedFault(fmt.Sprintf("--vary %s has %d values, more than %d", v.Key.Flag, n, mostValues),
			"--vary "+v.typed(v.Values[:mostValues]))
	}
	return nil
}

// onceEach returns values without those that are there already.
func onceEach(values []string) []string {
	var once []string
	for _, value := range values {
		if !slices.Contains(once, value) {
			once = append(once, value)
		}
	}
	return once
}

// typed writes the flag with some values, as it is typed after --vary.
func (v *Variation) typed(values []string) string {
	return Typed(v.Key.Flag + "=" + strings.Join(values, ","))
}

// hasCommas reports whether a value of the flag has commas of its own.
func (k Key) hasCommas() bool { return k.Flag == "at" || k.Flag == "skyline" }

// someValues are values of a flag to set side by side, with its name.
func (k Key) someValues() string {
	if len(k.Words) > 1 {
		return k.Flag + "=" + strings.Join(k.Words[:2], ",")
	}
	return exampleVaried
}

func variedFault(what, hint string) Faults {
	return Faults{{Flag: varyFlag, What: what, Hint: hint}}.inOrder()
}

// unknownVaried is the fault of a flag that there is not.
func unknownVaried(name, list string) Faults {
	var names []string
	for _, k := range Flags() {
		if !k.List && !k.hasCommas() {
			names = append(names, k.Flag)
		}
	}
	hint := "--vary " + exampleVaried + "; what can be varied is " + listed(names)
	if near := Nearest(name, names); near != "" {
		hint = "--vary " + Typed(near+"="+cmp.Or(strings.TrimSpace(list), "1,2"))
	}
	return variedFault("--vary "+quoted(name)+" is no flag of a shoot", hint)
}

// ResolveEach checks the document with each of the values in the place of what
// it says. The error is a Faults with everything that is wrong, said of
// --vary where it is the values'.
func (d *Document) ResolveEach(v Variation, env Environment) ([]*shoot.Shoot, error) {
	if d.isSet(v.Key) {
		return nil, variedFault("--vary "+v.Key.Flag+" cannot be combined with --"+v.Key.Flag,
			"--vary "+v.typed(v.Values)+" without --"+v.Key.Flag)
	}
	var shoots []*shoot.Shoot
	var faults Faults
	right := slices.Clone(v.Values) // as far as faults say what it is
	tails := map[int]string{}       // of hints that begin with the right values
	for i, value := range v.Values {
		s, err := d.with(v.Key.Flag, value).Resolve(env)
		var some Faults
		if err != nil && !errors.As(err, &some) {
			return nil, err
		}
		for _, f := range some {
			if instead, tail, ok := v.instead(f); ok {
				right[i], tails[len(faults)] = instead, tail
			}
			faults = append(faults, v.fault(f, value))
		}
		shoots = append(shoots, s)
	}
	for i, tail := range tails {
		faults[i].Hint = "--vary " + v.typed(onceEach(right)) + tail
	}
	if len(faults) > 0 {
		return nil, faults.inOrder()
	}
	return shoots, nil
}

// instead returns the value that the hint of a fault has for the flag, and what
// the hint says after it; false where it has none that can stand in a list.
func (v *Variation) instead(f Fault) (value, tail string, ok bool) {
	hint, ok := strings.CutPrefix(f.Hint, "--"+v.Key.Flag+" ")
	if !ok || f.Flag != v.Key.Flag || strings.HasPrefix(hint, "'") {
		return "", "", false
	}
	end := strings.IndexAny(hint, " ;,")
	if end < 0 {
		return hint, "", true
	}
	return hint[:end], hint[end:], true
}

// fault lays the fault of a value at the door of --vary.
func (v *Variation) fault(f Fault, value string) Fault {
	flag := v.Key.Flag
	if f.Flag != flag {
		f.What += " (with --" + flag + " " + Typed(value) + ")"
		return f
	}
	rest := strings.TrimPrefix(f.Error(), "--"+flag)
	if said, ok := strings.CutPrefix(rest, " "+Typed(value)); ok {
		rest = "=" + Typed(value) + said
	}
	f.Flag, f.What = varyFlag, "--vary "+flag+rest
	return f
}

// with returns the document with the value of a flag in the place of what it
// says, and leaves the document as it is.
func (d *Document) with(flag, value string) *Document {
	other := *d
	other.root, other.faults = d.root.clone(), slices.Clone(d.faults)
	other.Set(flag, value)
	return &other
}

// clone returns an entry of its own, with all that is in it.
func (e *entry) clone() *entry {
	other := *e
	if e.table != nil {
		other.table = make(map[string]*entry, len(e.table))
		for key, one := range e.table {
			other.table[key] = one.clone()
		}
	}
	if e.list != nil {
		other.list = make([]*entry, len(e.list))
		for i, one := range e.list {
			other.list[i] = one.clone()
		}
	}
	return &other
}
