package strip_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/app/strip"
	"stampmill/exercises/passage"
)

func TestDiff(t *testing.T) {
	one := func(lines ...string) passage.Passage { return written(t, "4/4", "120", lines...) }
	before, after := headframe(t)
	for _, c := range []struct {
		what          string
		before, after passage.Passage
		want          string // from-to in quarter notes, voices
	}{
		{"nothing", before, before, ""},
		{"a triplet over two beats", before, after, "14-16 kick guitar"},
		{"an accent", one("kick | x x x x |"), one("kick | x X x x |"), "1-2 kick"},
		{"a stroke less", one("kick | x x x x |"), one("kick | x x . x |"), "2-3 kick"},
		{"a longer sound", one("guitar | x x . x |"), one("guitar | x x - x |"), "1-2 guitar"},
		{"the same places written finer", one("kick | x x x x |"), one("kick | x. x. x. x. |"), ""},
		{"a voice joins", one("kick | x . . x |"), one("kick | x . . x |", "snare | . . x . |"), "2-3 snare"},
		{"different voices beat by beat", one("kick | x x x x |", "snare | . . . . |"), one("kick | x x . . |", "snare | . . . x |"), "2-3 kick, 3-4 kick snare"},
		{"a bar more", one("kick | x x x x |"), one("kick | x x x x | x . . . |"), "4-8 kick"},
		{
			"a bar cut short, the next unchanged",
			written(t, "4/4", "120", "kick | x x x x | x x x x |"),
			written(t, "3/4 | 4/4", "120", "kick | x x x | x x x x |"), "0-3 kick",
		},
	} {
		var got []string
		for _, s := range strip.Diff(c.before, c.after) {
			got = append(got, fmt.Sprintf("%v-%v %s", s.From, s.To, strings.Trim(fmt.Sprint(s.Voices), "[]")))
		}
		if diff := cmp.Diff(c.want, strings.Join(got, ", ")); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.what, diff)
		}
	}
}
