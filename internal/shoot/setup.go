package shoot

import (
	"fmt"

	"evenfall/internal/flash"
)

// setUpFlags are the flags that say how flashes are set up, with the key of a
// shoot's flash section that each stands for.
var setUpFlags = map[string]struct {
	key     string
	read    func(string) (any, bool)
	example string
}{
	"flash":    {"kit", readText, "speedlight-60"},
	"units":    {"units", readNumber, "1"},
	"distance": {"distance_m", readNumber, "2"},
	"zoom":     {"zoom_mm", readNumber, "50"},
	"modifier": {"modifier", readText, "bare"},
	"gel":      {"gel", readText, "half-cto"},
}

// SetUp reads how flashes are set up from flags, named without dashes: flash,
// units, distance, zoom, modifier and gel, with the defaults and ranges of a
// shoot's flash section. The error is a Faults.
func (l *Library) SetUp(flags map[string]string) (flash.Head, error) {
	r := &reader{}
	table := map[string]*entry{}
	for flag, value := range flags {
		of, ok := setUpFlags[flag]
		if !ok {
			r.faults = append(r.faults, Fault{Flag: flag, What: "is no flag of a flash"})
			continue
		}
		v, ok := of.read(value)
		if !ok {
			r.faults = append(r.faults, notRead(flag, value, of.example)...)
			continue
		}
		table[of.key] = &entry{origin: origin{flag: flag, given: value}, value: v}
	}
	root := &entry{table: map[string]*entry{"flash": {table: table}}}
	r.spoil("", root)
	s := (&section{reader: r, entry: root}).table("flash")
	h := s.head(l)
	h.Gel = s.gel("gel", l)
	if s.has("zoom_mm") && h.Modifier.Zoom > 0 && h.Unit.LongestZoom() > 0 {
		s.fault(s.at("zoom_mm"), fmt.Sprintf("the head inside %s is set to %s mm", quoted(h.Modifier.Name), plain(h.Modifier.Zoom)),
			s.without("zoom_mm"))
	}
	if len(r.faults) > 0 {
		return flash.Head{}, r.faults.inOrder()
	}
	return h, nil
}
