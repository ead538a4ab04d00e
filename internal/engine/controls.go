package engine

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"
	"evenfall/sky"
)

// Group is some controls under a name.
type Group struct {
	Name     string    `json:"name"`
	Controls []Control `json:"controls"`
}

// Control is what can be changed, with what it may be.
type Control struct {
	Flag    string `json:"flag"`
	Label   string `json:"label"`          // with its unit
	Kind    string `json:"kind"`           // number, choice, text, date or time
	Value   string `json:"value"`          // as the plan has it
	Printed string `json:"printed"`        // the value as printed
	Note    string `json:"note,omitempty"` // that it was another as printed
	// The range of a number, and what it goes up and down by.
	Low  *float64 `json:"low,omitempty"`
	High *float64 `json:"high,omitempty"`
	Step float64  `json:"step,omitempty"`
	// Choices are all there are, of a text only the likeliest.
	Choices []Choice `json:"choices,omitempty"`
	// Rivals are the flags that it takes the place of.
	Rivals []string `json:"rivals,omitempty"`
}

// Choice is a value, and what it is called.
type Choice struct {
	Value string `json:"value"`
	Label string `json:"label"`
}

// controlKind is how a value is entered.
type controlKind string

// The kinds of controls.
const (
	numberKind controlKind = "number"
	choiceKind controlKind = "choice"
	textKind   controlKind = "text"
	dateKind   controlKind = "date"
	timeKind   controlKind = "time"
)

// control is a control of the table: a flag under a label, and how it reads off a
// plan what is set and what can be.
type control struct {
	flag, label string
	kind        controlKind
	step        float64 // of a number
	value       func(*plan.Plan) string
	choices     func(*shoot.Shoot) []Choice
}

// group is a part of the table; anywhere, that it is for pages on which place
// and day can be changed too.
type group struct {
	name     string
	anywhere bool
	controls []control
}

// table lists what can be changed on location, as a photographer would look for
// it.
var table = []group{
	{"Place and day", true, []control{
		{flag: "at", label: "Place: latitude, longitude", kind: textKind, value: position},
		{flag: "tz", label: "Time zone", kind: textKind,
			value: func(p *plan.Plan) string { return p.Shoot.Place.Zone.String() }},
		{flag: "date", label: "Day", kind: dateKind, value: func(p *plan.Plan) string { return p.Shoot.When.Date.String() }},
	}},
	{"Light", false, []control{
		{flag: "sky", label: "Sky", kind: choiceKind, value: condition, choices: conditions},
		{flag: "wind", label: "Wind", kind: textKind, value: wind, choices: winds},
		{flag: "from", label: "From", kind: timeKind, value: begins},
		{flag: "to", label: "To", kind: timeKind, value: ends},
	}},
	{"Sitter", false, []control{
		{flag: "facing", label: "Sitter faces, degrees from true north or a side", kind: textKind,
			value:   func(p *plan.Plan) string { return strings.TrimSuffix(p.Shoot.Subject.Facing.String(), "°") },
			choices: ofWords("facing")},
	}},
	{"Flash", false, []control{
		{flag: "distance", label: "Flash to sitter, m", kind: numberKind, step: 0.1,
			value: func(p *plan.Plan) string { return number(p.Shoot.Flash.Distance) }},
		{flag: "flash-angle", label: "Flash from camera, degrees toward the key side", kind: choiceKind,
			value: angle, choices: angles},
		{flag: "units", label: "Flashes", kind: numberKind, step: 1,
			value: func(p *plan.Plan) string { return strconv.Itoa(p.Shoot.Flash.Units) }},
		{flag: "modifier", label: "Modifier", kind: choiceKind,
			value: func(p *plan.Plan) string { return p.Shoot.Flash.Modifier.Name }, choices: modifiers},
		{flag: "fill", label: "Fill: a second flash beside the lens", kind: choiceKind, value: fill, choices: fills},
	}},
	{"Picture", false, []control{
		{flag: "ratio", label: "Lighting ratio, to 1", kind: numberKind, step: 0.1,
			value: func(p *plan.Plan) string { return number(p.Shoot.Look.Ratio) }},
		{flag: "background-at-most", label: "Background at most, stops above normal or any", kind: textKind, value: atMost,
			choices: ofWords("background-at-most")},
		{flag: "background", label: "Background held at, stops from normal", kind: numberKind, step: 0.1, value: held},
		{flag: "aperture", label: "Aperture, f/", kind: choiceKind,
			value: func(p *plan.Plan) string { return p.Shoot.Lens.Wanted.Nominal() }, choices: apertures},
	}},
	{"Way of working", false, []control{
		{flag: "method", label: "Way of working", kind: choiceKind, value: method, choices: methods},
	}},
}

