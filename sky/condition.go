package sky

import "fmt"

// Word is a condition of the sky as photographers say it.
type Word int

// The words, from most to least sun.
const (
	Clear    Word = iota
	Hazy          // cloudless, milky round the sun
	Thin          // cloud that the sun casts soft shadows through
	Broken        // sun in and out
	Overcast      // no sun, ordinary cloud
	Heavy         // no sun, dark cloud
)

// Words lists all conditions.
var Words = [...]Word{Clear, Hazy, Thin, Broken, Overcast, Heavy}

// String returns the word as it is typed.
func (w Word) String() string {
	if w < Clear || w > Heavy {
		return fmt.Sprintf("condition %d", int(w))
	}
	return [...]string{"clear", "hazy", "thin", "broken", "overcast", "heavy"}[w]
}

// Condition is the state of the sky: a word, or in its stead a count of
// oktas or a turbidity. The zero value is a clear sky.
type Condition struct {
	kind  conditionKind
	value float64 // the Word, the oktas, or the turbidity
}

type conditionKind int

const (
	byWord conditionKind = iota
	byOktas
	byTurbidity
)

// Described returns the condition that a word names.
func Described(w Word) Condition { return Condition{byWord, float64(w)} }

// Oktas returns the condition of n eighths of the sky covered by cloud, 0 to
// 8 (WMO). Values outside count as the nearest end.
func Oktas(n float64) Condition { return Condition{byOktas, max(0, min(n, 8))} }

// The range of luminous turbidity that WithTurbidity takes: a perfectly clean
// sky is 1, city haze about 6.
const (
	LowestTurbidity  = 1
	HighestTurbidity = 10
)

// WithTurbidity returns a cloudless sky of luminous turbidity t (Kittler and
// Darula's T_v: how many clean atmospheres would dim the sun as much), between
// LowestTurbidity and HighestTurbidity. Values outside count as the nearest
// end.
func WithTurbidity(t float64) Condition {
	return Condition{byTurbidity, max(LowestTurbidity, min(t, HighestTurbidity))}
}

// String returns the condition in words.
func (c Condition) String() string {
	switch c.kind {
	case byOktas:
		return fmt.Sprintf("%g oktas", c.value)
	case byTurbidity:
		return fmt.Sprintf("turbidity %g", c.value)
	}
	return Word(c.value).String()
}

// Case tells apart the two skies of broken cloud.
type Case int

// The cases. A condition other than broken has SunOut only.
const (
	SunOut Case = iota // the sun is out, or as much of it as the condition lets through
	SunIn              // the sun is behind a cloud
)

// String returns "sun" or "cloud".
func (k Case) String() string {
	if k == SunIn {
		return "cloud"
	}
	return "sun"
}

// Cases reports how many cases the condition has to be planned for: two under
// broken cloud, else one.
func (c Condition) Cases() int {
	if c.kind == byWord && Word(c.value) == Broken {
		return 2
	}
	return 1
}

// Cloudless reports whether there is no cloud: under a clear or hazy sky, no
// oktas, or a stated turbidity.
func (c Condition) Cloudless() bool {
	switch c.kind {
	case byTurbidity:
		return true
	case byOktas:
		return c.value == 0
	}
	return Word(c.value) == Clear || Word(c.value) == Hazy
}

// between reports whether cloud covers some of the sky, by oktas.
func (c Condition) between() bool { return c.kind == byOktas && c.value > 0 && c.value < 8 }

// weather returns what a condition that is not between makes of the light: no
// oktas are a clear sky, eight an overcast one.
func (c Condition) weather(k Case) *weather {
	switch {
	case c.kind == byTurbidity:
		return &statedWeather
	case c.kind == byWord:
		return weatherOf(Word(c.value), k)
	case c.value == 0:
		return &weathers[Clear]
	}
	return &weathers[Overcast]
}
