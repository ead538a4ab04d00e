package shootfile

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// heading is how the starter begins a section.
type heading struct {
	name, title, note string
	list              bool // [[name]]
	optional          bool // in comments as a whole
}

// headings are the sections of the starter, in its order; what each holds is
// in the table of keys.
var headings = [...]heading{
	{},
	{name: "place", title: "Where",
		note: "In place of the keys of this section, saved = \"NAME\" picks one of your saved places (evenfall place list)."},
	{name: "when", title: "When"},
	{name: "sky", title: "The sky", list: true},
	{name: "wind", optional: true},
	{name: "subject", title: "Who stands where"},
	{name: "look", title: "What is held"},
	{name: "camera", title: "Camera and lens"},
	{name: "lens"},
	{name: "flash", title: "Flash"},
	{name: "fill", optional: true, note: "A second flash beside the lens, for fill; the one above then is the key:"},
	{name: "rim", optional: true, note: "Another flash from behind, with the same keys:"},
	{name: "scrim", title: "Scrim, reflector and filters", optional: true, note: "Uncomment what you carry:"},
	{name: "reflector", optional: true},
	{name: "shade", optional: true},
	{name: "filters", optional: true},
	{name: "pace", title: "Pace"},
	{name: "schedule", title: "What is wished for", optional: true,
		note: "For evenfall schedule, which looks for the day and the hour. Its flags are keys here:"},
}

const starterHead = `# A shoot for evenfall: one planned session. Change what does not fit, then
#
#     evenfall timeline THIS-FILE
#
# Omitted lines use defaults. A line such as "# elevation_m = 0" shows the
# default or an example; uncomment to change. Keys carry their unit in their
# name: _m metres, _deg degrees, _stops stops, _mm millimetres.
`

const starterFoot = `
# ---- Kit of your own -------------------------------------------------------
# Figures from the manual or the meter. A name from the library overrides it.
# There are [[kit.camera]], [[kit.flash]], [[kit.modifier]], [[kit.gel]],
# [[kit.scrim]], [[kit.reflector]] and [[kit.filter]].
# [[kit.flash]]
# name = "my-flash"
# guide_numbers = [{zoom_mm = 105, number_m = 43}]
# lowest_power = "1/128"
# recycle_full_s = 3.2
# flashes_per_set = 150
`

// starterWidth is the most columns that a line of the starter takes.
const starterWidth = 80

// starterText writes the starter, with the values given for some of its keys,
// called section.key; an empty one leaves the key in a comment.
func starterText(values map[string]string) string {
	var b strings.Builder
	b.WriteString(starterHead)
	for _, h := range headings {
		h.write(&b)
		for _, k := range table {
			if k.Section == h.name && k.Name != "" {
				k.writeStarter(&b, values)
			}
		}
	}
	b.WriteString(starterFoot)
	return b.String()
}

// write begins the section.
func (h heading) write(b *strings.Builder) {
	b.WriteString("\n")
	if h.title != "" {
		head := "# ---- " + h.title + " "
		b.WriteString(head + strings.Repeat("-", 78-len(head)) + "\n")
	}
	writeWrapped(b, h.note)
	line := "[" + h.name + "]"
	if h.list {
		line = "[" + line + "]"
	}
	if h.optional {
		line = "# " + line
	}
	if h.name != "" {
		b.WriteString(line + "\n")
	}
}

// writeStarter writes what the starter says of a key: nothing where it has
// neither a value nor a default to show.
func (k Key) writeStarter(b *strings.Builder, values map[string]string) {
	line := k.Name + " = " + k.set
	if value, given := values[join(k.Section, k.Name)]; given && value != "" {
		line = k.Name + " = " + value
	} else if given || k.set == "" {
		show := k.fallback
		if show == "" {
			show = k.set
		}
		if show == "" {
			return
		}
		line = "# " + k.Name + " = " + show
	}
	help := k.Help
	if k.ranged() && help != "" {
		help = k.Usage()
	}
	if strings.Contains(line, " # ") {
		help = "" // the value says more
	}
	const column = 28
	if help != "" {
		padded := line + strings.Repeat(" ", max(column-utf8.RuneCountInString(line), 1)) + "# " + help
		if utf8.RuneCountInString(padded) <= starterWidth {
			line, help = padded, ""
		}
	}
	b.WriteString(line + "\n")
	if k.note != "" {
		help = k.note
	}
	writeWrapped(b, help)
}

// writeWrapped writes text as comment lines that fit.
func writeWrapped(b *strings.Builder, text string) {
	line := "#"
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > starterWidth-2 {
			b.WriteString(line + "\n")
			line = "#"
		}
		line += " " + word
	}
	if line != "#" {
		b.WriteString(line + "\n")
	}
}

// Starter returns the text of a commented shoot to begin from, that resolves
// in the environment. Flags, named without dashes, may fill it in: name, at,
// tz and date; without at its place is an example. On a day whose sun does not
// set its window is by the clock. The error is a Faults.
func Starter(flags map[string]string, env Environment) ([]byte, error) {
	values := map[string]string{"when.date": strconv.Quote(within(env.Today).String())}
	filled, err := fillStarter(values, flags, env)
	if err == nil {
		return filled, nil
	}
	values["when.from"], values["when.to"] = `"20:00"`, `"22:00"`
	if filled, clockErr := fillStarter(values, flags, env); clockErr == nil {
		return filled, nil
	}
	return nil, err
}

// fillStarter takes the flags in, checked as those of any shoot are.
func fillStarter(values, flags map[string]string, env Environment) ([]byte, error) {
	d, err := Parse("starter", []byte(starterText(values)))
	if err != nil {
		return nil, err
	}
	if name, given := flags["name"]; given {
		e := &entry{origin: origin{flag: "name", given: name}, value: name}
		if !utf8.ValidString(name) {
			d.unread(e, Fault{Flag: "name", What: quoted(name) + " is not UTF-8 text", Hint: "--name 'My shoot'"})
		}
		d.root.table["name"] = e
	}
	_, moved := flags["at"]
	if _, given := flags["tz"]; given && !moved {
		return nil, Faults{{Flag: "tz", What: "a time zone goes with its place",
			Hint: "--at -33.86,151.21 --tz Australia/Sydney"}}
	}
	for _, flag := range [...]string{"at", "tz", "date"} {
		if value, given := flags[flag]; given {
			d.Set(flag, value)
		}
	}
	s, err := d.Resolve(env)
	if err != nil {
		return nil, err
	}
	place := d.root.table["place"].table
	latitude, _ := asNumber(place["latitude_deg"])
	longitude, _ := asNumber(place["longitude_deg"])
	values["place.latitude_deg"], values["place.longitude_deg"] = plain(latitude), plain(longitude)
	values["name"] = strconv.Quote(s.Name) // of printable text TOML's quotes are Go's
	values["when.date"] = strconv.Quote(s.When.Date.String())
	zone := s.Place.Zone.String()
	switch {
	case zone == "Local": // the system's, which has no name
		values["place.time_zone"] = ""
	case s.Place.ZoneAssumed:
		values["place.time_zone"] = strconv.Quote(zone) + " # taken from the system"
	default:
		values["place.time_zone"] = strconv.Quote(zone)
	}
	return []byte(starterText(values)), nil
}
