package report

import (
	"slices"
	"strings"
)

// Moved says what of a sheet's facts is another in a second one: those of the
// first are what was printed.
func Moved(printed, now *Document) []Block {
	before, after := factsOf(printed), factsOf(now)
	t := &Table{Columns: []Column{{Title: "As printed", Importance: 9}, {Title: "Now", Importance: 9}}}
	labels := slices.Clone(after.labels)
	for _, label := range before.labels {
		if !slices.Contains(labels, label) {
			labels = append(labels, label)
		}
	}
	for _, label := range labels {
		if was, is := before.texts[label], after.texts[label]; was != is {
			t.Rows = append(t.Rows, Row{Across: label})
			t.Add(orNone(was), orNone(is))
		}
	}
	if len(t.Rows) == 0 {
		return []Block{Paragraph{Text: "Nothing moves: the plan stands as printed."}}
	}
	return []Block{t}
}

func orNone(text string) string {
	if text == "" {
		return "none"
	}
	return text
}

// labelled is the text of each label, in the order they come.
type labelled struct {
	labels []string
	texts  map[string]string
}

func (l *labelled) add(label, text string) {
	if was, again := l.texts[label]; again {
		text = was + "; " + text
	} else {
		l.labels = append(l.labels, label)
	}
	l.texts[label] = text
}

// factsOf are the facts of a sheet, with its answer before them and what is
// packed behind.
func factsOf(d *Document) *labelled {
	l := &labelled{texts: map[string]string{}}
	section := ""
	for _, b := range d.Blocks {
		switch b := b.(type) {
		case Heading:
			section = b.Name
		case Paragraph:
			if b.Strong && section == "" {
				l.add("Answer", b.Text)
			}
		case Facts:
			for _, f := range b {
				l.add(f.Label, f.Text)
			}
		case List:
			if section == packSection {
				l.add("Pack", strings.Join(b.Items, ", "))
			}
		}
	}
	return l
}
