package shoot

import "strings"

// nearest returns the choice that a misspelt word most likely means, or ""
// where none is close.
func nearest(word string, choices []string) string {
	const longest = 64 // nobody misspells a longer one
	if len(word) == 0 || len(word) > longest {
		return ""
	}
	word = strings.ToLower(word)
	best, fewest := "", max(2, len(word)/3)+1
	for _, choice := range choices {
		lower := strings.ToLower(choice)
		edits := editDistance(word, lower)
		if len(word) >= 3 && (strings.Contains(lower, word) || len(lower) >= 3 && strings.Contains(word, lower)) {
			edits = min(edits, 2) // part of the name alone
		}
		if edits < fewest && edits < max(len(word), len(lower)) {
			best, fewest = choice, edits
		}
	}
	return best
}

// editDistance counts the letters to insert, drop or change to turn a into b
// (Levenshtein 1966).
func editDistance(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i, r := range from {
		diagonal := row[0]
		row[0] = i + 1
		for j, q := range to {
			change := diagonal
			if r != q {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(to)]
}

// listed writes choices as a list in words: a, b or c.
func listed(choices []string) string {
	switch n := len(choices); n {
	case 0:
		return ""
	case 1:
		return choices[0]
	default:
		return strings.Join(choices[:n-1], ", ") + " or " + choices[n-1]
	}
}
