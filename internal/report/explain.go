package report

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Explained is what is told of one moment.
type Explained struct {
	Shoot *shoot.Shoot
	// Methods are the explanations by method, each with one for every case of
	// the sky. There is at least one method.
	Methods [][]plan.Explanation
}

// Explain writes every step to the answers of some methods at one moment. The
// error is the writer's, or that of a format that is none.
func Explain(w io.Writer, e *Explained, f Format, o Options) error {
	return deliver(w, "explanation", f, forms{
		Text:     func(b *bytes.Buffer) error { return explainText(b, e, o) },
		JSON:     func(b *bytes.Buffer) error { return encode(b, newExplanation(e, o), o) },
		CSV:      func(b *bytes.Buffer) error { return explainCSV(b, e, o) },
		Markdown: func(b *bytes.Buffer) error { return explainMarkdown(b, e, o) },
	})
}

// estimated stands before a value that is an estimate.
const estimated = "~"

// howToRead tells what the lines of a step are.
func howToRead() []string {
	return []string{
		"Each step: what it is with its value, the formula, the same with numbers (=), and where it is from. Steps without " +
			"numbers are given, or looked up.",
		estimated + " marks an estimate: fitted or judged by this program, or common practice without a source. What is worked " +
			"out from one is no better, and not marked again.",
		"A calculator set to degrees follows every line with =. ln is the logarithm to base e, log2(x) = ln(x) / ln(2), " +
			"max and min take the larger and the smaller, ^ comes before the minus sign.",
		"Six figures are written so that the arithmetic can be followed. The light itself is known no better than its band.",
		"The timeline may take another setting as near to the look, to move the controls less.",
	}
}

// spelled is what stands for the letters and signs of formulas in ASCII.
var spelled = strings.NewReplacer("τs", "tau_s", "φe", "phi_e", "φz", "phi_z", "μc", "mu_c", "τ", "tau", "φ", "phi", "μ", "mu", "χ", "chi",
	"ψ", "psi", "θ", "theta", "ρ", "rho", "π", "pi", "Σ ", "sum ", "√", "sqrt", "²", "^2", "³", "^3")

// symbols writes a formula, with names for its letters where only ASCII may be
// written.
func (w words) symbols(s string) string {
	if w.ascii {
		s = spelled.Replace(s)
	}
	return w.text(s)
}

// value writes what a step comes to, with its unit and its mark.
func (w words) value(s *sky.Step) string {
	text := sky.Figures(s.Value)
	if s.Unit != "" {
		text += " " + w.symbols(s.Unit)
	}
	if s.Estimate {
		return estimated + " " + text
	}
	return text
}

// explainedMoment names the moment.
func (w words) explainedMoment(r *plan.Row) string {
	clock := "15:04:05"
	return fmt.Sprintf("%s, %s, %s (%s)", date(r.Time), r.Time.Format(clock), w.text(r.Time.Location().String()), offset(r.Time))
}

// skyTitle is the heading of a case, empty where the sky has one only.
func skyTitle(r *plan.Row) string {
	switch caseWord(r.Condition, r.Case) {
	case caseSun:
		return "With the sun out"
	case caseCloud:
		return "With the sun in"
	}
	return ""
}

// answer tells in a line what a method comes to, and in others why it fails
// and what would help.
func (w words) answer(s *plan.Solution) (line, problem, cures string) {
	if s.Problem != nil {
		problem = w.text(s.Problem.Text) + "."
		var list []string
		for _, c := range s.Cures {
			list = append(list, w.text(c.Text))
		}
		switch len(list) {
		case 0:
		case 1:
			cures = "Cure: " + list[0] + "."
		default:
			cures = "Cures, any one of them: " + strings.Join(list, "; ") + "."
		}
		if s.Problem.Kind.Lacks() {
			return "", problem, cures
		}
	}
	set := &s.Settings
	line = fmt.Sprintf("%s, %s, ISO %s", set.Aperture, set.Shutter, set.ISO)
	if set.ND != 0 {
		line += ", ND " + inStops(set.ND)
	}
	if s.Role == plan.None {
		line += ", no flash"
	} else {
		line += fmt.Sprintf(", flash %s %s", s.Role, s.Power)
	}
	line += ", ratio " + ratio(s.Ratio) + ", exposure " + signed(s.Exposure) + stopWord(s.Exposure)
	return line, problem, cures
}

