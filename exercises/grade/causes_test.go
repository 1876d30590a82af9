package grade_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"stampmill/exercises/grade"
)

// TestCausesAreNamed: a player who does one thing otherwise, by 16 to 24 ms at a
// spread of 8 in four passes, is told that thing first in nine takes of ten,
// and nothing else of the kind in most.
func TestCausesAreNamed(t *testing.T) {
	climb := musicOf(t, readManual(t))
	const takes = 100
	for _, tt := range []struct{ written, played, want string }{
		{"Crusher, kick and snare", "snare 16", "^The (snare|kick) comes .* (late|early)"},
		{"Crusher, kick and snare", "kick after snare -16", "^Kicks after the snare come .* early"},
		{"Crusher, kick", "bar 2 16", "^Bar 2 comes .* late"},
		{"Crusher, kick and snare", "& 16", "^(Strokes|Kicks) on the & come .* late"},
		{"Crusher, kick", "pass 3 -24", "^Pass 3 comes .* early"},
		{"Crusher, kick", "1.3& 24", "^The kick on the & of 1.3 comes .* late"},
		{"Belt, kick", "e a -16", "^The (left|right) foot comes .* (early|late)"},
		{"Crusher, kick", "bar 2 speeds up 40", "^You speed up in bar 2"},
		{"Skip, snare and kick and tom-high and tom-floor", "bar 2 speeds up 40 from 2.4", "^You speed up in the fill from 2.4"},
		{"Conveyor, kick", "bar 2 16", "^Bar 2 comes .* late"},
		{"Tipper, kick and snare", "kick after snare -24", "^Kicks after the snare come .* early"},
	} {
		named, more := 0, 0
		form := regexp.MustCompile(tt.want)
		for seed := range takes {
			p, take, err := takeFrom(climb, tt.written, fmt.Sprintf("%s, spread 8, seed %d", tt.played, seed))
			if err != nil {
				t.Fatal(err)
			}
			v, err := grade.Grade(p, take, grade.Options{NoSearch: true})
			if err != nil {
				t.Fatal(err)
			}
			if form.MatchString(v.Sentences[0]) {
				named++
			} else if testing.Verbose() {
				t.Logf("%s: %q", tt.played, v.Sentences)
			}
			if strings.Count(strings.Join(v.Sentences, " "), " come") > 1 {
				more++
			}
		}
		t.Logf("%s, %s: named in %d of %d, with another in %d", tt.written, tt.played, named, takes, more)
		if named < takes*9/10 || more > takes/4 {
			t.Errorf("%s, %s: named in %d of %d, with another in %d", tt.written, tt.played, named, takes, more)
		}
	}
}
