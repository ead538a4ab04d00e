package shootfile

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"sort"
	"strings"
	"unicode/utf8"

	"evenfall/internal/words"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// origin is where a value was written.
type origin struct {
	flag         string // of the command line; empty for the file
	given        string // to the flag, as it was typed
	line, column int    // in the file, from 1
}

// entry is a value of a document: a table, a list, or a single value.
type entry struct {
	origin  origin
	table   map[string]*entry
	list    []*entry
	value   any  // string, int64, float64, bool, or a date or time of TOML's
	spoiled bool // already reported; to be read as if it were not there
}

// kind says in words what the entry is.
func (e *entry) kind() string {
	switch e.value.(type) {
	case string:
		return "text"
	case int64, float64:
		return "a number"
	case bool:
		return "true or false"
	case nil:
		if e.table != nil {
			return "a table"
		}
		return "a list"
	}
	return "a date or time"
}

// parseTree reads TOML. Text that is none gives a fault, without a file.
func parseTree(data []byte) (*entry, *Fault) {
	var root map[string]any
	if err := toml.Unmarshal(data, &root); err != nil {
		return nil, syntaxFault(data, err)
	}
	tree := grow(root, 0)
	where := newLocator(data)
	where.locate(tree)
	return tree, nil
}

// syntaxFault turns an error of the TOML library into a fault.
func syntaxFault(data []byte, err error) *Fault {
	f := &Fault{
		What: "cannot be read as TOML: " + strings.TrimPrefix(words.Safe(err.Error()), "toml: "),
		Hint: `text goes in quotes, tables are named in [brackets], and each key comes once`,
	}
	var at *toml.DecodeError
	if !errors.As(err, &at) {
		return f
	}
	line, column := at.Position()
	// The library counts columns in bytes.
	lines := bytes.SplitN(data, []byte("\n"), line+1)
	if line <= len(lines) {
		text := lines[line-1]
		column = utf8.RuneCount(text[:min(max(column-1, 0), len(text))]) + 1
	}
	f.Line, f.Column = line, column
	if m := keyTwice.FindStringSubmatch(f.What); m != nil {
		f.Hint = "leave " + m[1] + " out: the file has it before"
	}
	if line <= len(lines) {
		if m := decimalComma.FindSubmatch(lines[line-1]); m != nil && isNumeric(string(m[2])) {
			key, whole, fraction := m[2], m[3], m[4]
			f.Column = utf8.RuneCount(m[1]) + 1
			f.What = fmt.Sprintf("%s = %s,%s has a comma in its number", key, whole, fraction)
			f.Hint = fmt.Sprintf("%s = %s.%s", key, whole, fraction)
		} else if near, ok := valueFault(string(lines[line-1])); ok {
			near.Line = line
			return &near
		}
	}
	return f
}

// keyTwice is what the library says of a key that comes twice in a table.
var keyTwice = regexp.MustCompile(`: key ([A-Za-z0-9_-]+) is already defined$`)

// numeric are the keys that hold numbers with decimals, by their units or by
// name.
var numeric = regexp.MustCompile(`_(m|mm|deg|stops|s|ms|mired|minutes?|reflectance)$|` +
	`^(ratio|oktas|turbidity|aperture|widest|narrowest)$`)

// isNumeric reports whether a key holds a number that may have decimals.
func isNumeric(key string) bool { return numeric.MatchString(key) }

// decimalComma is a line that is TOML but for the comma in its number.
var decimalComma = regexp.MustCompile(`^([ \t]*)([A-Za-z0-9_-]+)[ \t]*=[ \t]*([+-]?[0-9]+),([0-9]+)[ \t]*(?:#.*)?\r?$`)

// deepest is how many levels of a document are kept. None of the known keys
// lies as deep, so what is cut off is unknown anyhow.
const deepest = 8

