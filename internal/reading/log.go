package reading

import (
	"fmt"
	"strings"
	"time"
)

// LogHeading is what a new log begins with.
const LogHeading = "# Meter readings: time, value@plane. A line is left out with # in front of it.\n"

// logged is what a line of a log looks like.
const logged = "2027-09-18T18:05:00+02:00 ev12.3@lit"

// LogLine returns the reading as a line of a log, with its end: the time in
// RFC 3339, the value, and always the plane. No name of a plane begins another,
// so that a line that was cut short, by a crash in the middle of a write, is
// known: it does not end in a plane.
func (r *Reading) LogLine() string {
	return r.Time.Format(time.RFC3339) + " " + r.Given + "@" + r.Plane.String() + "\n"
}

// ParseLog reads a log: a reading a line, and comments behind #. Lines that were
// cut short are left out and returned as remarks; the error, Faults, is of lines
// that are wrong otherwise.
func ParseLog(text string) (list []Reading, cut []Fault, err error) {
	var faults Faults
	for i, line := range strings.Split(text, "\n") {
		line, _, _ = strings.Cut(line, "#")
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		r, err := parseLine(line)
		switch f, _ := err.(Fault); {
		case err == nil:
			r.Line = i + 1
			list = append(list, r)
		case !endsInPlane(line):
			cut = append(cut, Fault{Line: i + 1, Hint: logged,
				What: fmt.Sprintf("%q does not end in a plane, as if cut short, and is left out", line)})
		default:
			f.Line = i + 1
			faults = append(faults, f)
		}
	}
	if len(faults) > 0 {
		return nil, cut, faults
	}
	return list, cut, nil
}

// endsInPlane reports whether a line was written to its end.
func endsInPlane(line string) bool {
	for _, p := range Planes {
		if strings.HasSuffix(line, "@"+p.String()) {
			return true
		}
	}
	return false
}

// parseLine reads a line of a log. The error is a Fault.
func parseLine(line string) (Reading, error) {
	stamp, value, _ := strings.Cut(line, " ")
	t, err := time.Parse(time.RFC3339, stamp)
	if err != nil {
		return Reading{}, Fault{What: fmt.Sprintf("%q is not a date and time with its offset", stamp),
			Hint: logged}
	}
	if !endsInPlane(line) {
		return Reading{}, Fault{What: fmt.Sprintf("%q does not end in a plane", line), Hint: line + "@lit"}
	}
	r, err := ParseValue(value)
	if f, is := err.(Fault); is {
		if f.Hint = stamp + " " + f.Hint; !endsInPlane(f.Hint) {
			f.Hint += "@lit"
		}
		return Reading{}, f
	}
	r.Time = t
	return r, nil
}
