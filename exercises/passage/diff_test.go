package passage_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/passage"
)

func TestDiff(t *testing.T) {
	one := func(lines ...string) passage.Passage { return read(t, "4/4", lines...) }
	before := one("kick | x x x x | x x x x | x x x x | x x x x |", "guitar | x x x x | x x x x | x x x x | x x x x |")
	after := one("kick | x x x x | x x x x | x x x x | x x 2:xxx |", "guitar | x x x x | x x x x | x x x x | x x 2:xxx |")
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
		{"a voice leaves", one("kick | x . . x |", "snare | . . x . |"), one("kick | x . . x |"), "2-3 snare"},
		{"a bar more", one("kick | x x x x |"), one("kick | x x x x | x . . . |"), "4-8 kick"},
		{
			"a bar cut short, the next unchanged",
			read(t, "4/4", "kick | x x x x | x x x x |"),
			read(t, "3/4 | 4/4", "kick | x x x | x x x x |"), "0-3 kick",
		},
	} {
		var got []string
		for _, s := range passage.Diff(c.before, c.after) {
			got = append(got, fmt.Sprintf("%v-%v %s", s.From, s.To, strings.Trim(fmt.Sprint(s.Voices), "[]")))
		}
		if diff := cmp.Diff(c.want, strings.Join(got, ", ")); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.what, diff)
		}
	}
}

func TestSame(t *testing.T) {
	p := read(t, "4/4", "kick | x . . x |", "guitar | o - . x |")
	for _, c := range []struct {
		what string
		q    passage.Passage
		want bool
	}{
		{"itself", p, true},
		{"written finer, with an empty line, in another order", read(t, "4/4", "snare | . . . . |", "guitar | o - . x- |", "kick | x- . . x- |"), true},
		{"a shorter drum", read(t, "4/4", "kick | x. . . x... |", "guitar | o - . x |"), true},
		{"a shorter sound", read(t, "4/4", "kick | x . . x |", "guitar | o . . x |"), false},
		{"a stroke less", read(t, "4/4", "kick | x . . . |", "guitar | o - . x |"), false},
		{"a voice less", read(t, "4/4", "kick | x . . x |"), false},
		{"another metre", read(t, "4/4 (2+2)", "kick | x- .x |", "guitar | o. .x |"), false},
	} {
		if got := passage.Same(p, c.q); got != c.want || passage.Same(c.q, p) != c.want {
			t.Errorf("%s: same %v, want %v both ways", c.what, got, c.want)
		}
	}
}
