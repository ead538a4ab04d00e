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
	return &Report{What: "words", Summary: words.Count(len(g.Terms), "term"), Document: d, Data: g}
}
