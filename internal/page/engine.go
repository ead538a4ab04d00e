package page

import (
	"crypto/sha256"
	_ "embed"
	"encoding/ascii85"
	"encoding/hex"
	"encoding/json"
	"html/template"
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
			`<script type="application/octet-stream" id="engine">` + packed(module) + "</script>\n"),
		Script: engineScript + documentScript + zoneScript + changeScript,
	}, err
}

// packed writes bytes as text of base 85, a fifteenth shorter than base 64, in
// which no tag can begin: v stands for the sign that one begins with.
func packed(data []byte) string {
	text := make([]byte, ascii85.MaxEncodedLen(len(data)))
	text = text[:ascii85.Encode(text, data)]
	return strings.ReplaceAll(string(text), "<", "v")
}
