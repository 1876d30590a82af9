package strip_test

import (
	"strings"
	"testing"

	"stampmill/app/strip"
)

// Places are said with the words that are counted under the rows, common
// practice, so that a listener and a reader mean the same stroke.
func TestPlacesAreSaidAsTheyAreCounted(t *testing.T) {
	for _, c := range []struct{ metre, kick, want string }{
		{"4/4", "x..x .x xxxx .", "Kick: 1, a of 1, and of 2, 3, e of 3, and of 3, a of 3."},
		{"4/4", "x.x xxx . .", "Kick: 1, 3 of 3 from beat 1, 2, 2 of 3 from beat 2, 3 of 3 from beat 2."},
		{"6/8", "x.x .x.", "Kick: 1, a of 1, and of 2."},
		{"6/8", "x..xx. ....xx", "Kick: 1, e after and of 1, a of 1, a of 2, e after a of 2."},
		{"7/8 (2+2+3)", "x. xx ..x", "Kick: 1, 2, and of 2, a of 3."},
		{"4/4", "2:xxx xxxxx .", "Kick: 1, 2 of 3 from beat 1, 3 of 3 from beat 1, 3, 2 of 5 from beat 3, 3 of 5 from beat 3, 4 of 5 from beat 3, 5 of 5 from beat 3."},
	} {
		p := written(t, c.metre, "100", "kick | "+c.kick+" |")
		if got := (strip.Sheet{Passage: p, First: 1, Last: 1, Width: 900}).Describe(); !strings.Contains(got, c.want) {
			t.Errorf("%s %q: %q, want %q", c.metre, c.kick, got, c.want)
		}
	}
}
