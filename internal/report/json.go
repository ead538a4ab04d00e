package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
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

// encode writes a document as JSON.
func encode(b *bytes.Buffer, document any, o Options) error {
	var raw bytes.Buffer
	e := json.NewEncoder(&raw)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(document); err != nil {
		return err
	}
	// The encoder lets through some characters that terminals obey. They can
	// only stand within strings, where an escape means the same.
	for _, r := range raw.String() {
		switch {
		case r == '\n' || !words.Hidden(r) && (r < utf8.RuneSelf || !o.ASCII):
			b.WriteRune(r)
		case r > 0xffff:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(b, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(b, `\u%04x`, r)
		}
	}
	return nil
}
