package drill

import (
	"strings"
	"unicode/utf8"
)

// Nearest returns the known word that was most likely meant by a mistyped one:
// the one with the fewest letters changed, at most a third of them; false when
// none is that near. Upper and lower case count as the same.
func Nearest(word string, known []string) (string, bool) {
	word = strings.ToLower(word)
	n := utf8.RuneCountInString(word)
	if n > maxTitle {
		return "", false
	}
	best, name := max(1, n/3)+1, ""
	for _, k := range known {
		if d := distance([]rune(word), []rune(strings.ToLower(k))); d < best {
			best, name = d, k
		}
	}
	return name, name != ""
}

// distance is the number of letters to insert, remove or change (Levenshtein).
func distance(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i, ca := range a {
		corner := row[0]
		row[0] = i + 1
		for j, cb := range b {
			cost := corner
			if ca != cb {
				cost = 1 + min(corner, row[j], row[j+1])
			}
			corner, row[j+1] = row[j+1], cost
		}
	}
	return row[len(b)]
}

// didYouMean returns "did you mean X?" for a mistyped word, or the fallback.
func didYouMean(word string, known []string, fallback string) string {
	if k, ok := Nearest(word, known); ok {
		return "did you mean " + k + "?"
	}
	return fallback
}
