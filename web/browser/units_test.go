package browser

import (
	"testing"
	"unicode/utf16"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// Characters and units are counted as the standard library encodes them.
func TestUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.SampledFrom([]rune("ax |.-\nüß€𝄞𝅘𝅥𝅮\U0010FFFF"))).Draw(t, "text")
		runes := []rune(s)
		n := rapid.IntRange(0, len(runes)+2).Draw(t, "characters")
		want := len(utf16.Encode(runes[:min(n, len(runes))]))
		if got := unitsOf(s, n); got != want {
			t.Fatalf("%d characters of %q take %d units, want %d", n, s, got, want)
		}
		if got := charactersOf(s, want); got != min(n, len(runes)) {
			t.Fatalf("%d units of %q are %d characters, want %d", want, s, got, min(n, len(runes)))
		}
		if plain(s) != (utf8.RuneCountInString(s) == len(s)) {
			t.Fatalf("plain(%q) = %v", s, plain(s))
		}
	})
}
