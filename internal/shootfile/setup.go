package shootfile

import (
	"fmt"

	"evenfall/internal/flash"
	"evenfall/internal/shoot"
)

// checkZoom refuses a zoom position by flag with a modifier that sets the
// head's. In a file it may stand for when the head is bare.
func (s *section) checkZoom(h *flash.Head) {
	e := s.entryOf("zoom_mm")
	if e == nil || e.spoiled || e.origin.flag == "" || h.Modifier.Zoom == 0 || h.Unit.LongestZoom() == 0 {
		return
	}
	s.fault(e, fmt.Sprintf("%s has no effect: the head inside %s is set to %s mm", s.said("zoom_mm", e.written()),
		quoted(h.Modifier.Name), plain(h.Modifier.Zoom)), s.without("zoom_mm")+", or --modifier bare")
}

// SetUp reads how flashes are set up from flags, named without dashes: flash,
// units, distance, zoom, modifier and gel, with the defaults and ranges of a
// shoot's flash section. The error is a Faults.
func SetUp(l *shoot.Library, flags map[string]string) (flash.Head, error) {
	r := &reader{}
	table := map[string]*entry{}
	for flag, value := range flags {
		k, ok := flagKey(flag)
		if !ok || k.Section != "flash" {
			r.faults = append(r.faults, Fault{Flag: flag, What: "is not a flag of a flash"})
			continue
		}
		v, ok := k.read(value)
		if !ok {
			r.faults = append(r.faults, k.notRead(flag, value))
			continue
		}
		table[k.Name] = &entry{origin: origin{flag: flag, given: value}, value: v}
	}
	root := &entry{table: map[string]*entry{"flash": {table: table}}}
	r.spoil("", root)
	s := (&section{reader: r, entry: root}).table("flash")
	h := s.head(s.flash(l), l)
	h.Gel = s.gel("gel", l)
	s.checkZoom(&h)
	if len(r.faults) > 0 {
		return flash.Head{}, r.faults.inOrder()
	}
	return h, nil
}
