package report

import (
	"bytes"
	"encoding"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"

	"evenfall/internal/words"
)

// The CSV is the JSON's structs laid flat, so that it has the names and values
// of the JSON, and all of them:
//
//   - a field is a column; one within another is called after both, as
//     light_lit_lux;
//   - a list marked csv:"rows" makes rows, one for each element, that repeat
//     the values of what it stands in. Its own name does not enter the names
//     of its columns. Of several such lists beside each other each makes its
//     rows, and columns of the same name are one;
//   - any other list is one value, its elements joined by "; "; of a list of
//     structs each field;
//   - an array is a column for each element: as csv:"low,high" names them,
//     else numbered from 1;
//   - null is empty;
//   - a field marked csv:"-" is left out: the schema's name, and what the
//     document says once for all rows.
//
// Text is made safe to show, and never begins as a formula of a spreadsheet
// does.

// flatRows is the mark of a list that makes rows.
const flatRows = "rows"

// listSeparator stands between the elements of a list that is one value.
const listSeparator = "; "

// flatRecord is a row in the making: the names of its columns in order, and their
// values.
type flatRecord struct {
	names  []string
	values map[string]string
}

// with returns a record of its own, that another can be added to.
func (r *flatRecord) with(more *flatRecord) (*flatRecord, error) {
	sum := &flatRecord{values: map[string]string{}}
	for _, part := range [...]*flatRecord{r, more} {
		for _, name := range part.names {
			if _, twice := sum.values[name]; twice {
				return nil, fmt.Errorf("two values are called %s", name)
			}
			sum.names = append(sum.names, name)
			sum.values[name] = part.values[name]
		}
	}
	return sum, nil
}

// flattener turns a struct into records.
type flattener struct{ ascii bool }

// writeFlat writes a struct, or a pointer to one, as CSV in the form of
// RFC 4180. The error is of a struct that has no flat form.
func writeFlat(b *bytes.Buffer, data any, o Options) error {
	f := &flattener{ascii: o.ASCII}
	t := reflect.TypeOf(data)
	heads, err := f.records(t, reflect.Value{}, &flatRecord{}, 0)
	if err != nil {
		return err
	}
	rows, err := f.records(t, reflect.ValueOf(data), &flatRecord{}, 0)
	if err != nil {
		return err
	}
	names := union(heads)
	w := csv.NewWriter(b)
	w.UseCRLF = true
	if err := w.Write(names); err != nil {
		return err
	}
	for _, r := range rows {
		line := make([]string, len(names))
		for i, name := range names {
			line[i] = guard(r.values[name])
		}
		if err := w.Write(line); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

// union returns all names of some records, in the order they come.
func union(records []*flatRecord) []string {
	var names []string
	seen := map[string]bool{}
	for _, r := range records {
		for _, name := range r.names {
			if !seen[name] {
				seen[name] = true
				names = append(names, name)
			}
		}
	}
	return names
}

// deepestFlat is how deep structs may lie within each other; a type that holds
// itself has no flat form.
const deepestFlat = 12

var errTooDeep = errors.New("a struct lies too deep within others")

// rowList is a list that makes rows.
type rowList struct {
	of   reflect.Type
	list reflect.Value
}

// records returns the rows of a struct whose parents have the values of base.
// Of a value that is not there it returns the names of all columns: one record
// for each list that makes rows.
func (f *flattener) records(t reflect.Type, v reflect.Value, base *flatRecord, depth int) ([]*flatRecord, error) {
	t, v = pointedAt(t, v)
	own := &flatRecord{values: map[string]string{}}
	lists, err := f.fields(own, "", t, v, depth)
	if err != nil {
		return nil, err
	}
	if base, err = base.with(own); err != nil {
		return nil, err
	}
	var all []*flatRecord
	for _, l := range lists {
		elements := []reflect.Value{{}} // for the names
		if v.IsValid() {
			elements = nil
			for i := range length(l.list) {
				elements = append(elements, l.list.Index(i))
			}
		}
		for _, e := range elements {
			rows, err := f.records(l.of.Elem(), e, base, depth+1)
			if err != nil {
				return nil, err
			}
			all = append(all, rows...)
		}
	}
	if len(lists) == 0 || len(all) == 0 && depth > 0 {
		all = append(all, base)
	}
	return all, nil
}

// pointedAt follows pointers. Of nil it returns the type alone.
func pointedAt(t reflect.Type, v reflect.Value) (reflect.Type, reflect.Value) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
		if v.IsValid() {
			v = v.Elem()
		}
	}
	return t, v
}

func length(v reflect.Value) int {
	if !v.IsValid() {
		return 0
	}
	return v.Len()
}

// fields adds the values of a struct's fields under a prefix, and returns the
// lists that make rows.
func (f *flattener) fields(r *flatRecord, prefix string, t reflect.Type, v reflect.Value, depth int) ([]rowList,
	error) {
	if t.Kind() != reflect.Struct {
		return nil, fmt.Errorf("%s is no struct", t)
	}
	if depth > deepestFlat {
		return nil, errTooDeep
	}
	var lists []rowList
	for i := range t.NumField() {
		field := t.Field(i)
		name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
		mark := field.Tag.Get("csv")
		embedded := field.Anonymous && name == ""
		if name == "-" || mark == "-" || !field.IsExported() && !embedded {
			continue
		}
		var value reflect.Value
		if v.IsValid() {
			value = v.Field(i)
		}
		path := prefix
		if !embedded {
			if name == "" {
				name = field.Name
			}
			path = join(prefix, name)
		}
		more, err := f.field(r, path, mark, field.Type, value, depth)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		lists = append(lists, more...)
	}
	return lists, nil
}

