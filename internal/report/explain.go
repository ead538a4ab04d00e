package report

import (
	"math"
	"strings"

	"evenfall/internal/explain"
	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/words"
)

// Explain is the report of the arithmetic of one moment, an explanation for
// each case of its sky: the result, then the steps to it.
func Explain(p *plan.Plan, list []explain.Explanation, o Options) *Report {
	var outcomes []string
	for i := range list {
		for _, m := range list[i].Methods {
			outcomes = append(outcomes, m.Solution.Method.String()+" "+m.Solution.Outcome.String())
		}
	}
	return &Report{Summary: strings.Join(outcomes, ", "),
		Document: explainDocument(p, list, o), Data: newExplained(p, list, o)}
}

func explainDocument(p *plan.Plan, list []explain.Explanation, o Options) Document {
	d := Document{Title: momentTitle(p, list)}
	d.Add(opening(p.Shoot, o)...)
	d.Add(outside(p, list)...)
	for i := range list {
		d.Add(caseHeading(list[i].Row, list)...)
		for _, m := range list[i].Methods {
			d.Add(result(p, list[i].Row, m.Solution)...)
		}
	}
	d.Add(howToRead()...)
	n := 0
	for i := range list {
		d.Add(caseHeading(list[i].Row, list)...)
		d.Add(Heading{Text: "Light"})
		d.Add(groupBlocks(list[i].Light, &n)...)
		for _, m := range list[i].Methods {
			d.Add(Heading{Text: m.Solution.Method.String()})
			d.Add(groupBlocks(m.Groups, &n)...)
		}
	}
	d.Add(cautionBlocks(p)...)
	return d
}

// howToRead says how the steps are to be read.
func howToRead() []Block {
	return []Block{Paragraph{Text: "The steps follow: what is worked out, the formula, the same with numbers for a " +
		"calculator set to degrees, where it is from. A symbol means the same from the step that names it on. " +
		"≈ stands before estimates; the light is known no better than its band, whatever the digits. ln is the " +
		"logarithm to base e, log2(x) = ln(x) / ln(2), max and min take the larger and the smaller, ^ comes before a " +
		"minus sign."}}
}

// momentTitle says what is explained, and when.
func momentTitle(p *plan.Plan, list []explain.Explanation) string {
	t := list[0].Row.Time
	return name(p.Shoot) + ", " + words.Date(t) + ", " + words.Clock{}.Time(t) + " (" + words.Zone(t, t) + ")"
}

// outside says that a moment is not of the window.
func outside(p *plan.Plan, list []explain.Explanation) []Block {
	if !p.Outside(list[0].Row.Time) {
		return nil
	}
	from, to := p.Window()
	return []Block{Paragraph{Text: "Outside the window " + words.Clock{}.Range(from, to) +
		": solved for this moment, the flash where the run has it.", Tone: Warn}}
}

// caseHeading tells two skies of one moment apart.
func caseHeading(r *plan.Row, list []explain.Explanation) []Block {
	if len(list) < 2 {
		return nil
	}
	return []Block{Heading{Text: words.Sentence(words.Case(r.Case))}}
}

// result is what one method comes to: settings first.
func result(p *plan.Plan, r *plan.Row, m *plan.Solution) []Block {
	text, tone, set := m.Method.String()+": held at ", Good, settings(m)
	switch m.Outcome {
	case plan.Softer:
		text, tone = m.Method.String()+": softer than asked at ", Warn
	case plan.Missed:
		text, tone = m.Method.String()+": missed, "+words.Problem(m.Problem, m, p.Shoot)+". Nearest picture: ", Bad
		set = words.Setting(m) // the problem is said
	}
	facts := Facts{}
	if m.Fires() {
		place := p.PlaceAt(&r.Moment, m)
		facts = append(facts, standFact("Flash", &p.Shoot.Flash, &place))
	}
	if m.Fill.Fires() {
		facts = append(facts, fillFact(p, &r.Moment))
	}
	facts = append(facts, pictureFacts(p, []*plan.Run{momentRun(r, m)})...)
	facts = append(facts, Fact{Label: "Asked", Text: asked(p.Shoot)}, lightFact(r, m))
	facts = append(facts, sightFacts(r, m)...)
	if m.Outcome == plan.Missed {
		facts = append(facts, Fact{Label: "Change", Text: words.Cures(m.Cures, p.Shoot, mostCures)})
	}
	return []Block{Paragraph{Text: text + set + ".", Strong: true, Tone: tone}, facts}
}

// mostCures is how many changes are listed beside a result.
const mostCures = 4

// momentRun is a run of a single moment.
func momentRun(r *plan.Row, m *plan.Solution) *plan.Run {
	run := &plan.Run{Method: m.Method, Case: r.Case, Minutes: []plan.Minute{{Moment: &r.Moment, Solution: *m}}}
	if m.Outcome == plan.Missed {
		run.Missed = 1
	}
	return run
}

// lightFact says what light there is under a method.
func lightFact(r *plan.Row, m *plan.Solution) Fact {
	a := &m.Ambient
	return Fact{Label: "Light", Text: "sun " + words.Degrees(r.Sun.Altitude,
		1) + " high, " + r.Bearing + "; lit side EV " +
		words.EV(exposure.Incident(a.Lit)) + " (" + words.Band(r.Light.LitBand) + "), key side EV " +
		words.EV(exposure.Incident(a.Key)) + ", shadow side EV " + words.EV(exposure.Incident(a.Shadow)) + ", " +
		words.Ratio(float64(a.Key/a.Shadow)) + " without flash"}
}

