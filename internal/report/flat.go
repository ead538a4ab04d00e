package report

import (
	"cmp"
	"encoding"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
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

// listSeparator stands between the elements of a list that is one value.
const listSeparator = "; "

// deepestFlat is how deep structs may lie within each other; a type that holds
// itself has no flat form.
const deepestFlat = 12

// writeFlat writes a struct, or a pointer to one, as CSV in the form of
// RFC 4180. The error is of a struct that has no flat form.
func writeFlat(to io.Writer, data any, o Options) error {
	form, err := flatFormOf(reflect.TypeOf(data))
	if err != nil {
		return err
	}
	w := csv.NewWriter(to)
	w.UseCRLF = true
	if err := w.Write(form.names); err != nil {
		return err
	}
	f := &flatWriter{form: form, ascii: o.ASCII, to: w}
	if _, err := f.record(form.top, reflect.ValueOf(data), make([]string, len(form.names)), 0); err != nil {
		return err
	}
	w.Flush()
	return w.Error()
}

// flatForm is where the values of a type go.
type flatForm struct {
	names   []string       // of the columns
	columns map[string]int // by their names
	top     *flatPart
}

// flatPart is a value, or what holds several.
type flatPart struct {
	kind    flatKind
	field   int         // which it is of the struct it stands in
	column  int         // of a single value
	parts   []*flatPart // of a struct or an array; of a list what its elements are
	columns []int       // of a list that is one value
}

type flatKind int

const (
	flatValue  flatKind = iota
	flatStruct          // parts are its fields
	flatArray           // parts are its elements
	flatJoined          // is a list that is one value
	flatMany            // is a list that makes rows
)

// flatRecord is the type of a row in the making.
type flatRecord struct {
	taken   map[string]bool // names of its columns, and of those of what it stands in
	columns []int           // of its own
	lists   []flatRows      // that make rows of it
}

// flatRows are rows in the making.
type flatRows struct {
	part *flatPart
	of   reflect.Type
}

// flatFormOf finds the columns of a type: those of a record first, and then those of
// the rows in it.
func flatFormOf(t reflect.Type) (*flatForm, error) {
	form := &flatForm{columns: map[string]int{}}
	var err error
	form.top, err = form.record(t, nil, 0)
	return form, err
}

func (form *flatForm) record(t reflect.Type, taken map[string]bool, depth int) (*flatPart, error) {
	r := &flatRecord{taken: maps.Clone(taken)}
	if r.taken == nil {
		r.taken = map[string]bool{}
	}
	part, err := form.fields(r, "", pointee(t), depth)
	if err != nil {
		return nil, err
	}
	for _, l := range r.lists {
		of, err := form.record(l.of, r.taken, depth+1)
		if err != nil {
			return nil, err
		}
		l.part.parts = []*flatPart{of}
	}
	return part, nil
}

// fields finds the columns of a struct's fields, under a prefix.
func (form *flatForm) fields(r *flatRecord, prefix string, t reflect.Type, depth int) (*flatPart, error) {
	if t.Kind() != reflect.Struct {
		return nil, fmt.Errorf("%s is no struct", t)
	}
	if depth > deepestFlat {
		return nil, errors.New("a struct lies too deep within others")
	}
	all := &flatPart{kind: flatStruct}
	for i := range t.NumField() {
		field := t.Field(i)
		name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
		mark := field.Tag.Get("csv")
		embedded := field.Anonymous && name == ""
		if name == "-" || mark == "-" || !field.IsExported() && !embedded {
			continue
		}
		path := prefix
		if !embedded {
			path = join(prefix, cmp.Or(name, field.Name))
		}
		part, err := form.part(r, path, mark, field.Type, depth)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", cmp.Or(name, field.Name), err)
		}
		part.field = i
		all.parts = append(all.parts, part)
	}
	return all, nil
}

// join puts a name behind a prefix.
func join(prefix, name string) string {
	if prefix == "" {
		return name
	}
	return prefix + "_" + name
}

// part finds the columns of one value under its name.
func (form *flatForm) part(r *flatRecord, name, mark string, t reflect.Type, depth int) (*flatPart, error) {
	if leaf(t) {
		column, err := form.column(r, name)
		return &flatPart{column: column}, err
	}
	switch t = pointee(t); t.Kind() {
	case reflect.Struct:
		return form.fields(r, name, t, depth+1)
	case reflect.Slice:
		if mark == "rows" {
			part := &flatPart{kind: flatMany}
			r.lists = append(r.lists, flatRows{part, t.Elem()})
			return part, nil
		}
		return form.joined(r, name, t, depth)
	case reflect.Array:
		return form.array(r, name, mark, t, depth)
	}
	return nil, fmt.Errorf("%s has no flat form", t)
}

// array finds a column for each element.
func (form *flatForm) array(r *flatRecord, name, mark string, t reflect.Type, depth int) (*flatPart, error) {
	suffixes := strings.Split(mark, ",")
	if len(suffixes) != t.Len() {
		suffixes = nil
	}
	all := &flatPart{kind: flatArray}
	for i := range t.Len() {
		suffix := strconv.Itoa(i + 1)
		if suffixes != nil {
			suffix = suffixes[i]
		}
		part, err := form.part(r, join(name, suffix), "", t.Elem(), depth+1)
		if err != nil {
			return nil, err
		}
		all.parts = append(all.parts, part)
	}
	return all, nil
}

