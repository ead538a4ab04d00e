// Package shootfile reads a shoot from a TOML file and from flags, with the
// place of everything that is wrong and what to type instead. It holds the
// library of kit, the demonstration, and the starter that new shoots are made
// from.
package shootfile

import (
	"bytes"
	_ "embed"
	"fmt"
)

// LargestFile is the size of the largest file that Parse takes, in bytes.
const LargestFile = 64 << 10

// demoName is how messages call the embedded shoot.
const demoName = "demonstration shoot"

//go:embed demo.toml
var demoText []byte

// Document is a shoot as it was written: a file, and what flags put in the
// place of the file's values. What its values mean is looked at by Resolve.
type Document struct {
	file string
	root *entry
	demo bool // the embedded one

	faults   Faults        // of flags that could not be read
	forecast *forecastFile // in the place of the file's; nil where there is none
}

// Parse reads a shoot file called name. The only errors, a Faults, are of a file
// that is too large, or no TOML at all; everything else that may be wrong with
// it, Resolve reports together.
func Parse(name string, data []byte) (*Document, error) {
	if len(data) > LargestFile {
		return nil, Faults{{File: name, Hint: "evenfall new, for a shoot to begin from: it takes a few kilobytes",
			What: fmt.Sprintf("is longer than %d bytes, the most that a shoot or a kit may be", LargestFile)}}
	}
	if isUTF16(data) {
		return nil, Faults{{File: name, What: "is saved as UTF-16, and TOML is UTF-8",
			Hint: "save it as UTF-8, without a byte order mark"}}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // some editors put a byte order mark in front
	root, fault := parseTree(data)
	if fault != nil {
		fault.File = name
		return nil, Faults{*fault}
	}
	return &Document{file: name, root: root}, nil
}

// isUTF16 reports whether text is in the encoding that some editors save
// "Unicode" in: it begins with a byte order mark, or every other byte of its
// beginning is nought.
func isUTF16(data []byte) bool {
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) {
		return true
	}
	if len(data) < 4 {
		return false
	}
	first, second := data[0] == 0, data[1] == 0
	return first != second && first == (data[2] == 0) && second == (data[3] == 0)
}

// Defaults returns a shoot that says nothing: what flags leave open is as in
// any file that leaves it out.
func Defaults() *Document { return &Document{root: &entry{table: map[string]*entry{}}} }

// Demo returns the embedded demonstration shoot.
func Demo() (*Document, error) {
	d, err := Parse(demoName, demoText)
	if err != nil {
		return nil, err
	}
	d.demo = true
	return d, nil
}

// DemoFile returns the text of the demonstration shoot, commented so that it
// can serve as a starter.
func DemoFile() []byte { return bytes.Clone(demoText) }

// section returns a table of the document, made where there is none.
func (d *Document) section(name string) *entry {
	e := d.root.table[name]
	if e == nil || e.table == nil {
		e = &entry{table: map[string]*entry{}}
		d.root.table[name] = e
	}
	return e
}