// explainText writes the steps for a terminal.
func explainText(b *bytes.Buffer, e *Explained, o Options) error {
	w := words{o.ASCII}
	first := &e.Methods[0][0].Row
	g := newPage(b, w.title(e.Shoot, o), w.facts(e.Shoot, w.explainedMoment(first)), o)
	g.list("How to read this", howToRead())
	n := 0
	for k := range e.Methods[0] {
		one := &e.Methods[0][k]
		if title := skyTitle(&one.Row); title != "" {
			g.head(title)
		}
		g.steps(one.Light, "", &n)
		for _, cases := range e.Methods {
			m := &cases[k]
			name := m.Solution.Method.String()
			g.steps(m.Method, name+": ", &n)
			g.head(name + ": " + aboutMethod(m.Solution.Method))
			line, problem, cures := g.answer(&m.Solution)
			if line != "" {
				g.hang("", 0, line)
			}
			if problem != "" {
				g.hang(g.fails(), 2, problem)
			}
			if cures != "" {
				g.hang("", 2, cures)
			}
		}
	}
	g.list("Cautions", Cautions(e.Shoot))
	return nil
}

// steps writes the steps of some sections, counted on from n.
func (g *page) steps(list []plan.Section, before string, n *int) {
	for _, s := range list {
		if len(s.Steps) == 0 {
			continue
		}
		g.head(before + s.Title)
		source := ""
		for i := range s.Steps {
			*n++
			one := s.Steps[i]
			if one.Source == source && source != "" {
				one.Source = "as above"
			}
			source = s.Steps[i].Source
			g.step(*n, &one)
		}
	}
}

// step writes one step: number, title and value on a line, the rest under it.
func (g *page) step(n int, s *sky.Step) {
	const indent = 5
	title, value := g.symbols(s.Title), g.value(s)
	gap := g.width - indent - cells(title) - cells(value) - 2
	label := fmt.Sprintf("%*d", indent-2, n)
	if gap < 1 {
		g.hang(label, indent, title)
		g.line(strings.Repeat(" ", max(0, g.width-cells(value))) + g.paint(strong, value))
	} else {
		g.line(label + "  " + title + " " + g.paint(aside, strings.Repeat(g.pick("·", "."), gap)) + " " + g.paint(strong, value))
	}
	g.hang("", indent, g.symbols(s.Formula))
	if s.Numbers != "" {
		g.hang(strings.Repeat(" ", indent)+"=", indent+2, g.symbols(s.Numbers))
	}
	if s.Note != "" {
		g.hang("", indent, g.symbols(s.Note)+".")
	}
	if s.Source != "" {
		g.hang("", indent, "["+g.symbols(s.Source)+"]")
	}
}

// explainMarkdown writes the steps as a document with tables in pipes.
func explainMarkdown(b *bytes.Buffer, e *Explained, o Options) error {
	w := words{o.ASCII}
	markdownHeader(b, w.title(e.Shoot, o), w.facts(e.Shoot, w.explainedMoment(&e.Methods[0][0].Row)))
	markdownList(b, "How to read this", howToRead())
	n := 0
	for k := range e.Methods[0] {
		one := &e.Methods[0][k]
		if title := skyTitle(&one.Row); title != "" {
			fmt.Fprintf(b, "\n## %s\n", title)
		}
		if err := w.markdownSections(b, one.Light, "", &n); err != nil {
			return err
		}
		for _, cases := range e.Methods {
			m := &cases[k]
			name := m.Solution.Method.String()
			if err := w.markdownSections(b, m.Method, name+": ", &n); err != nil {
				return err
			}
			line, problem, cures := w.answer(&m.Solution)
			fmt.Fprintf(b, "\n## %s\n\n", literal.Replace(name+": "+aboutMethod(m.Solution.Method)))
			for _, s := range [3]string{line, problem, cures} {
				if s != "" {
					fmt.Fprintf(b, "- %s\n", literal.Replace(s))
				}
			}
		}
	}
	markdownList(b, "Cautions", Cautions(e.Shoot))
	return nil
}