// joined finds the column of a list that is one value; of structs, one for each of
// their fields.
func (form *flatForm) joined(r *flatRecord, name string, t reflect.Type, depth int) (*flatPart, error) {
	lists, columns := len(r.lists), len(r.columns)
	part, err := form.part(r, name, "", t.Elem(), depth+1)
	if err == nil && len(r.lists) > lists {
		err = errors.New("rows lie within a list that makes none")
	}
	return &flatPart{kind: flatJoined, parts: []*flatPart{part}, columns: r.columns[columns:]}, err
}

// column gives a name its place, which no other value of a row may have.
func (form *flatForm) column(r *flatRecord, name string) (int, error) {
	if r.taken[name] {
		return 0, fmt.Errorf("two values are called %s", name)
	}
	column, known := form.columns[name]
	if !known {
		column = len(form.names)
		form.columns[name] = column
		form.names = append(form.names, name)
	}
	r.taken[name] = true
	r.columns = append(r.columns, column)
	return column, nil
}

// pointee follows pointers.
func pointee(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return t
}

// flatWriter writes the rows of a struct.
type flatWriter struct {
	form  *flatForm
	ascii bool
	to    *csv.Writer
	lines [][]string // by how deep their record lies, to be used again
}

// flatList is a list that makes rows, and the rows' type.
type flatList struct {
	of   *flatPart
	list reflect.Value
}

// record writes the rows of a struct that stands in one whose values are above, and
// returns how many they are.
func (f *flatWriter) record(part *flatPart, v reflect.Value, above []string, depth int) (rows int, err error) {
	if len(f.lines) == depth {
		f.lines = append(f.lines, make([]string, len(above)))
	}
	line := f.lines[depth]
	copy(line, above)
	var lists []flatList
	if err := f.fill(line, part, v, &lists); err != nil {
		return 0, err
	}
	for _, l := range lists {
		for i := range l.list.Len() {
			more, err := f.record(l.of, l.list.Index(i), line, depth+1)
			if err != nil {
				return 0, err
			}
			rows += more
		}
	}
	if rows > 0 || depth == 0 && len(lists) > 0 {
		return rows, nil
	}
	for i := range line {
		line[i] = guard(line[i])
	}
	return 1, f.to.Write(line)
}

// fill puts the values of a part into a line, and notes the lists that make rows. Of
// what is not there it leaves the columns empty.
func (f *flatWriter) fill(line []string, part *flatPart, v reflect.Value, lists *[]flatList) (err error) {
	if part.kind == flatValue {
		line[part.column], err = f.value(v)
		return err
	}
	for v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	if !v.IsValid() {
		return nil
	}
	switch part.kind {
	case flatStruct:
		for _, p := range part.parts {
			if err := f.fill(line, p, v.Field(p.field), lists); err != nil {
				return err
			}
		}
	case flatArray:
		for i, p := range part.parts {
			if err := f.fill(line, p, v.Index(i), lists); err != nil {
				return err
			}
		}
	case flatJoined:
		return f.join(line, part, v)
	case flatMany:
		*lists = append(*lists, flatList{part.parts[0], v})
	}
	return nil
}

// join puts the elements of a list into a line as one value.
func (f *flatWriter) join(line []string, part *flatPart, v reflect.Value) error {
	if v.Len() == 0 {
		return nil
	}
	one := make([]string, len(line))
	for i := range v.Len() {
		clear(one)
		if err := f.fill(one, part.parts[0], v.Index(i), nil); err != nil {
			return err
		}
		for _, c := range part.columns {
			if i > 0 {
				line[c] += listSeparator
			}
			line[c] += one[c]
		}
	}
	return nil
}

// leaf reports whether a type is written as one value.
func leaf(t reflect.Type) bool {
	if t.Implements(reflect.TypeFor[json.Marshaler]()) || t.Implements(reflect.TypeFor[encoding.TextMarshaler]()) {
		return true
	}
	switch t.Kind() {
	case reflect.Pointer:
		return leaf(t.Elem())
	case reflect.Bool, reflect.String, reflect.Float32, reflect.Float64,
		reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64,
		reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return true
	}
	return false
}

// value is one value: what JSON has there, without quotes; empty for null.
func (f *flatWriter) value(v reflect.Value) (string, error) {
	raw, err := json.Marshal(v.Interface())
	if err != nil {
		return "", err
	}
	text := string(raw)
	switch {
	case text == "null":
		return "", nil
	case raw[0] == '"':
		if err := json.Unmarshal(raw, &text); err != nil {
			return "", err
		}
		return f.text(text), nil
	case raw[0] == '{', raw[0] == '[':
		return "", fmt.Errorf("%s has no flat form", v.Type())
	}
	return text, nil
}

// text makes text safe to show.
func (f *flatWriter) text(s string) string {
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
