package shoot

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
var demoFile []byte

// Document is a shoot as it was written: a file, and what flags put in the
// place of the file's values. What its values mean is looked at by Resolve.
type Document struct {
	file string
	root *entry
	demo bool // the embedded one
}

// Parse reads a shoot file called name. The only errors are of a file that
// is no TOML at all, a Faults; everything else that may be wrong with it,
// Resolve reports together.
func Parse(name string, data []byte) (*Document, error) {
	if len(data) > LargestFile {
		return nil, Faults{{File: name, Hint: "a shoot or a kit takes a few kilobytes; is this the right file?",
			What: fmt.Sprintf("is longer than %d bytes, the most that a shoot or a kit may be", LargestFile)}}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // some editors put a byte order mark in front
	root, fault := parseTree(data)
	if fault != nil {
		fault.File = name
		return nil, Faults{*fault}
	}
	return &Document{file: name, root: root}, nil
}

// Demo returns the embedded demonstration shoot.
func Demo() (*Document, error) {
	d, err := Parse(demoName, demoFile)
	if err != nil {
		return nil, err
	}
	d.demo = true
	return d, nil
}

// DemoFile returns the text of the demonstration shoot, commented so that it
// can serve as a starter.
func DemoFile() []byte { return bytes.Clone(demoFile) }

// section returns a table of the document, made where there is none.
func (d *Document) section(name string) *entry {
	e := d.root.table[name]
	if e == nil || e.table == nil {
		e = &entry{table: map[string]*entry{}}
		d.root.table[name] = e
	}
	return e
}
