package shootfile

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"evenfall/sky"
)

// placesHead begins a file of places.
const placesHead = "# Places for all shoots, picked by --place NAME or by saved = \"NAME\" in [place].\n"

// SavedPlace returns the document's place as it is kept under a name. It looks at
// nothing else of the document. The error is a Faults.
func (d *Document) SavedPlace(name string, env Environment) (SavedPlace, error) {
	if what := wrongPlaceName(name); what != "" {
		return SavedPlace{}, Faults{{What: what, Hint: "evenfall place save west-quay"}}.inOrder()
	}
	r := &reader{file: d.file, stands: d.standIns(), faults: slices.Clone(d.faults)}
	for _, key := range [...]string{"place", "places"} {
		if e := d.root.table[key]; e != nil {
			r.spoil(key, e)
		}
	}
	root := &section{reader: r, entry: d.root}
	places := r.savedPlaces(root.table("places"), env).Add(env.Places)
	s := root.table("place")
	saved := SavedPlace{Name: name}
	ok := false
	saved.Place, saved.Ground, ok = r.place(s, env, places)
	picked, _ := d.Picks()
	if one, found := places.Find(picked); found && one.Place.Name == "" && saved.Place.Name == one.Name {
		saved.Place.Name = "" // it is called as it is picked
	}
	if ok {
		o, date := sky.NewObserver(saved.Place.Site), env.Today
		r.checkZone(s, &saved.Place, o.Day(date.Year, date.Month, date.Day, saved.Place.Zone))
	}
	if len(r.faults) > 0 {
		return SavedPlace{}, r.faults.inOrder()
	}
	return saved, nil
}

// WithPlace returns the text of a file of places called file with a place in it:
// in the place of the one of its name, else behind the rest. All else stays as it
// is written, comments too. The error is a Faults.
func WithPlace(file string, text []byte, p *SavedPlace, env Environment) ([]byte, error) {
	places, err := ParsePlaces(file, text, env)
	if err != nil {
		return nil, err
	}
	lines := linesOf(text)
	old, found := places.Find(p.Name)
	block := linesOf([]byte(p.Block(false)))
	if found {
		from, to := places.lines(old.Name, lines)
		lines = slices.Replace(lines, from, to, block...)
	} else {
		if len(lines) == 0 {
			lines = linesOf([]byte(placesHead))
		}
		lines = append(append(lines, ""), block...)
	}
	return edited(file, text, lines, places, p.Name, env)
}

// WithoutPlace returns the text of a file of places called file without a place
// that is in it. All else stays as it is written, comments too. The error is a
// Faults.
func WithoutPlace(file string, text []byte, name string, env Environment) ([]byte, error) {
	places, err := ParsePlaces(file, text, env)
	if err != nil {
		return nil, err
	}
	lines := linesOf(text)
	from, to := places.lines(name, lines)
	for to < len(lines) && from > 0 && lines[to] == "" && lines[from-1] == "" {
		to++ // one empty line is enough
	}
	return edited(file, text, slices.Delete(lines, from, to), places, name, env)
}

// linesOf takes a text apart into lines without their ends; those that are empty
// at its own end are none.
func linesOf(text []byte) []string {
	trimmed := strings.TrimRight(strings.ReplaceAll(string(text), "\r\n", "\n"), " \t\n")
	if trimmed == "" {
		return nil
	}
	return strings.Split(trimmed, "\n")
}

// lines returns which lines of a file the definition of a place takes: from its
// head on, without the comments and empty lines before the next.
func (p Places) lines(name string, lines []string) (from, to int) {
	i := slices.IndexFunc(p, func(one SavedPlace) bool { return normal(one.Name) == normal(name) })
	from, to = p[i].line-1, len(lines)
	if i+1 < len(p) {
		to = p[i+1].line - 1
	}
	for to > from+1 {
		line := strings.TrimSpace(lines[to-1])
		if line != "" && !strings.HasPrefix(line, "#") {
			break
		}
		to--
	}
	return from, to
}

// edited returns lines as the text of a file of places, once it is sure that no
// place but the one of a name has changed.
func edited(file string, text []byte, lines []string, before Places, name string, env Environment) ([]byte, error) {
	end := "\n"
	if strings.Contains(string(text), "\r\n") {
		end = "\r\n"
	}
	made := []byte(strings.TrimRight(strings.Join(lines, end), "\r\n") + end)
	after, err := ParsePlaces(file, made, env)
	others := func(p Places) map[string]SavedPlace {
		list := map[string]SavedPlace{}
		for _, one := range p {
			if one.line = 0; normal(one.Name) != normal(name) {
				list[one.Name] = one
			}
		}
		return list
	}
	if err != nil || !reflect.DeepEqual(others(before), others(after)) {
		old, _ := before.Find(name)
		return nil, Faults{{File: file, Line: max(old.line, 1), Column: 1,
			What: fmt.Sprintf("the definition of %s is written so that it cannot be changed alone", quoted(name)),
			Hint: "begin each place with a line of its own, [" + bareOrQuoted(name) + "]"}}.inOrder()
	}
	return made, nil
}
