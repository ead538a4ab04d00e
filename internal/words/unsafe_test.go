package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is unsafe is what Safe changes.
func TestUnsafe(t *testing.T) {
	for s, want := range map[string]rune{
		"": 0, "Café ☀": 0, "a\x1b[31m": '\x1b', "a\u202eb\x1b": '\u202e', "a\xff": '\uFFFD', "\uFFFD": 0,
		"می\u200cخواهم": 0, "a\u200cb": '\u200c', "👩\u200d👧": 0, "1\ufe0f\u20e3": 0, "a\ufe0f": '\ufe0f',
		"\U000e0041": '\U000e0041', "tab\t": '\t',
	} {
		r, is := Unsafe(s)
		assert.Equal(t, want != 0, is, "%q", s)
		assert.Equal(t, want, r, "%q", s)
		assert.Equal(t, is, Safe(s) != s, "%q", s)
	}
}
