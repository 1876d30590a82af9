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

// distance is the number of letters to insert, remove, change or exchange with
// the next (Damerau's four slips of the hand, as optimal string alignment).
func distance(a, b []rune) int {
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			d := rows[i-1][j-1]
			if a[i-1] != b[j-1] {
				d = 1 + min(d, rows[i-1][j], rows[i][j-1])
			}
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, rows[i-2][j-2]+1)
			}
			rows[i][j] = d
		}
	}
	return rows[len(a)][len(b)]
}

// didYouMean returns "did you mean X?" for a mistyped word, or the fallback.
func didYouMean(word string, known []string, fallback string) string {
	if k, ok := Nearest(word, known); ok {
		return "did you mean " + k + "?"
	}
	return fallback
}
