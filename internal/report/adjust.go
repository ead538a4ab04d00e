package report

import (
	"slices"

	"evenfall/internal/plan"
	"evenfall/internal/words"
)

// Adjust is the report of what readings change: the answer first, then the cues
// from now on and the rest of the timeline.
func Adjust(a *plan.Adjustment, o Options) *Report {
	cues := 0
	for _, r := range a.After.RunsOf(a.After.Index(a.Method)) {
		cues += len(r.Cues())
	}
	return &Report{Summary: words.Count(cues, "cue") + ", " + words.InShort(a.After),
		Document: adjustDocument(a, o), Data: newAdjusted(a, o)}
}

func adjustDocument(a *plan.Adjustment, o Options) Document {
	p := a.After
	d := Document{Title: title(p)}
	d.Add(opening(p.Shoot, Options{Demonstration: o.Demonstration})...) // the readings are told one by one
	text, tone := Adjusted(a)
	d.Add(Paragraph{Text: text, Strong: true, Tone: tone})
	d.Add(append(readingFacts(o), settingFacts(a)...))
	d.Add(newCues(a, o)...)
	if len(carried(p)) > 0 {
		d.Add(Heading{Text: "Side by side: what moves, flash power and headroom in stops"}, sideBySide(p))
	}
	d.Add(fixes(p)...)
	d.Add(cautionBlocks(p)...)
	return d
}

// Adjusted says what readings change and how to go on, in a paragraph.
func Adjusted(a *plan.Adjustment) (string, Tone) {
	v := a.After.Verdict()
	return words.Adjusted(a) + " " + words.GoOn(a), verdictTone(&v)
}

// mostReadings is how many readings are told, the last ones; all on the full
// page.
const mostReadings = 3

// readingFacts tell the readings, and what else there is to know of them.
func readingFacts(o Options) Facts {
	list := o.Readings
	if !o.Full && len(list) > mostReadings {
		list = list[len(list)-mostReadings:]
	}
	var facts Facts
	for i := range list {
		w := &list[i]
		fact := Fact{Label: "Reading", Text: words.ReadingAt(w)}
		if words.ReadingRemark(w) != "" {
			fact.Tone = Warn
		}
		facts = append(facts, fact)
	}
	return facts
}

// settingFacts set how camera and flash are set from now on, and at the end,
// against what was planned.
func settingFacts(a *plan.Adjustment) Facts {
	n := a.After.Index(a.Method)
	runs := a.After.RunsOf(n)
	now, was := runs[0], a.Before.RunsOf(n)[0]
	facts := Facts{againstPlan("Now", &now.Minutes[0], &was.Minutes[0])}
	if last := len(now.Minutes) - 1; last > 0 {
		facts = append(facts, againstPlan("End", &now.Minutes[last], &was.Minutes[last]))
	}
	if text := sunGoesIn(a.After, n); text != "" {
		facts = append(facts, Fact{Label: "Sun in", Text: text})
	}
	if now.Flashes {
		stand, before := standFacts(a.After, now), standFacts(a.Before, was)
		if slices.Equal(stand, before) {
			stand = Facts{{Label: "Flash", Text: "stays where it was planned"}}
		}
		facts = append(facts, stand...)
	}
	return append(facts, pictureFacts(a.After, runs)...)
}

// againstPlan writes the settings of a minute, and the planned ones where they
// are others.
func againstPlan(label string, is, was *plan.Minute) Fact {
	now, planned := settings(&is.Solution), settings(&was.Solution)
	fact := Fact{Label: label, Text: words.Clock{}.Time(is.Time) + " " + now}
	switch {
	case now == planned:
		fact.Text += ", as planned"
	case words.Setting(&is.Solution) == words.Setting(&was.Solution):
		fact.Text += ", set as planned"
	default:
		fact.Text += "; the plan had " + planned
	}
	if is.Outcome == plan.Missed {
		fact.Tone = Bad
	}
	return fact
}

// newCues are the cues from now on, a line each; under broken cloud they follow
// the sun out.
func newCues(a *plan.Adjustment, o Options) []Block {
	r := a.After.RunsOf(a.After.Index(a.Method))[0]
	name := a.Method.String()
	if r.Split {
		name += ", " + words.Sun(r.Case)
	}
	return []Block{Heading{Text: "Cues from now on, " + name + ": " + runCounts(r)},
		cueTable(r, a.After.Shoot, o)}
}
