package shootfile

import (
	"errors"
	"regexp"
	"strconv"
	"strings"
)

// oneSign writes the several characters that stand for one sign as one.
var oneSign = strings.NewReplacer(
	"\u2212", "-", "º", "°", "˚", "°", "′", "'", "’", "'", "‘", "'", "´", "'", "″", `"`, "”", `"`, "“", `"`, "''", `"`)

// coordinate is degrees, with minutes and seconds or without, and a letter for
// the half of the globe before or after.
var coordinate = regexp.MustCompile(`^([NSEW])?\s*([+-])?\s*(\d+(?:\.\d*)?|\.\d+)\s*°?` +
	`(?:[\s:]*(\d+(?:\.\d*)?)\s*'?(?:[\s:]*(\d+(?:\.\d*)?)\s*"?)?)?\s*([NSEW])?$`)

// Where a position without a comma comes apart.
var (
	lettersBefore = regexp.MustCompile(`^([NSEW][^NSEW]+)([NSEW][^NSEW]+)$`)
	lettersAfter  = regexp.MustCompile(`^([^NSEW]+[NSEW])([^NSEW]+[NSEW])$`)
)

// placeExample is a position to type.
const placeExample = "54.33,10.15"

// parsePosition reads a latitude and a longitude in degrees as people paste
// them: decimal or with minutes and seconds, signs or letters, a comma or
// spaces between, in brackets, or as a geo URI (RFC 5870). The error is a Fault that lies nowhere, its hint another
// position.
func parsePosition(text string) (latitude, longitude float64, err error) {
	if latitude, longitude, ok := readPosition(text); ok {
		return latitude, longitude, nil
	}
	hint := almostPosition(text)
	if hint == "" {
		hint = placeExample + " --tz Europe/Berlin"
	}
	return 0, 0, Fault{
		What: quoted(text) + " is not a latitude and longitude in degrees, north and east positive", Hint: hint}
}

// readPosition reads a latitude and a longitude; ok is false where there are
// none.
func readPosition(text string) (latitude, longitude float64, ok bool) {
	first, second, ok := halves(unwrapped(text))
	if !ok {
		return 0, 0, false
	}
	return inDegrees(first, second)
}

// geoForm is a geo URI: two coordinates or three, of which the third is a
// height, and parameters (RFC 5870, section 3.3).
var geoForm = regexp.MustCompile(`^(?i:geo):([^,;?]+,[^,;?]+)(?:,[^,;?]+)?(?:[;?].*)?$`)

// unwrapped takes a position out of its brackets or its URI.
func unwrapped(text string) string {
	text = strings.TrimSpace(text)
	if m := geoForm.FindStringSubmatch(text); m != nil {
		return m[1]
	}
	for _, pair := range [...]string{"()", "[]", "{}"} {
		if len(text) > 1 && text[0] == pair[0] && text[len(text)-1] == pair[1] {
			return text[1 : len(text)-1]
		}
	}
	return text
}

// halves takes a position apart into its two coordinates.
func halves(text string) (first, second string, ok bool) {
	text = strings.ToUpper(strings.TrimSpace(oneSign.Replace(text)))
	text = strings.NewReplacer("DEGREES", "°", "DEG", "°").Replace(text)
	if first, second, ok = strings.Cut(text, ";"); ok {
		return first, second, true
	}
	if strings.Count(text, ",") == 1 {
		first, second, _ = strings.Cut(text, ",")
		return first, second, true
	}
	for _, form := range [...]*regexp.Regexp{lettersBefore, lettersAfter} {
		if m := form.FindStringSubmatch(text); m != nil {
			return m[1], m[2], true
		}
	}
	numbers := strings.Fields(text)
	if n := len(numbers); n == 2 || n == 4 || n == 6 {
		return strings.Join(numbers[:n/2], " "), strings.Join(numbers[n/2:], " "), true
	}
	return "", "", false
}

// inDegrees reads two coordinates, the latitude first unless letters say
// otherwise.
func inDegrees(first, second string) (latitude, longitude float64, ok bool) {
	a, axisA, okA := readCoordinate(first)
	b, axisB, okB := readCoordinate(second)
	if !okA || !okB {
		return 0, 0, false
	}
	switch {
	case axisA == "EW" && axisB != "EW", axisB == "NS" && axisA != "NS":
		return b, a, true
	case axisA == axisB && axisA != "":
		return 0, 0, false
	}
	return a, b, true
}

// readCoordinate reads one coordinate, and the axis that its letter names:
// NS, EW or none.
func readCoordinate(text string) (degrees float64, axis string, ok bool) {
	m := coordinate.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil || m[1] != "" && m[6] != "" {
		return 0, "", false
	}
	letter := m[1] + m[6]
	if letter != "" && m[2] != "" { // a sign and a letter
		return 0, "", false
	}
	degrees, err := sexagesimal(m[3], m[4], m[5])
	if err != nil {
		return 0, "", false
	}
	if m[2] == "-" || letter == "S" || letter == "W" {
		degrees = -degrees
	}
	switch letter {
	case "N", "S":
		axis = "NS"
	case "E", "W":
		axis = "EW"
	}
	return degrees, axis, true
}

// sexagesimal adds degrees, minutes and seconds up; of the three only the last
// given may have decimals.
func sexagesimal(parts ...string) (float64, error) {
	sum, unit := 0.0, 1.0
	for i, part := range parts {
		if part == "" {
			break
		}
		v, err := strconv.ParseFloat(part, 64)
		switch {
		case err != nil:
			return 0, err
		case i > 0 && v >= 60:
			return 0, errors.New("60 minutes or seconds, and more")
		case i > 0 && strings.Contains(parts[i-1], "."):
			return 0, errors.New("decimals before minutes or seconds")
		}
		sum += float64(v * unit) // no fused multiply-add: the same on all machines
		unit /= 60
	}
	return sum, nil
}

// almostPosition returns what a position that cannot be read most likely means:
// one with decimal commas, or one with signs as well as letters; or "".
func almostPosition(text string) string {
	if m := inAddress.FindStringSubmatch(text); m != nil {
		if latitude, longitude, ok := readPosition(m[1] + "," + m[2]); ok {
			return plain(latitude) + "," + plain(longitude)
		}
	}
	text = oneSign.Replace(text)
	unsigned := strings.NewReplacer("+", "", "-", "")
	candidates := []string{unsigned.Replace(text)}
	if m := decimalCommas.FindStringSubmatch(text); m != nil {
		candidates = append(candidates, m[1]+"."+m[2]+","+m[3]+"."+m[4])
	}
	for _, one := range candidates {
		if latitude, longitude, ok := readPosition(one); ok && one != text {
			return plain(latitude) + "," + plain(longitude)
		}
	}
	return ""
}

// inAddress is a position in the address of a map: behind an @, or as the
// value of a query.
var inAddress = regexp.MustCompile(`(?:@|[?&](?:q|ll|query|center|loc)=(?:loc:)?)` +
	`([+-]?\d{1,3}(?:\.\d+)?)(?:,|%2[Cc])(?:\+|%20)*([+-]?\d{1,3}(?:\.\d+)?)`)

// decimalCommas are two numbers with commas for points.
var decimalCommas = regexp.MustCompile(`^\s*([+-]?\d+),(\d+)[\s,;]+([+-]?\d+),(\d+)\s*$`)
