package page

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"html/template"
	"strconv"
	"strings"

	"evenfall/internal/engine"
)

// The scripts of a page that plans again, in the order they are run.
var (
	//go:embed host/engine.js
	engineScript string
	//go:embed host/document.js
	documentScript string
	//go:embed host/zone.js
	zoneScript string
	//go:embed host/change.js
	changeScript string
)

//go:embed change.css
var changeStyle string

//go:embed change.html
var changeMarkup string

var change = template.Must(template.New("change").Parse(changeMarkup))

// Engine is the part of a page that plans again.
type Engine struct {
	// Workers is where the script may take workers from, as a content security
	// policy says it.
	Workers string
	// Controls stand behind all else, and after them the data that they need.
	Controls, Data template.HTML
	Script         string // run at the end, admitted by its hash
}

// NewEngine returns what makes a page plan a shoot again: the engine is a
// compressed (gzip) WebAssembly module. The shoot has to be the one of the page.
func NewEngine(module []byte, s *engine.Shoot) (*Engine, error) {
	shoot, err := json.Marshal(s) // with < and & escaped
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(shoot)
	var b strings.Builder
	err = change.Execute(&b, map[string]any{
		"Key":      "evenfall-" + hex.EncodeToString(sum[:8]),
		"Anywhere": s.Anywhere,
	})
	return &Engine{
		Workers:  "blob:",
		Controls: template.HTML(b.String()),
		Data: template.HTML(`<script type="application/json" id="shoot">` + string(shoot) + "</script>\n" +
			`<script type="application/octet-stream" id="engine" data-size="` + strconv.Itoa(len(module)) + `">` +
			packed(module) + "</script>\n"),
		Script: bare(engineScript + documentScript + zoneScript + changeScript),
	}, err
}

// bare leaves out of a script or a stylesheet the lines that are comments of a
// script, and what stands before the first word of a line.
func bare(script string) string {
	var lines []string
	for line := range strings.Lines(script) {
		if line = strings.TrimLeft(line, "\t "); !strings.HasPrefix(line, "//") {
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, "")
}

// packed writes bytes as text of base 94, eleven digits for nine bytes, the last
// ones filled up with noughts: shorter by a twelfth than base 64. The digits are
// the printable characters of ASCII but for the one that a tag begins with.
func packed(data []byte) string {
	const base, bytes, digits, bits = 94, 9, 11, 24
	text := make([]byte, 0, (len(data)+bytes-1)/bytes*digits)
	for from := 0; from < len(data); from += bytes {
		var group [bytes]byte
		copy(group[:], data[from:])
		var limbs [3]uint32 // of 24 bits, the highest first
		for i, b := range group {
			limbs[i/3] = limbs[i/3]<<8 | uint32(b)
		}
		var written [digits]byte
		for i := digits - 1; i >= 0; i-- {
			rest := uint32(0)
			for k := range limbs {
				value := rest<<bits | limbs[k]
				limbs[k], rest = value/base, value%base
			}
			written[i] = digit(rest)
		}
		text = append(text, written[:]...)
	}
	return string(text)
}

// digit is the character of a digit below 94.
func digit(v uint32) byte {
	c := byte(' ' + v)
	if c >= '<' {
		c++
	}
	return c
}
