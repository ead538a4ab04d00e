package shootfile

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/shoot"
	"evenfall/internal/words"
)

// reader gathers the faults of a document while its values are read.
type reader struct {
	file   string
	stands map[*entry]string // flags that stand in for what cannot be edited
	faults Faults
}

// flagOf returns the flag to change an entry by: the one it was given with, or
// one that stands in for it; empty where the file is to be edited.
func (r *reader) flagOf(e *entry) string {
	if e == nil {
		return ""
	}
	return cmp.Or(e.origin.flag, r.stands[e])
}

// fault notes what is wrong with an entry; without one, with the document, at
// its beginning.
func (r *reader) fault(e *entry, what, hint string) {
	f := Fault{What: what, Hint: hint}
	switch flag := r.flagOf(e); {
	case flag != "":
		f.Flag = flag
	case e != nil:
		f.File, f.Line, f.Column = r.file, e.origin.line, e.origin.column
	case r.file != "":
		f.File, f.Line, f.Column = r.file, 1, 1
	}
	r.faults = append(r.faults, f)
}

// spoil reports all text that would reach a terminal as something else than
// text, and keeps it from being read.
func (r *reader) spoil(name string, e *entry) {
	r.spoilText(name, e, func(clean string) string {
		key := name[strings.LastIndex(name, ".")+1:]
		if clean == "" {
			return "leave " + key + " out"
		}
		return key + " = " + strconv.Quote(clean)
	})
	for _, key := range slices.Sorted(maps.Keys(e.table)) {
		r.spoil(join(name, key), e.table[key])
	}
	for _, one := range e.list {
		r.spoilText(name, one, func(clean string) string {
			if clean == "" {
				return "leave it out"
			}
			return strconv.Quote(clean)
		})
		r.spoilWithin(name, one)
	}
}

// spoilWithin does so with what lies in an element of a list.
func (r *reader) spoilWithin(name string, e *entry) {
	if e.table != nil || e.list != nil {
		r.spoil(name, e)
	}
}

// spoilText does so with one text; without its hidden characters it is written
// into the hint by instead.
func (r *reader) spoilText(name string, e *entry, instead func(clean string) string) {
	text, _ := e.value.(string)
	c, is := words.Unsafe(text)
	if !is {
		return
	}
	e.spoiled = true
	hint := instead(visible(text))
	if flag := e.origin.flag; flag != "" {
		name, hint = "--"+flag, "leave --"+flag+" out"
		if clean := visible(e.origin.given); clean != "" {
			hint = "--" + flag + " " + Typed(clean)
		}
	}
	r.fault(e, fmt.Sprintf("%s holds the control character %U", name, c), hint)
}

// controlSequence is what a terminal is told by: colours and the like (ECMA-48,
// 5.4).
var controlSequence = regexp.MustCompile("\x1b\\[[0-?]*[ -/]*[@-~]")

// visible is the start of a text without what a terminal would obey or swallow.
func visible(text string) string {
	text = controlSequence.ReplaceAllString(text, "")
	for r, is := words.Unsafe(text); is; r, is = words.Unsafe(text) {
		text = strings.ReplaceAll(strings.ToValidUTF8(text, ""), string(r), "")
	}
	return strings.TrimSpace(shortened(text))
}

func join(path, key string) string {
	if path == "" {
		return bareOrQuoted(key)
	}
	return path + "." + bareOrQuoted(key)
}