// labelOf returns the label of a flag, in the middle of a sentence without what
// it is counted in; empty for a flag without a control.
func labelOf(flag string) string {
	for _, g := range table {
		for _, c := range g.controls {
			if c.flag == flag {
				label, _, _ := strings.Cut(c.label, ",")
				label, _, _ = strings.Cut(label, ":")
				return label
			}
		}
	}
	return ""
}

// controls lists what can be changed of a plan, and how it stands beside the
// shoot as printed.
func controls(s *Shoot, printed, made *plan.Plan, changes []Setting) []Group {
	var list []Group
	for _, g := range table {
		if g.anywhere && !s.Anywhere {
			continue
		}
		out := Group{Name: g.name}
		for i := range g.controls {
			out.Controls = append(out.Controls, g.controls[i].of(printed, made, changes))
		}
		list = append(list, out)
	}
	return list
}

func (c *control) of(printed, made *plan.Plan, changes []Setting) Control {
	out := Control{Flag: c.flag, Label: c.label, Kind: string(c.kind), Value: c.value(made), Step: c.step}
	out.Printed = words.Safe(c.value(printed))
	out.Value = words.Safe(out.Value)
	key := keyOf(c.flag)
	if low, high, ok := key.Range(); ok && c.kind == numberKind {
		out.Low, out.High = &low, &high
	}
	out.Rivals = key.Rivals()
	if c.choices != nil {
		out.Choices = c.choices(printed.Shoot)
	}
	for _, value := range [...]string{out.Printed, out.Value} {
		if c.kind == choiceKind && !slices.ContainsFunc(out.Choices, func(o Choice) bool { return o.Value == value }) {
			out.Choices = append(plainly(value), out.Choices...)
		}
	}
	if has(changes, c.flag) {
		out.Note = "Printed: " + orNone(out.called(out.Printed))
	}
	return out
}

// called is what a value of the control is called.
func (c *Control) called(value string) string {
	for _, choice := range c.Choices {
		if choice.Value == value {
			return choice.Label
		}
	}
	return value
}

func orNone(text string) string {
	if text == "" {
		return "none"
	}
	return text
}

// keyOf returns the line of the table of keys for a flag.
func keyOf(flag string) shootfile.Key {
	for _, k := range shootfile.Flags() {
		if k.Flag == flag {
			return k
		}
	}
	return shootfile.Key{}
}

// rivalsOf are the flags that cannot be combined with one.
func rivalsOf(flag string) []string {
	key := keyOf(flag)
	return key.Rivals()
}

// plainly lists values that are called as they are typed.
func plainly(values ...string) []Choice {
	var list []Choice
	for _, v := range values {
		list = append(list, Choice{v, words.Safe(v)})
	}
	return list
}

