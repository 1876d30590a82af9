package browser

import "unicode/utf8"

// A browser counts text in UTF-16 code units, the ports in characters (Unicode
// code points). The text is valid UTF-8, as it comes out of the browser.

// unitsOf returns how many units the first n characters of s take; all of
// them when s has fewer.
func unitsOf(s string, n int) int {
	units := 0
	for _, r := range s {
		if n--; n < 0 {
			break
		}
		units += width(r)
	}
	return units
}

// charactersOf returns how many characters begin within the first n units of
// s; all of them when s has fewer units.
func charactersOf(s string, n int) int {
	characters := 0
	for _, r := range s {
		if n <= 0 {
			break
		}
		n -= width(r)
		characters++
	}
	return characters
}

// width returns how many units a character takes.
func width(r rune) int {
	if r > 0xFFFF {
		return 2
	}
	return 1
}

// plain reports whether characters and units of s are the same, as they are
// in nearly every text; it is quicker than counting.
func plain(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}
