package shootfile

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// exampleOdds are odds of the sky to type.
const exampleOdds = "clear=40,broken=30,overcast=30"

// stated is one of the odds as it was written.
type stated struct {
	word  string
	share float64
	given string // the share
	ok    bool   // it is a number from 0 on
}

// odds reads how likely conditions of the sky are, in percent or as shares: of
// a text such as clear=40,broken=60, or of a table. They are returned in the
// order of the conditions, without those that do not come.
func (s *section) odds(key string) []shoot.Odds {
	e := s.take(key)
	if e == nil {
		return nil
	}
	var list []stated
	text, isText := e.value.(string)
	switch {
	case isText:
		list = statedIn(text)
	case e.table != nil:
		list = statedBy(e.table)
	default:
		s.wrong(e, key, "a list of odds", exampleOdds)
		return nil
	}
	if what := wrongOdds(list); what != "" {
		s.fault(e, s.called(key)+": "+what, s.instead(key, betterOdds(list)))
		return nil
	}
	sum := total(list)
	var odds []shoot.Odds
	for _, w := range sky.Words {
		for _, one := range list {
			if known, _ := skyNamed(one.word); known == w && one.share > 0 {
				odds = append(odds, shoot.Odds{Condition: sky.Described(w), Share: one.share / sum})
			}
		}
	}
	return odds
}

// statedIn reads odds of a text.
func statedIn(text string) []stated {
	var list []stated
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		word, given, _ := strings.Cut(part, "=")
		one := stated{word: strings.TrimSpace(word), given: strings.TrimSpace(given)}
		if v, ok := readNumber(strings.TrimSuffix(one.given, "%")); ok {
			one.share = v.(float64) // as readNumber has it
			one.ok = one.share >= 0
		}
		list = append(list, one)
	}
	return list
}

// statedBy reads odds of a table.
func statedBy(table map[string]*entry) []stated {
	var list []stated
	for _, word := range slices.Sorted(maps.Keys(table)) {
		v, ok := asNumber(table[word])
		list = append(list, stated{word: word, share: v, given: strings.Trim(table[word].written(), `"`),
			ok: ok && v >= 0 && !math.IsInf(v, 1)})
	}
	return list
}

// skyNamed returns the condition of the sky that a word is.
func skyNamed(word string) (sky.Word, bool) {
	for _, w := range sky.Words {
		if strings.EqualFold(w.String(), strings.TrimSpace(word)) {
			return w, true
		}
	}
	return sky.Clear, false
}

// total adds up what is stated.
func total(list []stated) float64 {
	sum := 0.0
	for _, one := range list {
		sum += one.share
	}
	return sum
}

// wrongOdds says what is wrong with odds; nothing of good ones.
func wrongOdds(list []stated) string {
	seen := map[sky.Word]bool{}
	for _, one := range list {
		w, known := skyNamed(one.word)
		switch {
		case !known:
			return fmt.Sprintf("%s is no condition of the sky; there are %s", quoted(one.word), listed(skyWords()))
		case !one.ok:
			return fmt.Sprintf("%s of %s is no share in percent", quoted(one.given), w)
		case seen[w]:
			return w.String() + " is there twice"
		}
		seen[w] = true
	}
	sum, rounded := total(list), 0.5*float64(len(list)) // of each up to half a percent
	if math.Abs(sum-100) > rounded && math.Abs(sum-1) > rounded/100 || sum == 0 {
		return fmt.Sprintf("the odds add up to %s, not to 100", written(sum))
	}
	return ""
}

// betterOdds writes odds that add up to 100 in the place of others: scaled, with
// the conditions that are most likely meant.
func betterOdds(list []stated) string {
	shares := map[sky.Word]float64{}
	for _, one := range list {
		w, known := skyNamed(one.word)
		if !known {
			w = nearestSky(one.word, list)
		}
		if one.ok && shares[w] == 0 {
			shares[w] = one.share
		}
	}
	sum := 0.0
	for _, share := range shares {
		sum = max(sum, share)
	}
	if sum == 0 || math.IsInf(sum, 0) {
		return exampleOdds
	}
	return scaledOdds(shares)
}

// nearestSky returns the condition that a word which is none most likely means: one
// that it is like, else of those that nothing else is stated of the one with the
// fewest letters to change.
func nearestSky(word string, list []stated) sky.Word {
	if near, meant := skyNamed(Nearest(word, skyWords())); meant {
		return near
	}
	nearest, fewest := sky.Clear, math.MaxInt
	for _, w := range sky.Words {
		taken := slices.ContainsFunc(list, func(o stated) bool { known, is := skyNamed(o.word); return is && known == w })
		if edits := distance(strings.ToLower(word), w.String()); !taken && edits < fewest {
			nearest, fewest = w, edits
		}
	}
	return nearest
}

// scaledOdds writes shares as whole percents that add up to 100: what is left
// over by rounding down goes to the largest remainders.
func scaledOdds(shares map[sky.Word]float64) string {
	sum := 0.0
	var order []sky.Word
	for _, w := range sky.Words {
		if shares[w] > 0 {
			order, sum = append(order, w), sum+shares[w]
		}
	}
	percent := func(w sky.Word) float64 { return 100 * shares[w] / sum }
	whole := map[sky.Word]int{}
	left := 100
	for _, w := range order {
		whole[w] = int(percent(w))
		left -= whole[w]
	}
	byRest := slices.Clone(order)
	slices.SortStableFunc(byRest, func(a, b sky.Word) int {
		_, restA := math.Modf(percent(a))
		_, restB := math.Modf(percent(b))
		return cmp.Compare(restB, restA)
	})
	for i := 0; i < left && i < len(byRest); i++ {
		whole[byRest[i]]++
	}
	var parts []string
	for _, w := range order {
		parts = append(parts, w.String()+"="+strconv.Itoa(whole[w]))
	}
	return strings.Join(parts, ",")
}