// sightFacts say what to watch at a moment.
func sightFacts(r *plan.Row, m *plan.Solution) []Fact {
	var list []Fact
	for _, one := range []struct {
		is   bool
		text string
	}{
		{r.Sight.InFrame, "sun in the frame"},
		{r.Sight.Flare && !r.Sight.InFrame, "sun near the frame, expect flare"},
		{r.Sight.InEyes, "sun in the sitter's eyes"},
		{m.ScrimInFrame, "scrim in the frame"},
		{m.Reflected.InFrame, "reflector in the frame"},
	} {
		if one.is {
			list = append(list, Fact{Label: "Watch", Text: one.text, Tone: Warn})
		}
	}
	return list
}

// groupBlocks writes groups of steps, their numbers going on from n.
func groupBlocks(groups []explain.Group, n *int) []Block {
	var list []Block
	for _, g := range groups {
		list = append(list, Heading{Text: g.Title, Level: 1})
		var steps Calculation
		source := ""
		for i := range g.Steps {
			*n++
			steps = append(steps, laidOut(&g.Steps[i], *n, source))
			source = g.Steps[i].Source
		}
		list = append(list, steps)
	}
	return list
}

// laidOut lays a step out; a source is not said twice in a row.
func laidOut(s *explain.Step, n int, before string) CalculationStep {
	out := CalculationStep{Number: n, Title: s.Title, Result: stepResult(s), Formula: s.Expression(),
		Numbers: s.Numbers(),
		Meaning: s.Meaning(), Source: s.Source}
	if s.Template == "" && s.Symbol != "" { // no formula names it
		out.Result = s.Symbol + " " + strings.TrimPrefix("= "+out.Result, map[bool]string{true: "= "}[s.Estimate])
	}
	if out.Numbers == explain.Figures(s.Result) { // nothing to work out
		out.Numbers = ""
	}
	switch {
	case s.Source != "" && s.Source == before:
		out.Source = "as above"
	case s.Source == "" && s.Estimate:
		out.Source = "an estimate"
	}
	if out.Source != "" {
		out.Source = words.Sentence(out.Source) + "."
	}
	if s.Note != "" {
		out.Source = strings.TrimSpace(out.Source + " " + words.Sentence(s.Note) + ".")
	}
	return out
}

// stepResult writes what a step comes to.
func stepResult(s *explain.Step) string {
	if s.Template == "" && s.Result == 0 && s.Unit == "" && s.Symbol == "" {
		return s.Words // nothing to count
	}
	text := signed(s.Result)
	if s.Estimate {
		text = "≈ " + text
	}
	switch {
	case s.Unit == "":
		return text
	case s.Unit == "deg":
		return text + "°"
	case s.Unit == "stops" && math.Abs(s.Result) <= 1:
		return text + " stop"
	case s.Unit == ": 1":
		return text + ":1"
	}
	return text + " " + s.Unit
}

// signed writes a number as explain does, with a proper minus sign.
func signed(v float64) string {
	text := explain.Figures(math.Abs(v))
	if v < 0 && text != "0" {
		return "−" + text
	}
	return text
}

// explainSchema names the contract of explain. From here on it only grows.
const explainSchema = "evenfall/explain/2"

type explained struct {
	preamble
	Outside  bool        `json:"outside_window"`
	Rows     []explainAt `json:"rows" csv:"rows"`
	Cautions []string    `json:"cautions" csv:"-"`
}

// explainAt is one time under one sky.
type explainAt struct {
	instant
	Groups  []explainGroup  `json:"light_groups" csv:"rows"`
	Methods []explainMethod `json:"methods" csv:"rows"`
}

type explainMethod struct {
	method
	Groups []explainGroup `json:"groups" csv:"rows"`
}

type explainGroup struct {
	Group string        `json:"group"`
	Steps []explainStep `json:"steps" csv:"rows"`
}

type explainStep struct {
	Number   int     `json:"step"`
	Title    string  `json:"title"`
	Symbol   *string `json:"symbol"`
	Formula  *string `json:"formula"`
	Numbers  *string `json:"numbers"`
	Meaning  *string `json:"meaning"`
	Result   figure  `json:"result"`
	Unit     *string `json:"unit"`
	Source   *string `json:"source"`
	Estimate bool    `json:"estimate"`
	Note     *string `json:"note"`
}

// newExplained puts explanations in the contract's terms.
func newExplained(p *plan.Plan, list []explain.Explanation, o Options) *explained {
	s := p.Shoot
	out := &explained{preamble: newHeading(explainSchema, s, o), Outside: p.Outside(list[0].Row.Time), Rows: []explainAt{},
		Cautions: Cautions(p)}
	n := 0
	for i := range list {
		e := &list[i]
		at := explainAt{instant: newInstant(&e.Row.Moment), Groups: newGroups(e.Light, &n), Methods: []explainMethod{}}
		for _, m := range e.Methods {
			at.Methods = append(at.Methods, explainMethod{newMethod(m.Solution, &e.Row.Moment, s),
				newGroups(m.Groups, &n)})
		}
		out.Rows = append(out.Rows, at)
	}
	return out
}

func newGroups(groups []explain.Group, n *int) []explainGroup {
	list := []explainGroup{}
	for _, g := range groups {
		one := explainGroup{Group: g.Title, Steps: []explainStep{}}
		for i := range g.Steps {
			*n++
			one.Steps = append(one.Steps, newStep(&g.Steps[i], *n))
		}
		list = append(list, one)
	}
	return list
}

func newStep(s *explain.Step, n int) explainStep {
	return explainStep{Number: n, Title: s.Title, Symbol: textOf(s.Symbol), Formula: textOf(s.Expression()),
		Numbers: textOf(s.Numbers()), Meaning: textOf(s.Meaning()), Result: amount(s.Result), Unit: textOf(s.Unit),
		Source: textOf(s.Source), Estimate: s.Estimate, Note: textOf(s.Note)}
}
