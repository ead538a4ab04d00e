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
	Edition  string            // of the site whose page it is, beside the files of Site; empty of a single file
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
		"Title": s.Document.Title, "Policy": s.policy(), "Style": template.CSS(s.style()), "Body": body, "Engine": s.Engine,
		"Script": template.JS(s.script()), "Edition": s.Edition,
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

// style is the page's stylesheet.
func (s *Sheet) style() string {
	if s.Engine == nil {
		return bare(style)
	}
	return bare(style + changeStyle)
}

// script is what the page runs; empty for a page without scripts.
func (s *Sheet) script() string {
	script := ""
	if s.Engine != nil {
		script = s.Engine.Script
	}
	if s.Edition != "" {
		script += siteScript
	}
	return script
}

// policy is the page's content security policy: nothing from outside, and of
// what is inside only this style, and the scripts; of a site its own files.
func (s *Sheet) policy() string {
	pictures, scripts, workers := "img-src data:", "script-src "+hash(s.script()), ""
	if s.Engine != nil {
		scripts, workers = scripts+" 'wasm-unsafe-eval'", s.Engine.Workers
	}
	if s.Edition != "" {
		pictures, workers = pictures+" 'self'", strings.TrimSpace(workers+" 'self'")
	}
	list := []string{"default-src 'none'", "style-src " + hash(s.style()), pictures,
		"base-uri 'none'", "form-action 'none'"}
	if s.script() != "" {
		list = append(list, scripts, "worker-src "+workers)
	}
	if s.Edition != "" {
		list = append(list, "manifest-src 'self'")
	}
	return strings.Join(list, "; ")
}

// hash names an inline text for a content security policy.
func hash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
