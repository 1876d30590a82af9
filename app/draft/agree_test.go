package draft

import (
	"fmt"
	"strings"
	"testing"

	"stampmill/exercises/passage"
)

// Counted by hand.
func TestAgree(t *testing.T) {
	for _, c := range []struct{ kick, guitar, want string }{
		{"x.x. .x . ..x.", "x-x- .x . ..o-", "Kick and guitar agree in every beat."},
		{"x . . .", "x . . x", "Kick and guitar agree in every beat but bar 1, beat 4."},
		{"x . . . | xxx .x 2:xx-", "x . . . | xxx .x 2:.xx", "Kick and guitar agree in every beat but bar 2, beats 3 and 4."},
		{"x x x x | x . . .", ". . . . | x . . x", "Kick and guitar agree in every beat but bar 1; bar 2, beat 4."},
		{"x x x x", ". .x . .x", "Kick and guitar agree in no beat."},
		{"x . . .", "x . . !", "Kick and guitar agree in every beat."},
		{strings.Repeat("x . . . | ", 5) + ". . . .", strings.Repeat(". . . . | ", 5) + ". . . .", "Kick and guitar agree in 19 of 24 beats; they differ first in bar 1, beat 1."},
	} {
		text := fmt.Sprintf("title: Adit\ntempo: 96\nmetre: 4/4\nstep: Timber\nkick | %s |\nguitar | %s |\n", c.kick, c.guitar)
		d := New("adit", text, nil)
		if len(d.Problems()) > 0 {
			t.Fatal(d.Problems())
		}
		if got := Agree(d.Passage(), passage.Kick, passage.Guitar); got != c.want {
			t.Errorf("%s\n%s\ngot  %s\nwant %s", c.kick, c.guitar, got, c.want)
		}
	}
}

func TestAgreeNeedsBothVoices(t *testing.T) {
	if got := Agree(New("adit", floor, nil).Passage(), passage.Kick, passage.Lead); got != "" {
		t.Errorf("kick and no lead: %q", got)
	}
}
