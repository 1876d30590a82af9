package complexity_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/complexity"
	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// TestFastest: sixteenths at 150 BPM are 10 strokes a second (60000/BPM is 400
// ms a beat), and what the definition gives for others.
func TestFastest(t *testing.T) {
	cases := []struct {
		what, metre, cells string
		bpm                int64
		want               float64
	}{
		{"sixteenths at 150", "4/4", "xxxxxxxxxxxxxxxx", 150, 10},
		{"a pair of sixteenths at 120", "4/4", "xx..............", 120, 8},
		{"a triplet at 120", "4/4", "xxx.........", 120, 6},
		{"over the end of the passage", "4/4", "x..............x", 120, 8},
		{"one stroke a bar of two seconds", "4/4", "x...", 120, 0.5},
		{"eighths of 6/8 at 80 dotted quarters", "6/8", "xxxxxx", 80, 4},
		{"none", "4/4", "....", 120, 0},
	}
	for _, c := range cases {
		p := timeline(t, c.metre, passage.Guitar, c.cells)
		p, err := p.AtTempo(meter.Int(c.bpm))
		if err != nil {
			t.Fatal(err)
		}
		if r := complexity.Rate(nil, p); math.Abs(r.PeakRate-c.want) > 1e-9 {
			t.Errorf("%s: %v strokes a second, want %v", c.what, r.PeakRate, c.want)
		}
	}
}

// Two tapped notes need no picking hand.
func TestTappedNotesAreNotPicked(t *testing.T) {
	p := read(t, "4/4", "guitar | xppp . . . |")
	r := complexity.Rate(nil, p)
	if r.PeakRate != 0.5 || r.Parts[0].WNBD.Notes != 4 {
		t.Errorf("peak rate %v, %d notes; want 0.5 and 4", r.PeakRate, r.Parts[0].WNBD.Notes)
	}
}

func TestNewStrokes(t *testing.T) {
	before := read(t, "4/4", "snare | . . X . |", "kick | x . . . |", "guitar | x . . . |")
	cases := []struct {
		what  string
		lines []string
		want  int
	}{
		{"as it was", []string{"snare | . . X . |", "kick | x . . . |", "guitar | x . . . |"}, 0},
		{"a stroke more", []string{"snare | . . X . |", "kick | x x . . |", "guitar | x . . . |"}, 1},
		{"a stroke less", []string{"snare | . . X . |", "kick | . . . . |", "guitar | x . . . |"}, 1},
		{"a stroke moved", []string{"snare | . . .X . |", "kick | x . . . |", "guitar | x . . . |"}, 1},
		{"a stroke played another way", []string{"snare | . . f . |", "kick | x . . . |", "guitar | x . . . |"}, 1},
		{"a stroke held", []string{"snare | . . X . |", "kick | x . . . |", "guitar | x - . . |"}, 1},
		{"a drum written shorter", []string{"snare | . . X... . |", "kick | x... . . . |", "guitar | x . . . |"}, 0},
		{"a stroke on another voice", []string{"snare | . . X . |", "tom-high | x . . . |", "guitar | x . . . |"}, 2},
		{"another bar", []string{"snare | . . X . | . . X . |", "kick | x . . . | . . . . |", "guitar | x . . . | . . . . |"}, 1},
	}
	for _, c := range cases {
		after := read(t, "4/4", c.lines...)
		if r := complexity.Rate(&before, after); r.New != c.want {
			t.Errorf("%s: %d new strokes, want %d", c.what, r.New, c.want)
		}
	}
}

// The hardest bar speaks for the passage, so that a stop in another one is no
// relief.
func TestLoadIsOfTheHardestBar(t *testing.T) {
	riff := read(t, "4/4", "guitar | x..x ..x. .x x | x..x ..x. .x x |")
	stop := read(t, "4/4", "guitar | x..x .... . . | x..x ..x. .x x |")
	a, b := complexity.Rate(nil, riff), complexity.Rate(nil, stop)
	if a.Load() != b.Load() || b.Hardest != 2 || b.Load() != float64(b.Syncopation)+b.PeakRate {
		t.Errorf("load %v, with a stop in bar 1 %v in bar %d; want the same, in bar 2", a.Load(), b.Load(), b.Hardest)
	}
}

func TestNothingToRate(t *testing.T) {
	var empty passage.Passage
	if r := complexity.Rate(&empty, empty); r.Load() != 0 || r.WNBD() != 0 || r.New != 0 || r.Hardest != 0 || r.Fastest != "" {
		t.Errorf("no passage at all is rated %+v", r)
	}
}

// Limbs share what voices cannot tell apart: two feet halve the rate of a run,
// one foot keeps it, and hands that are one too few leave the feet alone.
func TestPartsAreLimbs(t *testing.T) {
	run := read(t, "4/4", "china | x x x x |", "snare | . . x . |", "kick | x x . xxxx |")
	three := read(t, "4/4", "china | . . x . |", "crash-left | . . x . |", "snare | . . x . |", "kick | x x . xxxx |")
	cases := []struct {
		what   string
		p      passage.Passage
		pedals limbs.Pedals
		names  []string
		rate   float64
	}{
		{"two pedals", run, limbs.Two, []string{"right hand", "left hand", "right foot", "left foot"}, 4},
		{"one pedal", run, limbs.One, []string{"right hand", "left hand", "right foot"}, 8},
		{"three hands", three, limbs.Two, []string{"china", "crash-left", "snare", "right foot", "left foot"}, 4},
	}
	for _, c := range cases {
		r := complexity.RateFor(c.pedals, nil, c.p)
		var names []string
		for _, part := range r.Parts {
			names = append(names, part.Name)
		}
		if diff := cmp.Diff(c.names, names); diff != "" || math.Abs(r.PeakRate-c.rate) > 1e-9 {
			t.Errorf("%s: %v strokes a second, want %v; parts (-want +got):\n%s", c.what, r.PeakRate, c.rate, diff)
		}
	}
}