// grow turns what the TOML library decoded into entries.
func grow(v any, depth int) *entry {
	switch v := v.(type) {
	case map[string]any:
		e := &entry{table: make(map[string]*entry, len(v))}
		if depth < deepest {
			for key, one := range v {
				e.table[key] = grow(one, depth+1)
			}
		}
		return e
	case []any:
		e := &entry{list: []*entry{}}
		if depth < deepest {
			for _, one := range v {
				e.list = append(e.list, grow(one, depth+1))
			}
		}
		return e
	}
	return &entry{value: v}
}

// locator finds where the entries of a tree are written. The TOML library
// tells positions of unknown keys and wrong types only, one kind at a time;
// its parser tells all.
type locator struct {
	parser unstable.Parser
	text   []byte
	starts []int          // offset of each line
	begun  map[*entry]int // elements already met of each list of tables
}

func newLocator(text []byte) *locator {
	l := &locator{text: text, starts: []int{0}, begun: map[*entry]int{}}
	for i, c := range text {
		if c == '\n' {
			l.starts = append(l.starts, i+1)
		}
	}
	return l
}

// locate fills in the origins of the whole tree, which was decoded from the
// locator's text.
func (l *locator) locate(root *entry) {
	l.parser.Reset(l.text)
	table := root
	for l.parser.NextExpression() {
		node := l.parser.Expression()
		switch node.Kind {
		case unstable.KeyValue:
			l.keyValue(table, node)
		case unstable.Table:
			table = l.last(l.follow(root, node))
		case unstable.ArrayTable:
			list := l.follow(root, node)
			if list != nil {
				l.begun[list]++
			}
			table = l.last(list)
			l.mark(table, l.firstKey(node))
		}
	}
}

// follow walks along the dotted key of a node and returns the entry at its
// end; nil below the deepest level.
func (l *locator) follow(from *entry, node *unstable.Node) *entry {
	keys := node.Key()
	at := from
	for keys.Next() {
		at = l.last(at)
		if at == nil {
			return nil
		}
		at = at.table[string(keys.Node().Data)]
		l.mark(at, keys.Node())
	}
	return at
}

// last returns the element that is being written of a list of tables, and
// any other entry itself.
func (l *locator) last(e *entry) *entry {
	if e == nil || e.list == nil {
		return e
	}
	if n := l.begun[e]; 0 < n && n <= len(e.list) {
		return e.list[n-1]
	}
	return nil
}

func (l *locator) firstKey(node *unstable.Node) *unstable.Node {
	keys := node.Key()
	keys.Next()
	return keys.Node()
}

func (l *locator) keyValue(table *entry, node *unstable.Node) {
	if e := l.follow(table, node); e != nil {
		l.value(e, node.Value())
	}
}

// value marks what lies inside a list or an inline table.
func (l *locator) value(e *entry, node *unstable.Node) {
	children := node.Children()
	switch node.Kind {
	case unstable.Array:
		for i := 0; children.Next() && i < len(e.list); i++ {
			one := e.list[i]
			one.origin = e.origin
			if raw, ok := firstWritten(children.Node()); ok {
				one.origin = l.at(int(raw.Offset))
			}
			l.value(one, children.Node())
		}
	case unstable.InlineTable:
		for children.Next() {
			l.keyValue(e, children.Node())
		}
	}
}

// firstWritten returns where the text of a value begins; a list has no place
// of its own, only its elements do.
func firstWritten(node *unstable.Node) (unstable.Range, bool) {
	for ; node != nil; node = node.Child() {
		if node.Raw.Length > 0 {
			return node.Raw, true
		}
	}
	return unstable.Range{}, false
}

// mark notes where an entry is first written.
func (l *locator) mark(e *entry, key *unstable.Node) {
	if e != nil && e.origin.line == 0 {
		e.origin = l.at(int(key.Raw.Offset))
	}
}

func (l *locator) at(offset int) origin {
	line := sort.SearchInts(l.starts, offset+1)
	return origin{line: line, column: utf8.RuneCount(l.text[l.starts[line-1]:offset]) + 1}
}
