// Package timezone reads the rules of a time zone off over some years, to be
// carried to where there is no database of zones.
package timezone

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"time"
)

// Rules are those of a time zone over some years.
type Rules struct {
	Name string `json:"name"`
	// Changes of the clocks, the first one's offset being that of all time
	// before it as well.
	Changes []Change `json:"changes"`
}

// Change is what clocks show from an instant on.
type Change struct {
	From   int64 `json:"from"`     // seconds since 1970
	Offset int   `json:"offset_s"` // ahead of universal time
	Summer bool  `json:"summer"`   // they are put forward for the summer
}

// widest is how far apart clocks are looked at: no zone has been put back
// sooner after it was put forward (a month of Ramadan is the shortest).
const widest = 7 * 24 * time.Hour

// Of returns the rules of a zone between two instants, by bisection:
// time.Time.ZoneBounds takes for ever on the last day of some leap years.
func Of(zone *time.Location, from, to time.Time) Rules {
	shown := func(t int64) Change {
		at := time.Unix(t, 0).In(zone)
		_, offset := at.Zone()
		return Change{Offset: offset, Summer: at.IsDST()}
	}
	z := Rules{Name: zone.String()}
	last := shown(from.Unix())
	last.From = from.Unix()
	z.Changes = append(z.Changes, last)
	step := int64(widest / time.Second)
	for t := from.Unix(); t < to.Unix(); t += step {
		next := shown(t + step)
		if next.Offset == last.Offset && next.Summer == last.Summer {
			continue
		}
		before, after := t, t+step
		for after-before > 1 {
			middle := before + (after-before)/2
			if c := shown(middle); c.Offset == last.Offset && c.Summer == last.Summer {
				before = middle
			} else {
				after = middle
			}
		}
		next.From = after
		z.Changes, last = append(z.Changes, next), next
	}
	return z
}

// Location returns the zone for use with times. The error is of a zone without
// rules, or with ones that no clock has.
func (z *Rules) Location() (*time.Location, error) {
	const most = 15 * 3600 // s
	if len(z.Changes) == 0 || len(z.Changes) > math.MaxUint8 {
		return nil, fmt.Errorf("time zone %q has %d rules", z.Name, len(z.Changes))
	}
	for i, c := range z.Changes {
		if c.Offset < -most || c.Offset > most || i > 0 && c.From <= z.Changes[i-1].From {
			return nil, fmt.Errorf("time zone %q has a rule that no clock goes by", z.Name)
		}
	}
	return time.LoadLocationFromTZData(z.Name, z.tzif())
}

// tzif writes the zone in the Time Zone Information Format, RFC 9636, version 2:
// an empty block of the first version, then one with 64-bit times.
func (z *Rules) tzif() []byte {
	var b bytes.Buffer
	header := func(changes, types, letters int) {
		b.WriteString("TZif2")
		b.Write(make([]byte, 15))
		for _, n := range [...]int{0, 0, 0, changes, types, letters} { // no leap seconds, no indicators
			b.Write(binary.BigEndian.AppendUint32(nil, uint32(n)))
		}
	}
	const name = "-00\x00" // the abbreviation of one that is not known
	header(0, 0, 0)
	n := len(z.Changes)
	header(n, n, len(name))
	for i, c := range z.Changes {
		from := c.From
		if i == 0 {
			from = math.MinInt32 // long before there were any rules
		}
		b.Write(binary.BigEndian.AppendUint64(nil, uint64(from)))
	}
	for i := range z.Changes {
		b.WriteByte(byte(i))
	}
	for _, c := range z.Changes {
		summer := byte(0)
		if c.Summer {
			summer = 1
		}
		b.Write(append(binary.BigEndian.AppendUint32(nil, uint32(int32(c.Offset))), summer, 0))
	}
	b.WriteString(name)
	b.WriteString("\n\n") // no rule beyond the last change
	return b.Bytes()
}
