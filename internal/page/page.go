// Package page makes the sheet: the page to take along, one file that opens
// from a phone's own storage and needs no network.
package page

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"

	"evenfall/internal/picture"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/report/html"
	"evenfall/internal/words"
)

//go:embed sheet.html
var markup string

//go:embed sheet.css
var style string

var sheet = template.Must(template.New("sheet").Funcs(template.FuncMap{"safe": words.Safe}).Parse(markup))

// Sheet is what a page is made of.
type Sheet struct {
	Document report.Document
	Pictures map[string]string // that it has places for, as SVG
	Engine   *Engine           // what makes it plan again; nil for a page that stays as it is
}

// Engine is the part of a page that plans again.
type Engine struct {
	// Policy is what it needs of the page's content security policy beside the
	// script: "worker-src blob:".
	Policy []string
	// Controls stand under the answer, and Data behind all else.
	Controls, Data template.HTML
	Script         string // run at the end, admitted by its hash
}

// New returns the sheet of a plan, its pictures drawn.
func New(p *plan.Plan, o report.Options) Sheet {
	s := Sheet{Document: report.Sheet(p, o).Document, Pictures: map[string]string{}}
	for _, b := range s.Document.Blocks {
		if of, ok := b.(report.Picture); ok {
			s.Pictures[of.Name] = picture.Draw(p, &of)
		}
	}
	return s
}

// Write writes the page, all of it or nothing. The error is the writer's.
func Write(w io.Writer, s *Sheet) error {
	drawn := html.Pictures{}
	for name, svg := range s.Pictures {
		drawn[name] = template.HTML(svg)
	}
	body, err := html.Render(&s.Document, drawn)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	err = sheet.Execute(&b, map[string]any{
		"Title": s.Document.Title, "Policy": s.policy(), "Style": template.CSS(style), "Body": body, "Engine": s.Engine,
		"Script": template.JS(s.script()),
	})
	if err != nil {
		return err
	}
	n, err := w.Write(b.Bytes())
	if err == nil && n < b.Len() {
		err = io.ErrShortWrite
	}
	if err != nil {
		return fmt.Errorf("sheet not written: %w", err)
	}
	return nil
}

func (s *Sheet) script() string {
	if s.Engine == nil {
		return ""
	}
	return s.Engine.Script
}

// policy is the page's content security policy: nothing from outside, and of
// what is inside only this style, and the engine's script.
func (s *Sheet) policy() string {
	list := []string{"default-src 'none'", "style-src " + hash(style), "img-src data:",
		"base-uri 'none'", "form-action 'none'"}
	if s.Engine != nil {
		list = append(list, "script-src "+hash(s.Engine.Script)+" 'wasm-unsafe-eval'")
		list = append(list, s.Engine.Policy...)
	}
	return strings.Join(list, "; ")
}

// hash names an inline text for a content security policy.
func hash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