// ofWords returns the choice among the words that a flag may be.
func ofWords(flag string) func(*shoot.Shoot) []Choice {
	return func(*shoot.Shoot) []Choice {
		key := keyOf(flag)
		return plainly(key.Words...)
	}
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// rounded writes a number to some decimals, without needless ones.
func rounded(v float64, decimals int) string {
	scale := math.Pow10(decimals)
	return number(math.Round(v*scale) / scale)
}

func position(p *plan.Plan) string {
	site := p.Shoot.Place.Site
	return rounded(site.Latitude.Degrees(), 6) + "," + rounded(site.Longitude.Degrees(), 6)
}

// begins is the clock time at which the window does, and ends when it is over.
func begins(p *plan.Plan) string {
	from, _ := p.Window()
	return words.Clock{}.Time(from)
}

func ends(p *plan.Plan) string {
	_, to := p.Window()
	return words.Clock{}.Time(to)
}

// condition is the sky of the whole window, or nothing where it changes or is
// none of the words.
func condition(p *plan.Plan) string {
	c := p.Shoot.Sky[0].Condition
	if len(p.Shoot.Sky) > 1 {
		return ""
	}
	return c.String()
}

func conditions(s *shoot.Shoot) []Choice {
	var list []Choice
	if len(s.Sky) > 1 {
		list = append(list, Choice{"", "as printed"})
	}
	for _, w := range sky.Words {
		list = append(list, Choice{w.String(), words.Condition(sky.Described(w))})
	}
	return list
}

func wind(p *plan.Plan) string {
	if p.Shoot.Wind == nil {
		return ""
	}
	return rounded(float64(*p.Shoot.Wind), 1) + " m/s"
}

func winds(*shoot.Shoot) []Choice {
	var list []string
	for b := scene.Beaufort(1); b <= 7; b++ {
		list = append(list, "force "+strconv.Itoa(int(b)))
	}
	return plainly(list...)
}

// angle is the flash angle that was asked for; empty where it is chosen.
func angle(p *plan.Plan) string {
	if p.Shoot.Stand.Angle == nil {
		return ""
	}
	return rounded(p.Shoot.Stand.Angle.Degrees(), 1)
}

func angles(s *shoot.Shoot) []Choice {
	const step = 5
	var list []Choice
	if s.Stand.Angle == nil {
		list = append(list, Choice{"", "the best"})
	}
	key := keyOf("flash-angle")
	low, high, _ := key.Range()
	for v := low; v <= high; v += step {
		list = append(list, Choice{number(v), words.Degrees(sky.Degrees(v), 0)})
	}
	return list
}

func modifiers(s *shoot.Shoot) []Choice { return plainly(s.Kit.Names(shoot.ModifierKit)...) }

func fill(p *plan.Plan) string {
	if p.Shoot.Fill == nil {
		return orNone("")
	}
	return p.Shoot.Fill.Unit.Name
}

func fills(s *shoot.Shoot) []Choice {
	return plainly(append([]string{orNone("")}, s.Kit.Names(shoot.FlashKit)...)...)
}

func atMost(p *plan.Plan) string {
	l := &p.Shoot.Look
	switch {
	case l.Kind == shoot.BackgroundLook:
		return ""
	case math.IsInf(float64(l.AtMost), 1):
		return "any"
	}
	return number(float64(l.AtMost))
}

func held(p *plan.Plan) string {
	if p.Shoot.Look.Kind != shoot.BackgroundLook {
		return ""
	}
	return number(float64(p.Shoot.Look.Background))
}

func apertures(s *shoot.Shoot) []Choice {
	var list []Choice
	for a := s.Lens.Widest; a <= s.Lens.Narrowest; a += exposure.Aperture(s.Camera.Click) {
		list = append(list, Choice{a.Nominal(), a.String()})
	}
	return list
}

// method is the one that is asked for; empty where there are several.
func method(p *plan.Plan) string {
	if len(p.Shoot.Methods) != 1 {
		return ""
	}
	return p.Shoot.Methods[0].String()
}

func methods(s *shoot.Shoot) []Choice {
	var list []Choice
	if len(s.Methods) != 1 {
		list = append(list, Choice{"", "the best of those asked for"})
	}
	for _, m := range shoot.AllMethods {
		if canWork(s, m) {
			list = append(list, Choice{m.String(), m.String()})
		}
	}
	return list
}

// canWork reports whether the kit for a way of working is carried.
func canWork(s *shoot.Shoot, m shoot.Method) bool {
	return (!m.UsesScrim() || s.Scrim != nil) && (!m.UsesFilter() || len(s.Filters) > 0) &&
		(!m.UsesReflector() || s.Reflector != nil)
}
