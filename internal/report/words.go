package report

import "evenfall/internal/words"

// wordsSchema names the contract of the glossary.
const wordsSchema = "evenfall/words/1"

type glossary struct {
	Schema string         `json:"schema" csv:"-"`
	Terms  []glossaryTerm `json:"terms" csv:"rows"`
}

type glossaryTerm struct {
	Topic string `json:"topic"`
	Term  string `json:"term"`
	Means string `json:"means"`
}

// Words is the report of what the terms mean.
func Words() *Report {
	g := &glossary{Schema: wordsSchema, Terms: []glossaryTerm{}}
	d := Document{Title: "Words"}
	for _, topic := range words.Glossary() {
		facts := Facts{}
		for _, t := range topic.Terms {
			facts = append(facts, Fact{Label: t.Name, Text: t.Means})
			g.Terms = append(g.Terms, glossaryTerm{topic.Name, t.Name, t.Means})
		}
		d.Add(Heading{Text: topic.Name}, facts)
	}
	return &Report{Summary: words.Count(len(g.Terms), "term"), Document: d, Data: g}
}

// Guide is the report of what the words of one kind mean, with an example as it
// stands on a screen.
func Guide(w *words.Guide, example string) *Report {
	g := &glossary{Schema: wordsSchema, Terms: []glossaryTerm{}}
	facts := Facts{}
	for _, t := range w.Terms {
		facts = append(facts, Fact{Label: t.Name, Text: t.Means})
		g.Terms = append(g.Terms, glossaryTerm{w.Short, t.Name, t.Means})
	}
	d := Document{Title: w.Short}
	d.Add(facts, Heading{Text: "For example"}, Code{Language: Console, Text: example})
	return &Report{Summary: words.Count(len(g.Terms), "term"), Document: d, Data: g}
}
