package report

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"evenfall/internal/words"
)

// markdownPage is a document in the making, in the Markdown of CommonMark
// 0.31.2 with the tables of GitHub Flavored Markdown 0.29.
type markdownPage struct {
	strings.Builder
	ascii, full bool
	listed      bool // the last block was a run of list items
	defined     map[string]bool
}

// markdownOf renders a document as Markdown.
func markdownOf(d *Document, o Options) string {
	p := &markdownPage{ascii: o.ASCII, full: o.Full, defined: map[string]bool{}}
	fmt.Fprintf(p, "# %s\n", p.text(d.Title))
	for _, b := range d.Blocks {
		p.block(b)
	}
	return p.String()
}

func (p *markdownPage) block(b Block) {
	listed := p.listed
	p.listed = false
	switch b := b.(type) {
	case Facts:
		p.listed = listed
		for _, f := range b {
			p.item(fmt.Sprintf("**%s**: %s", p.text(f.Label), p.toned(f.Tone, f.Text)))
		}
	case Heading:
		fmt.Fprintf(p, "\n%s %s\n", strings.Repeat("#", 2+b.Level), p.text(b.Text))
	case Paragraph:
		text := p.toned(b.Tone, b.Text)
		if b.Strong {
			text = "**" + strings.TrimSpace(text) + "**"
		}
		fmt.Fprintf(p, "\n%s\n", text)
	case *Table:
		p.table(b)
	case List:
		p.list(&b)
	case Note:
		p.listed = listed
		p.note(&b)
	case Picture:
		fmt.Fprintf(p, "\n*%s*\n", p.text("Picture: "+b.Alt))
	case Code:
		p.code(&b)
	case Calculation:
		p.calculation(b)
	case Fold:
		fmt.Fprintf(p, "\n**%s**\n", strings.TrimSpace(p.toned(b.Tone, b.Summary)))
		for _, inner := range b.Blocks {
			p.block(inner)
		}
	}
}

// item writes an item of a list, that goes on from the items before.
func (p *markdownPage) item(text string) {
	if !p.listed {
		p.WriteByte('\n')
	}
	p.listed = true
	fmt.Fprintf(p, "- %s\n", text)
}

func (p *markdownPage) list(l *List) {
	p.WriteByte('\n')
	for i, s := range l.Items {
		mark := "-"
		if l.Ordered {
			mark = fmt.Sprintf("%d.", i+1)
		}
		fmt.Fprintf(p, "%s %s\n", mark, p.text(s))
	}
}

func (p *markdownPage) note(n *Note) {
	text := p.toned(n.Tone, n.Text)
	switch n.Kind {
	case Definition:
		p.item("**" + p.text(n.Term) + "**: " + text)
	case Caution:
		p.item("**Caution**: " + text)
	default:
		p.listed = false
		fmt.Fprintf(p, "\n%s\n", text)
	}
}

func (p *markdownPage) table(t *Table) {
	p.WriteByte('\n')
	titles, rules := make([]string, len(t.Columns)), make([]string, len(t.Columns))
	for i := range t.Columns {
		titles[i], rules[i] = t.Columns[i].Name(p.text), "---"
		if t.Columns[i].Align == Right {
			rules[i] = "--:"
		}
	}
	p.row(titles)
	p.row(rules)
	for i := range t.Rows {
		cells := make([]string, len(t.Columns))
		for j, c := range t.Rows[i].Cells {
			cells[j] = p.toned(c.Tone, c.Joined())
		}
		if across := t.Rows[i].Across; across != "" {
			cells[0] = "**" + p.text(across) + "**"
		}
		p.row(cells)
	}
	p.definitions(t)
}

func (p *markdownPage) row(cells []string) { fmt.Fprintf(p, "| %s |\n", strings.Join(cells, " | ")) }

// definitions writes what the columns mean, each once in a document.
func (p *markdownPage) definitions(t *Table) {
	for i := range t.Columns {
		if c := &t.Columns[i]; p.full && c.Note != "" && !p.defined[c.Title+"\n"+c.Note] {
			p.defined[c.Title+"\n"+c.Note] = true
			p.item("**" + p.text(c.Title) + "**: " + p.text(c.Note))
		}
	}
	p.listed = false
}

