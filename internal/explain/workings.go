package explain

import (
	"maps"
	"math"
	"strings"
)

// workings are the steps of a moment in the making. A step's result is known
// by its symbol to the steps after it, so that each symbol is named once.
type workings struct {
	known  map[string]Value
	groups []Group
}

// after returns workings that go on from the results of others, without their
// steps.
func after(known map[string]Value) *workings {
	w := &workings{known: map[string]Value{}}
	maps.Copy(w.known, known)
	return w
}

// group begins a group.
func (w *workings) group(title string) { w.groups = append(w.groups, Group{Title: title}) }

// finished returns the groups that have steps.
func (w *workings) finished() []Group {
	var list []Group
	for _, g := range w.groups {
		if len(g.Steps) > 0 {
			list = append(list, g)
		}
	}
	return list
}

// add writes a step down, its result given. Values are those of symbols that
// may not be results of earlier steps.
func (w *workings) add(step Step, values ...Value) {
	w.resolve(&step, values)
	w.write(step)
}

// work writes a step down whose result is its template's: one on the way to a
// step whose result is given.
func (w *workings) work(step Step, values ...Value) {
	w.resolve(&step, values)
	v, err := step.Evaluate()
	if err != nil {
		v = math.NaN()
	}
	step.Result = v
	w.write(step)
}

func (w *workings) write(step Step) {
	g := &w.groups[len(w.groups)-1]
	g.Steps = append(g.Steps, step)
	if step.Symbol != "" {
		w.known[step.Symbol] = Value{Symbol: step.Symbol, Value: step.Result, Unit: step.Unit}
	}
}

// resolve gives every symbol of the template its value: an earlier result, else
// one of the step's own.
func (w *workings) resolve(step *Step, values []Value) {
	own := Step{Values: values}
	for rest := step.Template; rest != ""; {
		var symbol string
		_, symbol, rest = nextSymbol(rest)
		if _, there := step.value(symbol); there || symbol == "" {
			continue
		}
		if v, ok := w.known[symbol]; ok {
			step.Values = append(step.Values, v)
		} else if v, ok := own.value(symbol); ok {
			step.Values = append(step.Values, v)
		}
	}
}

// with puts numbers in the place of the signs # of a template: constants that
// the package which works with them hands out.
func with(template string, numbers ...float64) string {
	for _, n := range numbers {
		template = strings.Replace(template, "#", Figures(n), 1)
	}
	return template
}

// given is a value that a step says the meaning of.
func given[T ~float64 | ~int](symbol, meaning string, v T) Value {
	return Value{Symbol: symbol, Meaning: meaning, Value: float64(v)}
}

// angle is a given value in degrees.
func angle(symbol, meaning string, degreesOf float64) Value {
	return Value{Symbol: symbol, Meaning: meaning, Value: degreesOf, Unit: degrees}
}

// has reports whether an earlier step defines a symbol.
func (w *workings) has(symbol string) bool {
	_, ok := w.known[symbol]
	return ok
}
