package complexity_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/complexity"
	"stampmill/exercises/passage"
)

// TestPolyphonicFixtures holds the index against the three patterns of
// danielgomezmarin/rhythmtoolbox, whose tests give 13, 0 and 3 for syncopations
// against another instrument, read on the grid of sixteenths. (That toolkit adds
// two weights that are not in the paper; on these patterns they change
// nothing.)
func TestPolyphonicFixtures(t *testing.T) {
	cases := []struct {
		low, mid, high string
		want           int
	}{
		{"1000001000100010", "1001001001001011", "1011101010101010", 13},
		{"0001000001000000", "1010001010001111", "1000001000001100", 0},
		{"1000001001001000", "0000001011011010", "1010101010001010", 3},
	}
	for _, c := range cases {
		p := timeline(t, "4/4", passage.Kick, c.low)
		p = withTimeline(withTimeline(p, passage.Snare, c.mid), passage.Hat, c.high)
		got := 0
		for _, s := range complexity.Syncopes(p, complexity.Sixteenths) {
			if s.Others != 0 {
				got += s.Degree
			}
		}
		if got != c.want {
			t.Errorf("%s / %s / %s: polyphonic syncopation %d, want %d", c.low, c.mid, c.high, got, c.want)
		}
	}
}

// TestSyncopation works the degree S = Ndi - N + I out by hand, with the
// instrument weights of Witek et al. 2014 (against silence 6 from memory, the
// cymbals' 1 and divisions other than by 2 ours).
func TestSyncopation(t *testing.T) {
	cases := []struct {
		what  string
		metre string
		lines []string
		want  []int
	}{
		{"a steady stream", "4/4", []string{"kick | xxxx xxxx xxxx xxxx |"}, []int{0}},
		{"a backbeat under steady eighths", "4/4", []string{"hat | xx xx xx xx |", "snare | . x . x |", "kick | x . x . |"}, []int{0}},
		{"half-time backbeat", "4/4", []string{"china | x . x . |", "snare | . . X . |", "kick | x . . . |"}, []int{0}},
		{"a low eighth off the beat against silence: -1 + 2 + 6", "4/4", []string{"kick | x .x . x |"}, []int{7}},
		{"against a cymbal alone: -1 + 2 + 5", "4/4", []string{"hat | x x x x |", "kick | x .x . x |"}, []int{6}},
		{"against the snare: -1 + 2 + 2", "4/4", []string{"snare | . . x . |", "kick | x .x . x |"}, []int{3}},
		{"against snare and cymbal: -1 + 2 + 2", "4/4", []string{"hat | x x x x |", "snare | . . x . |", "kick | x .x . x |"}, []int{3}},
		{"a snare off the beat against the kick: -1 + 2 + 1", "4/4", []string{"snare | . .x . . |", "kick | x . x . |"}, []int{2}},
		{"a snare off the beat against a cymbal alone: -1 + 2 + 5", "4/4", []string{"hat | x x x x |", "snare | . .x . . |"}, []int{6}},
		{"the stronger place is the downbeat: 0 + 3 + 6", "4/4", []string{"kick | . . . ...x |"}, []int{9}},
		{"of the next pass, where it is struck", "4/4", []string{"kick | x . . ...x |"}, []int{0}},
		{"of the next bar", "4/4", []string{"kick | . . . ...x | x . . . |"}, []int{0, 0}},
		{"counted in the bar of the stroke", "4/4", []string{"kick | . . . ...x | . x . . |"}, []int{9, 0}},
		{"a sixteenth before an eighth: -2 + 3 + 6", "4/4", []string{"kick | xx.. . . . |"}, []int{7}},
		{"a cymbal that leaves the beat: -1 + 2 + 1, the last one 0 + 2 + 1", "4/4", []string{"china | .x .x .x .x |"}, []int{9}},
		{"a guitar with the kick is one stream", "4/4", []string{"kick | x .x . x |", "guitar | x .x . x |"}, []int{7}},
		{"a held note is a rest", "4/4", []string{"guitar | x .o - x |"}, []int{7}},
		{"a choke strikes nothing", "4/4", []string{"china | x .x ! x |", "kick | x x x x |"}, []int{2}},
		{"the click belongs to no stream", "4/4", []string{"click | x .x . x |"}, []int{0}},
		{"the last cell of a triplet: -1 + 2 + 6", "4/4", []string{"kick | x ..x . x |"}, []int{7}},
		{"the middle cell of a triplet, as strong as the next: 0 + 6", "4/4", []string{"kick | x xx. . x |"}, []int{6}},
		{"the fourth of five: 0 + 6", "4/4", []string{"kick | x x..x. . x |"}, []int{6}},
		{"three over two beats, -1 + 2 + 6 and 0 + 6", "4/4", []string{"kick | 2:xxx x x |"}, []int{13}},
		{"four even strokes in a dotted beat", "6/8", []string{"kick | xxxx x |"}, []int{0}},
		{"seven, off its long beat: 0 + 2 + 6", "7/8 (2+2+3)", []string{"kick | x x ..x | . x x |"}, []int{8, 0}},
	}
	for _, c := range cases {
		if diff := cmp.Diff(c.want, complexity.Syncopation(read(t, c.metre, c.lines...))); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.what, diff)
		}
	}
}

// Every voice but the click is heard in one stream.
func TestStreams(t *testing.T) {
	for _, v := range passage.Voices() {
		switch s := complexity.StreamOf(v); s {
		case complexity.Low, complexity.Mid, complexity.High:
		default:
			if v != passage.Click {
				t.Errorf("%s is in streams %b, want one", v, s)
			}
		}
	}
}