// bareOrQuoted writes a key as TOML does.
func bareOrQuoted(key string) string {
	for _, c := range key {
		if (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && c != '_' && c != '-' {
			return quoted(key)
		}
	}
	if len(key) > 60 {
		return quoted(key)
	}
	return key
}

// section is a table while it is read. It remembers the keys it was asked
// for: the rest is unknown.
type section struct {
	*reader
	path   string
	like   string // the section of the table whose keys it has; empty for its path's
	entry  *entry // nil where the document has no such table
	broken bool   // it has something else in its place, which is reported
	asked  []string
}

// take returns the entry of a key, nil where there is none to read.
func (s *section) take(key string) *entry {
	if !slices.Contains(s.asked, key) {
		s.asked = append(s.asked, key)
	}
	if s.entry == nil {
		return nil
	}
	e := s.entry.table[key]
	if e == nil || e.spoiled {
		return nil
	}
	return e
}

// has reports whether a key is there to be read.
func (s *section) has(key string) bool {
	if s.entry == nil {
		return false
	}
	e := s.entry.table[key]
	return e != nil && !e.spoiled
}

// sound reports whether none of the keys holds what has been reported already.
func (s *section) sound(keys ...string) bool {
	for _, key := range keys {
		if e := s.entryOf(key); e != nil && e.spoiled {
			return false
		}
	}
	return true
}

// at returns the entry to blame for a value: the key's, failing that the
// section's.
func (s *section) at(key string) *entry {
	if s.entry == nil {
		return nil
	}
	if e := s.entry.table[key]; e != nil {
		return e
	}
	if s.entry.origin == (origin{}) {
		return nil
	}
	return s.entry
}

// done reports the keys that were not asked for.
func (s *section) done() {
	if s.entry == nil {
		return
	}
	unknown := slices.DeleteFunc(slices.Collect(maps.Keys(s.entry.table)), func(key string) bool {
		return slices.Contains(s.asked, key)
	})
	slices.SortFunc(unknown, func(a, b string) int {
		x, y := s.entry.table[a].origin, s.entry.table[b].origin
		return cmp.Or(cmp.Compare(x.line, y.line), cmp.Compare(x.column, y.column), cmp.Compare(a, b))
	})
	const most = 50 // a table with more is something else altogether
	for i, key := range unknown {
		if i == most {
			s.fault(s.entry.table[key], fmt.Sprintf("%d more unknown keys", len(unknown)-most),
				"evenfall new, for a shoot file to begin from")
			break
		}
		s.fault(s.entry.table[key], "unknown key "+join(s.path, key), s.insteadOfUnknown(key))
	}
}

// knowTable makes the keys known that the table has for the section.
func (s *section) knowTable() {
	for _, k := range table {
		if k.Section == s.path {
			s.asked = append(s.asked, k.Name)
		}
	}
}

// insteadOfUnknown is the hint for a key that there is not: the one that is most
// likely meant and not there yet, or else to do without it.
func (s *section) insteadOfUnknown(key string) string {
	open := slices.DeleteFunc(slices.Clone(s.asked), s.has)
	if near := Nearest(key, open); near != "" {
		return s.asKey(s.entry.table[key], near)
	}
	if s.path == "" && slices.Contains(shoot.KitKinds[:], shoot.KitKind(key)) {
		return "[[kit." + key + "]]"
	}
	hint := "leave " + bareOrQuoted(key) + " out; the keys here are " + listed(s.asked)
	elsewhere := slices.IndexFunc(table, func(k Key) bool { return k.Name == key && k.Section != "" })
	if elsewhere >= 0 && key != "kit" && key != "name" { // which are of many
		hint += fmt.Sprintf("; %s is of [%s]", key, table[elsewhere].Section)
	}
	return hint
}

// asKey writes a key as it stands in the place of an entry: a table's in
// brackets.
func (s *section) asKey(e *entry, key string) string {
	_, single := keyAt(s.path, key)
	switch ofTables := len(e.list) > 0 && e.list[0].table != nil; {
	case single, e.table == nil && !ofTables:
		return key
	case ofTables, s.path == "" && key == "sky":
		return "[[" + join(s.path, key) + "]]"
	}
	return "[" + join(s.path, key) + "]"
}

// table returns the section of a key; it is empty where the document has
// none.
func (s *section) table(key string) *section {
	inner := &section{reader: s.reader, path: join(s.path, key)}
	e := s.take(key)
	if e == nil {
		return inner
	}
	if e.table == nil {
		what, hint := e.kind(), "["+inner.path+"]"
		if e.list != nil {
			what = "a list of tables"
		}
		s.fault(e, fmt.Sprintf("%s is %s; it must be a table", inner.path, what), hint)
		inner.broken = true
		return inner
	}
	inner.entry = e
	return inner
}

// tables returns the sections of a list of tables.
func (s *section) tables(key string) []*section {
	e := s.take(key)
	if e == nil {
		return nil
	}
	path := join(s.path, key)
	hint := "[[" + path + "]]"
	if e.list == nil {
		s.fault(e, fmt.Sprintf("%s is %s; it must be a list of tables", path, e.kind()), hint)
		return nil
	}
	var inner []*section
	for _, one := range e.list {
		if one.table == nil {
			s.fault(one, fmt.Sprintf("%s holds %s; it must hold tables", path, one.kind()), hint)
			continue
		}
		inner = append(inner, &section{reader: s.reader, path: path, entry: one})
	}
	return inner
}

// flag returns the flag to change a key by; empty where the file is to be
// edited. What the file does not say is changed by the key's flag.
func (s *section) flag(key string) string {
	if e := s.entryOf(key); e != nil {
		return s.flagOf(e)
	}
	return flagNamed(s.path, key)
}

// entryOf returns the entry of a key, nil where there is none.
func (s *section) entryOf(key string) *entry {
	if s.entry == nil {
		return nil
	}
	return s.entry.table[key]
}

// called names a key as its writer knows it, by its place in the file or by
// its flag.
func (s *section) called(key string) string {
	e := s.entryOf(key)
	switch flag := s.flagOf(e); {
	case flag == "" && s.file == "" && s.flag(key) != "":
		return "--" + s.flag(key)
	case flag == "":
		return join(s.path, key)
	case e.origin.flag == "":
		return "--" + flag + " " + Typed(strings.Trim(e.written(), `"`)) + ", as in the demonstration"
	default:
		return "--" + flag
	}
}

// said is a key with its value, as it was written or typed.
func (s *section) said(key, value string) string {
	e := s.entryOf(key)
	switch flag := s.flagOf(e); {
	case flag == "":
		return join(s.path, key) + " = " + value
	case e.origin.flag == "":
		return s.called(key) + ","
	case flag == "at": // two keys
		return fmt.Sprintf("--at %s: %s %s", Typed(e.origin.given), strings.TrimSuffix(key, "_deg"), value)
	default:
		return "--" + flag + " " + Typed(e.origin.given)
	}
}

// instead returns the line or the flag to type for a key.
func (s *section) instead(key string, value any) string {
	flag := s.flag(key)
	k, _ := flagKey(flag)
	switch {
	case flag == "":
	case flag == "at":
		return s.position(key, value)
	case k.Switch && value == true:
		return "--" + flag
	case k.Value == duration:
		return "--" + flag + " " + spanOfMinutes(fmt.Sprint(value))
	default:
		return "--" + flag + " " + Typed(fmt.Sprint(value))
	}
	if text, ok := value.(string); ok && !decimal.MatchString(text) {
		value = strconv.Quote(text)
	}
	return fmt.Sprintf("%s = %v", key, value)
}

// spanOfMinutes writes minutes as a length of time is typed: 90 as 1h30m.
func spanOfMinutes(minutes string) string {
	v, err := strconv.ParseFloat(minutes, 64)
	if err != nil {
		return minutes + "m"
	}
	return shoot.Span(time.Duration(math.Round(v*60)) * time.Second)
}

// without is the hint to do without a key.
func (s *section) without(key string) string {
	if flag := s.flag(key); flag != "" {
		return "leave --" + flag + " out"
	}
	return "leave " + key + " out"
}

// position returns the flag for a place, a coordinate of which is to be
// another.
func (s *section) position(key string, value any) string {
	if swapped, ok := s.swapped(); ok {
		return swapped
	}
	at := map[string]string{}
	for _, one := range [...]struct {
		key  string
		most float64
	}{{"latitude_deg", 90}, {"longitude_deg", 180}} {
		if e := s.entryOf(one.key); e != nil {
			v, _ := asNumber(e)
			at[one.key] = plain(clamp(v, -one.most, one.most))
		}
	}
	at[key] = fmt.Sprint(value)
	return "--at " + at["latitude_deg"] + "," + at["longitude_deg"]
}

// swapped returns the flag for a place whose latitude and longitude stand in
// the other order; ok is false where as they stand they can be one, or are
// none in that order either.
func (s *section) swapped() (flag string, ok bool) {
	latitude, longitude, given := s.coordinates()
	if !given || math.Abs(latitude) <= 90 || math.Abs(latitude) > 180 || math.Abs(longitude) > 90 {
		return "", false
	}
	return "--at " + plain(longitude) + "," + plain(latitude), true
}

// coordinates returns the latitude and the longitude that a flag gave, in
// degrees.
func (s *section) coordinates() (latitude, longitude float64, given bool) {
	first, second := s.entryOf("latitude_deg"), s.entryOf("longitude_deg")
	if first == nil || second == nil || first.origin.flag != "at" || second.origin.flag != "at" {
		return 0, 0, false
	}
	latitude, okLatitude := asNumber(first)
	longitude, okLongitude := asNumber(second)
	return latitude, longitude, okLatitude && okLongitude
}

// wrong reports an entry of a wrong kind.
func (s *section) wrong(e *entry, key, must string, example any) {
	s.fault(e, fmt.Sprintf("%s is %s; it must be %s", s.called(key), e.kind(), must), s.instead(key, example))
}

// duration reads a length of time, written as a number of units from low to
// high.
func (s *section) duration(key string, fallback, unit time.Duration, low, high float64) time.Duration {
	units := s.number(key, float64(fallback)/float64(unit), low, high)
	return time.Duration(math.Round(units * float64(unit)))
}

// number reads a number from low to high.
func (s *section) number(key string, fallback, low, high float64) float64 {
	e := s.take(key)
	if e == nil {
		return fallback
	}
	v, ok := asNumber(e)
	if !ok {
		example := plain(clamp(fallback, low, high))
		if meant, isNumber := e.value.(string); isNumber && decimal.MatchString(meant) {
			example = meant // only the quotes are wrong
		}
		s.wrong(e, key, "a number", example)
		return fallback
	}
	if !s.within(e, key, v, fallback, low, high) {
		return fallback
	}
	return v
}

// quantity reads a number in the range that the table of keys has for it.
func (s *section) quantity(key string, fallback float64) float64 {
	k := s.described(key)
	return s.number(key, fallback, k.low, k.high)
}

// count reads a whole number in the range that the table of keys has for it.
func (s *section) count(key string, fallback int) int {
	k := s.described(key)
	return s.whole(key, fallback, int(k.low), int(k.high))
}

// described returns the line of the table for a key. A fill and a rim flash
// have the keys of any flash besides their own.
func (s *section) described(key string) Key {
	k, ok := keyAt(cmp.Or(s.like, s.path), key)
	if !ok && (s.path == "fill" || s.path == "rim") {
		k, _ = keyAt("flash", key)
	}
	return k
}

// within reports a number that is none, or lies outside its range. The
// fallback serves as an example.
func (s *section) within(e *entry, key string, v, fallback, low, high float64) bool {
	if v >= low && v <= high {
		return true
	}
	near := clamp(v, low, high)
	if math.IsInf(v, 0) {
		near = clamp(fallback, low, high)
	}
	what := fmt.Sprintf("%s: must be %s to %s", s.said(key, plain(v)), plain(low), plain(high))
	if s.described(key).Value == duration && s.flagOf(e) != "" {
		what = fmt.Sprintf("%s: must be %s to %s", s.said(key, plain(v)), spanOfMinutes(plain(low)),
			spanOfMinutes(plain(high)))
	}
	if math.IsNaN(v) {
		near, what = clamp(fallback, low, high), s.called(key)+" is not a number"
	}
	s.fault(e, what, s.instead(key, plain(near)))
	return false
}

func clamp(v, low, high float64) float64 { return max(low, min(v, high)) }

// asNumber returns the value of a number.
func asNumber(e *entry) (float64, bool) {
	switch v := e.value.(type) {
	case int64:
		return float64(v), true
	case float64:
		return v, true
	}
	return 0, false
}

// whole reads a whole number from low to high.
func (s *section) whole(key string, fallback, low, high int) int {
	e := s.take(key)
	if e == nil {
		return fallback
	}
	v, ok := asNumber(e)
	if !ok || !math.IsInf(v, 0) && v != math.Trunc(v) { // NaN too
		near := fallback
		if ok && !math.IsNaN(v) {
			near = int(clamp(math.Round(v), float64(low), float64(high)))
		}
		s.fault(e, s.said(key, e.written())+" is not a whole number", s.instead(key, near))
		return fallback
	}
	if !s.within(e, key, v, float64(fallback), float64(low), float64(high)) {
		return fallback
	}
	return int(v)
}

// written shows a single value as it might have been written.
func (e *entry) written() string {
	switch v := e.value.(type) {
	case string:
		return quoted(v)
	case float64:
		return plain(v)
	case nil:
		return e.kind()
	}
	return fmt.Sprint(e.value)
}

// text reads text that is not empty.
func (s *section) text(key, fallback string) string {
	e := s.take(key)
	if e == nil {
		return fallback
	}
	v, ok := e.value.(string)
	if !ok {
		s.wrong(e, key, "text in quotes", cmp.Or(fallback, "a name"))
		return fallback
	}
	const longest = 200 // characters; more breaks every table it is printed in
	switch {
	case v == "":
		s.fault(e, s.called(key)+" is empty", s.instead(key, cmp.Or(fallback, "a name")))
		return fallback
	case len([]rune(v)) > longest:
		s.fault(e, fmt.Sprintf("%s is longer than %d characters", s.called(key), longest), s.instead(key, shortened(v)))
		return fallback
	}
	return v
}

// truth reads true or false.
func (s *section) truth(key string, fallback bool) bool {
	e := s.take(key)
	if e == nil {
		return fallback
	}
	v, ok := e.value.(bool)
	if !ok {
		s.wrong(e, key, "true or false", fallback)
		return fallback
	}
	return v
}

// elements returns the values of a list; ok is false where there is none.
func (s *section) elements(key, of string, example string) (list []*entry, ok bool) {
	e := s.take(key)
	if e == nil {
		return nil, false
	}
	if e.list == nil {
		s.fault(e, fmt.Sprintf("%s is %s; it must be a list of %s", s.called(key), e.kind(), of), key+" = "+example)
		return nil, false
	}
	return e.list, true
}

// conflict reports two keys that cannot both be given, and reports whether
// they are.
func (s *section) conflict(a, b string) bool {
	if !s.has(a) || !s.has(b) {
		return false
	}
	// Blame the one written last.
	first, last := s.entry.table[a], s.entry.table[b]
	keys := [2]string{a, b}
	if before(last.origin, first.origin) {
		first, last = last, first
		keys[0], keys[1] = b, a
	}
	s.fault(last, fmt.Sprintf("%s cannot be combined with %s", s.called(keys[1]), keys[0]),
		s.without(keys[1])+", or "+keys[0])
	return true
}

func before(a, b origin) bool {
	return a.flag == "" && b.flag != "" ||
		a.line < b.line || a.line == b.line && a.column < b.column
}
