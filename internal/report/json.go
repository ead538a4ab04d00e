package report

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"evenfall/internal/words"
)

// Figures are rounded to fewer digits than computers differ by, and are nil
// where there is no finite value.
type figure = *float64

// fixed rounds to a count of decimals.
func fixed[T ~float64](v T, decimals int) figure {
	x := float64(v)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return parsed(strconv.FormatFloat(x, 'f', decimals, 64))
}

// significant rounds to a count of digits.
func significant[T ~float64](v T, digits int) figure {
	x := float64(v)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return parsed(strconv.FormatFloat(x, 'g', digits, 64))
}

func parsed(s string) figure {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return nil
	}
	x += 0 // a rounded -0 becomes 0
	return &x
}

// exact keeps all digits that computers agree on: powers of two come out whole.
func exact(v float64) figure { return significant(v, 12) }

// amount rounds light, where six digits are far finer than any meter.
func amount[T ~float64](v T) figure { return significant(v, 6) }

// textOf is a text, nil where it is empty.
func textOf(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// encode writes a struct, or a pointer to one, as JSON: its fields one by one, and
// of a list one element after another, so that little of a long plan's text is kept.
func encode(w io.Writer, document any, o Options) error {
	e := &encoder{w: w, ascii: o.ASCII}
	if err := e.members(reflect.Indirect(reflect.ValueOf(document)), "{\n  "); err != nil {
		return err
	}
	e.text.WriteString("\n}\n")
	return e.flush(0)
}

// encoder writes the parts of a document.
type encoder struct {
	w     io.Writer
	text  bytes.Buffer // that is not written yet
	part  bytes.Buffer
	ascii bool
}

// flush writes what there is, if it is more than so much.
func (e *encoder) flush(most int) error {
	if e.text.Len() <= most {
		return nil
	}
	_, err := e.text.WriteTo(e.w)
	return err
}

// members writes the fields of a struct, the first behind what stands before it.
func (e *encoder) members(v reflect.Value, before string) error {
	for i := range v.NumField() {
		field := v.Type().Field(i)
		name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
		var err error
		switch {
		case name == "-":
			continue
		case field.Anonymous && name == "":
			err = e.members(v.Field(i), before)
		default:
			fmt.Fprintf(&e.text, "%s%q: ", before, cmp.Or(name, field.Name))
			err = e.member(v.Field(i))
		}
		if err != nil {
			return err
		}
		before = ",\n  "
	}
	return nil
}

// member writes the value of a field.
func (e *encoder) member(v reflect.Value) error {
	if v.Kind() != reflect.Slice || v.Len() == 0 || leaf(v.Type()) {
		return e.value(v, "  ")
	}
	before := "[\n    "
	for i := range v.Len() {
		e.text.WriteString(before)
		if err := e.value(v.Index(i), "    "); err != nil {
			return err
		}
		before = ",\n    "
	}
	e.text.WriteString("\n  ]")
	return nil
}

// value writes one value, its lines but the first behind a margin.
func (e *encoder) value(v reflect.Value, margin string) error {
	e.part.Reset()
	j := json.NewEncoder(&e.part)
	j.SetEscapeHTML(false)
	j.SetIndent(margin, "  ")
	if err := j.Encode(v.Interface()); err != nil {
		return err
	}
	e.escaped(bytes.TrimSuffix(e.part.Bytes(), []byte("\n")))
	return e.flush(1 << 16)
}

// escaped adds text of JSON. The standard encoder lets through some characters that
// terminals obey; they can only stand within strings, where an escape means the same.
func (e *encoder) escaped(text []byte) {
	for {
		i := bytes.IndexFunc(text, e.escapes)
		if i < 0 {
			e.text.Write(text)
			return
		}
		e.text.Write(text[:i])
		r, size := utf8.DecodeRune(text[i:])
		if r > 0xffff {
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&e.text, `\u%04x`, high)
			r = low
		}
		fmt.Fprintf(&e.text, `\u%04x`, r)
		text = text[i+size:]
	}
}

// escapes reports whether a character is written by its number.
func (e *encoder) escapes(r rune) bool {
	return (r < ' ' || r > '~') && r != '\n' && (words.Hidden(r) || r >= utf8.RuneSelf && e.ascii)
}
