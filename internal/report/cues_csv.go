package report

import (
	"bytes"
	"strconv"
)

// cuesCSV writes a line for every change as RFC 4180 has it, with the names,
// units and values of the JSON; what is unknown is empty. A cue that moves
// nothing, such as the first, has one line with no control.
func cuesCSV(b *bytes.Buffer, c *Cues, o Options) error {
	records := []*record{newCueRecord(&cueRun{}, &cue{}, &change{})}
	for _, r := range newCueDocument(c, o).Runs {
		for i := range r.Cues {
			one := &r.Cues[i]
			if len(one.Changes) == 0 {
				records = append(records, newCueRecord(&r, one, &change{}))
			}
			for j := range one.Changes {
				records = append(records, newCueRecord(&r, one, &one.Changes[j]))
			}
		}
	}
	return writeRecords(b, records, o)
}

func newCueRecord(r *cueRun, one *cue, ch *change) *record {
	c := &record{}
	c.text("time", one.Time)
	c.optional("case", r.Case)
	c.text("control", ch.Control)
	c.text("from", ch.From)
	c.text("to", ch.To)
	c.figure("by_stops", ch.By)
	c.figure("by_clicks", ch.Clicks)
	c.text("reason", one.Reason)
	c.text("holds", strconv.FormatBool(one.Holds))
	c.method(&one.Set)
	return c
}