// calculation writes numbered steps, each part on a line of its own.
func (p *markdownPage) calculation(steps Calculation) {
	p.WriteByte('\n')
	for i := range steps {
		s := &steps[i]
		number := fmt.Sprintf("%d. ", s.Number)
		lines := []string{fmt.Sprintf("**%s**: %s", p.text(s.Title), p.text(s.Result))}
		meaning := p.text(s.Meaning)
		if s.Formula != "" {
			meaning = strings.TrimSpace(p.span(s.Formula) + " " + meaning)
		}
		lines = append(lines, meaning)
		if s.Numbers != "" {
			lines = append(lines, p.span("= "+s.Numbers))
		}
		lines = append(lines, p.text(s.Source))
		lines = slices.DeleteFunc(lines, func(l string) bool { return l == "" })
		fmt.Fprintf(p, "%s%s\n", number, strings.Join(lines, "\\\n"+strings.Repeat(" ", len(number))))
	}
}

// span writes a formula, in which nothing is markup; none has a backquote.
func (p *markdownPage) span(formula string) string {
	formula = words.Safe(formula)
	if p.ascii {
		formula = words.ASCII(formula)
	}
	return "`" + formula + "`"
}

// code writes text between fences longer than any run of backquotes in it.
func (p *markdownPage) code(c *Code) {
	fence := "```"
	for strings.Contains(c.Text, fence) {
		fence += "`"
	}
	fmt.Fprintf(p, "\n%s%s\n", fence, c.Language)
	for _, l := range c.Lines(p.ascii) {
		p.WriteString(l + "\n")
	}
	p.WriteString(fence + "\n")
}

// Lines returns the lines of text to be pasted, safe to show: what is not becomes
// escapes that TOML's strings take, and so does in ASCII whatever lies outside
// it. What a console shows is in ASCII as it would be there.
func (c *Code) Lines(ascii bool) []string {
	lines := strings.Split(strings.TrimSuffix(c.Text, "\n"), "\n")
	for i, l := range lines {
		l = words.Safe(l)
		switch {
		case ascii && c.Language == Console:
			l = words.ASCII(l)
		case ascii:
			l = escapeNonASCII(l)
		}
		lines[i] = l
	}
	return lines
}

// escapeNonASCII writes characters outside ASCII as \u00e9.
func escapeNonASCII(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r < 0x80:
			b.WriteRune(r)
		case r > 0xffff:
			fmt.Fprintf(&b, `\U%08x`, r)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}

// ToneSign is the sign that sets a tone off, empty for those that need none.
func ToneSign(t Tone) string {
	switch t {
	case Warn:
		return words.Nearly
	case Bad:
		return words.NotHeld
	}
	return ""
}

// ToneWord is the word for a tone's sign, for those who hear it.
func ToneWord(t Tone) string {
	switch t {
	case Warn:
		return "warning:"
	case Bad:
		return "problem:"
	}
	return ""
}

// toned returns text behind the sign of its tone.
func (p *markdownPage) toned(t Tone, s string) string {
	if sign := ToneSign(t); sign != "" {
		s = sign + " " + s
	}
	return p.text(s)
}

// text makes text safe and keeps it from being read as markup.
func (p *markdownPage) text(s string) string {
	s = strings.TrimSpace(words.Safe(s))
	if p.ascii {
		s = words.ASCII(s)
	}
	return escapeMarkdown(s)
}

// markup is what Markdown, HTML within it or a formula would act on. All of it
// may be escaped by a backslash (CommonMark 0.31.2, section 2.4); the pipe has
// to be within tables.
var markup = strings.NewReplacer(`\`, `\\`, "`", "\\`", `*`, `\*`, `_`, `\_`, `{`, `\{`, `}`, `\}`, `[`, `\[`, `]`,
	`\]`,
	`<`, `\<`, `>`, `\>`, `#`, `\#`, `|`, `\|`, `~`, `\~`, `&`, `\&`, `!`, `\!`, `$`, `\$`, `://`, `\://`)

var (
	// www begins an address that GitHub's Markdown would link (section 6.9).
	www = regexp.MustCompile(`(?i)\bwww\.`)
	// address is the middle of one of electronic mail, that would be linked.
	address = regexp.MustCompile(`([\w.+-])@([\w-])`)
	// marker begins a list or a heading at the start of a line.
	marker = regexp.MustCompile(`^(\d{1,9})([.)])|^()([-+=])`)
)

// escapeMarkdown returns text that is shown as it is.
func escapeMarkdown(s string) string {
	s = markup.Replace(s)
	s = www.ReplaceAllStringFunc(s, func(m string) string { return m[:3] + `\.` })
	s = address.ReplaceAllString(s, `$1<!-- -->@$2`)
	return marker.ReplaceAllString(s, `$1$3\$2$4`)
}
