package report

import (
	"strconv"

	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
)

// Varied is one thing of a shoot set side by side: the values that a flag is
// given in turn.
type Varied struct {
	Shoot     *shoot.Shoot // as it is without them
	Flag      string       // without dashes
	Values    []string     // as they were typed
	Variation *plan.Variation
}

// Report is the report of a variation: which value to take, and a row for each.
func (v *Varied) Report(o Options) *Report {
	return &Report{Summary: words.Count(len(v.Values), "row") + ", " + v.verdict(),
		Document: v.document(o), Data: newVariedDocument(v, o)}
}

func (v *Varied) verdict() string { return words.Variation(v.Flag, v.Values, v.Variation) }

func (v *Varied) document(o Options) Document {
	best := &v.Variation.Variants[v.Variation.Best]
	d := Document{Title: v.title()}
	d.Add(opening(best.Plan.Shoot, o)...)
	d.Add(Paragraph{Text: v.verdict(), Strong: true, Tone: verdictTone(&best.Verdict)}, v.table())
	if o.Why || o.Full {
		d.Add(Heading{Text: "Each by itself"}, v.leads())
	}
	if o.Full {
		d.Add(Note{Kind: Remark, Text: "The best is the one that holds the most minutes, then holds or comes out softer at the most, " +
			"then misses by the least, then has the most comfortable headroom, then keeps scrim and flash out of the frame; of equals the first."})
	}
	d.Add(cautionBlocks(best.Plan)...)
	return d
}

// title says what is planned, and when where all values have one window.
func (v *Varied) title() string {
	list := v.Variation.Variants
	text := title(list[0].Plan)
	for i := range list {
		if title(list[i].Plan) != text {
			return name(v.Shoot) + ", --" + v.Flag + " side by side"
		}
	}
	return text
}

// leads say of each value which way of working to take.
func (v *Varied) leads() Facts {
	var list Facts
	for i := range v.Variation.Variants {
		one := &v.Variation.Variants[i]
		list = append(list, Fact{Label: v.Values[i], Text: words.Lead(one.Plan, &one.Verdict), Tone: verdictTone(&one.Verdict)})
	}
	return list
}

// table has a row for each value.
func (v *Varied) table() *Table {
	t := &Table{Columns: []Column{
		{Title: words.Sentence(v.Flag), Importance: 9},
		{Title: "Method", Importance: 9, Note: "that it is best done with"},
		{Title: "Works", Importance: 9, Note: "when the look is held or comes out softer"},
		{Title: "Held", Unit: "min", Align: Right, Importance: 8,
			Note: "minutes at which the look is held; under broken cloud with the sun out and in alike"},
		{Title: "Softer", Unit: "min", Align: Right, Importance: 5, Note: "minutes at which all is held but the ratio, which comes out lower"},
		{Title: "Missed", Unit: "min", Align: Right, Importance: 6},
		{Title: "Headroom", Unit: "stops", Align: Right, Importance: 8,
			Note: "the least flash power left over at full power; negative: what is short"},
		{Title: "Batteries", Unit: "sets", Align: Right, Importance: 8, Note: "for each flash"},
	}}
	for i := range v.Variation.Variants {
		one := &v.Variation.Variants[i]
		headroom := words.Unknown
		if one.Flashes {
			headroom = words.Offset(one.LeastHeadroom)
		}
		row := Cells(v.Values[i], one.Verdict.Best.String(), words.Extent(one), strconv.Itoa(one.Held), strconv.Itoa(one.Softer),
			strconv.Itoa(one.Missed), headroom, strconv.Itoa(one.Sets))
		row.Cells[0].Tone = outcomeTone(one.Outcome())
		t.Rows = append(t.Rows, row)
	}
	return t
}

// outcomeTone says how good an outcome is.
func outcomeTone(o plan.Outcome) Tone {
	return map[plan.Outcome]Tone{plan.Held: Good, plan.Softer: Warn, plan.Missed: Bad}[o]
}

type variedDocument struct {
	preamble
	Varied   variedValues `json:"varied"`
	Cautions []string     `json:"cautions" csv:"-"`
}

type variedValues struct {
	Key     string        `json:"key"`
	Values  []variedValue `json:"values" csv:"rows"`
	Verdict variedVerdict `json:"verdict" csv:"-"`
}

// variedVerdict is the value to take.
type variedVerdict struct {
	Value string `json:"value"`
	Text  string `json:"text"`
}

// variedValue is what one value comes to.
type variedValue struct {
	Text       string  `json:"text"`
	WindowFrom string  `json:"window_from"`
	WindowTo   string  `json:"window_to"`
	Method     string  `json:"method"`
	Outcome    string  `json:"outcome"`
	Held       int     `json:"minutes_held"`
	Softer     int     `json:"minutes_softer"`
	Missed     int     `json:"minutes_missed"`
	From       *string `json:"from"`
	Until      *string `json:"until"`
	Headroom   figure  `json:"least_headroom_stops"`
	Sets       int     `json:"battery_sets_per_flash"`
	AsGood     bool    `json:"as_good_as_best"`
	Verdict    string  `json:"verdict"`
}

// newVariedDocument puts a variation in the contract's terms.
func newVariedDocument(v *Varied, o Options) *variedDocument {
	list := v.Variation.Variants
	out := &variedDocument{
		preamble: newHeading(compareSchema, v.Shoot, o),
		Varied: variedValues{
			Key: v.Flag, Values: []variedValue{}, Verdict: variedVerdict{v.Values[v.Variation.Best], v.verdict()},
		},
		Cautions: Cautions(list[v.Variation.Best].Plan),
	}
	for i := range list {
		out.Varied.Values = append(out.Varied.Values, newVariedValue(v.Values[i], &list[i]))
	}
	return out
}

func newVariedValue(text string, v *plan.Variant) variedValue {
	s := v.Plan.Shoot
	from, to := v.Plan.Window()
	whole := newVerdict(v.Plan)
	out := variedValue{
		Text: text, WindowFrom: stamp(from, s), WindowTo: stamp(to, s), Method: whole.Method, Outcome: v.Outcome().String(),
		Held: v.Held, Softer: v.Softer, Missed: v.Missed, From: whole.From, Until: whole.Until,
		Sets: v.Sets, AsGood: v.Equal, Verdict: words.Lead(v.Plan, &v.Verdict),
	}
	if v.Flashes {
		out.Headroom = fixed(v.LeastHeadroom, 3)
	}
	return out
}