// join puts a name behind a prefix.
func join(prefix, name string) string {
	if prefix == "" {
		return name
	}
	return prefix + "_" + name
}

// field adds one value under its name, or a list that makes rows.
func (f *flattener) field(r *flatRecord, name, mark string, t reflect.Type, v reflect.Value, depth int) ([]rowList,
	error) {
	if leaf(t) {
		return nil, f.add(r, name, t, v)
	}
	t, v = pointedAt(t, v)
	switch t.Kind() {
	case reflect.Struct:
		return f.fields(r, name, t, v, depth+1)
	case reflect.Slice:
		if mark == flatRows {
			return []rowList{{t, v}}, nil
		}
		return nil, f.list(r, name, t, v, depth)
	case reflect.Array:
		return f.array(r, name, mark, t, v, depth)
	}
	return nil, fmt.Errorf("%s has no flat form", t)
}

// array adds a column for each element.
func (f *flattener) array(r *flatRecord, name, mark string, t reflect.Type, v reflect.Value, depth int) ([]rowList,
	error) {
	suffixes := strings.Split(mark, ",")
	if len(suffixes) != t.Len() {
		suffixes = nil
	}
	var lists []rowList
	for i := range t.Len() {
		suffix := strconv.Itoa(i + 1)
		if suffixes != nil {
			suffix = suffixes[i]
		}
		var element reflect.Value
		if v.IsValid() {
			element = v.Index(i)
		}
		more, err := f.field(r, join(name, suffix), "", t.Elem(), element, depth+1)
		if err != nil {
			return nil, err
		}
		lists = append(lists, more...)
	}
	return lists, nil
}

// list adds the elements of a list as one value; of structs, one for each of
// their fields.
func (f *flattener) list(r *flatRecord, name string, t reflect.Type, v reflect.Value, depth int) error {
	var names *flatRecord
	joined := map[string][]string{}
	for i := -1; i < length(v); i++ { // the first for the names
		one := &flatRecord{values: map[string]string{}}
		var element reflect.Value
		if i >= 0 {
			element = v.Index(i)
		}
		lists, err := f.field(one, name, "", t.Elem(), element, depth+1)
		if err == nil && len(lists) > 0 {
			err = errors.New("rows lie within a list that makes none")
		}
		if err != nil {
			return err
		}
		if i < 0 {
			names = one
			continue
		}
		for _, n := range one.names {
			joined[n] = append(joined[n], one.values[n])
		}
	}
	for _, n := range names.names {
		if err := r.put(n, strings.Join(joined[n], listSeparator)); err != nil {
			return err
		}
	}
	return nil
}

// leaf reports whether a type is written as one value.
func leaf(t reflect.Type) bool {
	if t.Implements(reflect.TypeFor[json.Marshaler]()) || t.Implements(reflect.TypeFor[encoding.TextMarshaler]()) {
		return true
	}
	if t.Kind() == reflect.Pointer {
		return leaf(t.Elem())
	}
	switch t.Kind() {
	case reflect.Bool, reflect.String, reflect.Float32, reflect.Float64,
		reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64,
		reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return true
	}
	return false
}

// add adds one value: what JSON has there, without quotes; empty for null.
func (f *flattener) add(r *flatRecord, name string, t reflect.Type, v reflect.Value) error {
	if !v.IsValid() {
		return r.put(name, "")
	}
	raw, err := json.Marshal(v.Interface())
	if err != nil {
		return err
	}
	text := string(raw)
	switch {
	case text == "null":
		text = ""
	case raw[0] == '"':
		if err := json.Unmarshal(raw, &text); err != nil {
			return err
		}
		text = f.text(text)
	case raw[0] == '{', raw[0] == '[':
		return fmt.Errorf("%s has no flat form", t)
	}
	return r.put(name, text)
}

// put adds a value under a name that no other has.
func (r *flatRecord) put(name, value string) error {
	if _, twice := r.values[name]; twice {
		return fmt.Errorf("two values are called %s", name)
	}
	r.names = append(r.names, name)
	r.values[name] = value
	return nil
}

// text makes text safe to show.
func (f *flattener) text(s string) string {
	s = words.Safe(s)
	if f.ascii {
		s = words.ASCII(s)
	}
	return s
}

// formula is what begins one in a spreadsheet.
const formula = "=+-@\t\r＝＋－＠"

// number is one as the CSV writes it.
var number = regexp.MustCompile(`^[+-]?[0-9]+(?:\.[0-9]+)?(?:e[+-]?[0-9]+)?$`)

// guard keeps text from being read as a formula: what begins like one, and is
// no number, gets an apostrophe in front, by which spreadsheets know text.
func guard(s string) string {
	if strings.IndexAny(s, formula) != 0 || number.MatchString(s) {
		return s
	}
	return "'" + s
}