func (w words) markdownSections(b *bytes.Buffer, list []plan.Section, before string, n *int) error {
	for _, s := range list {
		if len(s.Steps) == 0 {
			continue
		}
		t := &table{columns: []column{{name: "no.", right: true}, {name: "step"}, {name: "formula"}, {name: "with numbers"}, {name: "value", right: true}, {name: "source"}}}
		for i := range s.Steps {
			*n++
			one := &s.Steps[i]
			numbers, source := "", w.symbols(one.Source)
			if one.Numbers != "" {
				numbers = "= " + w.symbols(one.Numbers)
			}
			if one.Note != "" {
				source = strings.TrimPrefix(source+"; "+w.symbols(one.Note), "; ")
			}
			t.lines = append(t.lines, line{cells: plainCells([]string{strconv.Itoa(*n), w.symbols(one.Title), w.symbols(one.Formula), numbers, w.value(one), source})})
		}
		if err := markdownTable(b, before+s.Title, "", t); err != nil {
			return err
		}
	}
	return nil
}

// explainSchema names the contract of explain. It only ever grows.
const explainSchema = "evenfall/explain/1"

type explanation struct {
	heading
	Reading  []string       `json:"how_to_read"`
	Skies    []explainedSky `json:"skies"`
	Cautions []string       `json:"cautions"`
}

// explainedSky is the moment under one case of the sky.
type explainedSky struct {
	instant
	Sections []explainedSection `json:"sections"`
	Methods  []explainedMethod  `json:"methods"`
}

type explainedMethod struct {
	method
	Sections []explainedSection `json:"sections"`
}

type explainedSection struct {
	Title string          `json:"title"`
	Steps []explainedStep `json:"steps"`
}

type explainedStep struct {
	Number   int     `json:"number"`
	Title    string  `json:"title"`
	Formula  string  `json:"formula"`
	Numbers  *string `json:"numbers"`
	Value    figure  `json:"value"`
	Unit     string  `json:"unit"`
	Source   string  `json:"source"`
	Estimate bool    `json:"estimate"`
	Note     *string `json:"note"`
}

func newExplanation(e *Explained, o Options) *explanation {
	out := &explanation{heading: newHeading(explainSchema, e.Shoot, o), Reading: howToRead(), Skies: []explainedSky{}, Cautions: Cautions(e.Shoot)}
	n := 0
	for k := range e.Methods[0] {
		one := &e.Methods[0][k]
		s := explainedSky{instant: newInstant(&one.Row, e.Shoot), Sections: newSections(one.Light, &n), Methods: []explainedMethod{}}
		for _, cases := range e.Methods {
			m := &cases[k]
			s.Methods = append(s.Methods, explainedMethod{newMethod(&m.Solution, e.Shoot), newSections(m.Method, &n)})
		}
		out.Skies = append(out.Skies, s)
	}
	return out
}

func newSections(list []plan.Section, n *int) []explainedSection {
	out := []explainedSection{}
	for _, s := range list {
		section := explainedSection{Title: s.Title, Steps: []explainedStep{}}
		for i := range s.Steps {
			*n++
			one := &s.Steps[i]
			step := explainedStep{Number: *n, Title: one.Title, Formula: one.Formula, Value: amount(one.Value), Unit: one.Unit,
				Source: one.Source, Estimate: one.Estimate}
			if one.Numbers != "" {
				step.Numbers = &one.Numbers
			}
			if one.Note != "" {
				step.Note = &one.Note
			}
			section.Steps = append(section.Steps, step)
		}
		out = append(out, section)
	}
	return out
}

// explainCSV writes a line for every step as RFC 4180 has it, with the names,
// units and values of the JSON; what is unknown is empty.
func explainCSV(b *bytes.Buffer, e *Explained, o Options) error {
	records := []*record{newStepRecord(&explainedSky{}, "", "", &explainedStep{})}
	document := newExplanation(e, o)
	for i := range document.Skies {
		s := &document.Skies[i]
		add := func(method string, sections []explainedSection) {
			for _, section := range sections {
				for j := range section.Steps {
					records = append(records, newStepRecord(s, method, section.Title, &section.Steps[j]))
				}
			}
		}
		add("", s.Sections)
		for _, m := range s.Methods {
			add(m.Method, m.Sections)
		}
	}
	return writeRecords(b, records, o)
}

func newStepRecord(s *explainedSky, method, section string, one *explainedStep) *record {
	c := &record{}
	c.text("time", s.Time)
	c.optional("case", s.Case)
	c.text("method", method)
	c.text("section", section)
	c.text("number", strconv.Itoa(one.Number))
	c.text("title", one.Title)
	c.text("formula", one.Formula)
	c.optional("numbers", one.Numbers)
	c.figure("value", one.Value)
	c.text("unit", one.Unit)
	c.text("source", one.Source)
	c.text("estimate", strconv.FormatBool(one.Estimate))
	c.optional("note", one.Note)
	return c
}
