package draft

import (
	"testing"
	"unicode/utf16"

	"pgregory.net/rapid"
)

func TestCaretGoesThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.SampledFrom([]rune("a\né𝄞")), 0, 40, -1).Draw(t, "text")
		runes := []rune(text)
		n := rapid.IntRange(0, len(runes)).Draw(t, "characters")
		offset, units := len(string(runes[:n])), len(utf16.Encode(runes[:n]))
		c := CaretAt(text, offset)
		if got := c.Offset(text); got != offset {
			t.Errorf("%v is at byte %d, want %d", c, got, offset)
		}
		if got := c.Units(text); got != units {
			t.Errorf("%v is at unit %d, want %d", c, got, units)
		}
		if got := CaretOfUnits(text, units); got != c {
			t.Errorf("unit %d is at %v, want %v", units, got, c)
		}
	})
}

func TestCaretOutsideTheText(t *testing.T) {
	for _, c := range []struct {
		caret Caret
		want  int
	}{{Caret{}, 0}, {Caret{-3, -3}, 0}, {Caret{1, 99}, 2}, {Caret{2, 1}, 3}, {Caret{9, 9}, 4}} {
		if got := c.caret.Offset("ab\nc"); got != c.want {
			t.Errorf("%v is at byte %d, want %d", c.caret, got, c.want)
		}
	}
	if got := CaretAt("ab", 99); got != (Caret{1, 3}) {
		t.Errorf("byte 99 is at %v", got)
	}
	if got := CaretOfUnits("ab", 99); got != (Caret{1, 3}) {
		t.Errorf("unit 99 is at %v", got)
	}
}
