package player_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises"
	"stampmill/exercises/change"
	"stampmill/exercises/drill"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// signals is a bar of everything that a player does besides striking in time:
// a flam, a drag, ghosts and accents, a ringing string, a choked crash and a
// triplet.
const signals = `title: Signals
tempo: 120
metre: 4/4

step: All
crash-left | x    . !  .   |
snare      | f    . d  xgg |
guitar     | o--- . xX xxx |
`

func read(t *testing.T, text string) passage.Passage {
	t.Helper()
	climb, problems := drill.Parse("test.drill", []byte(text), change.Catalogue())
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	return climb.Steps[0].Passage
}

func tapsOf(t *testing.T, p passage.Passage, passes int, o player.Options) []grade.Tap {
	t.Helper()
	taps, err := player.Play(p, grade.Take{Tempo: p.Bars[0].Tempo.BPM.Float(), Passes: passes}, o, rand.New(rand.NewPCG(2, 3)))
	if err != nil {
		t.Fatal(err)
	}
	return taps
}

// onsets lists the taps of a voice as milliseconds.
func onsets(taps []grade.Tap, v passage.Voice) (ms []float64) {
	for _, tap := range taps {
		if tap.Voice == v {
			ms = append(ms, math.Round(1e4*tap.Seconds)/10)
		}
	}
	return ms
}

// TestPlayAsWritten: the zero Options play every stroke at its time, and grace
// strokes before flams (26 ms) and drags (38 and 76 ms), as the sound has them.
func TestPlayAsWritten(t *testing.T) {
	taps := tapsOf(t, read(t, signals), 1, player.Options{})
	for _, want := range []struct {
		voice passage.Voice
		ms    []float64
	}{
		{passage.CrashLeft, []float64{0}},
		{passage.Snare, []float64{-26, 0, 924, 962, 1000, 1500, 1666.7, 1833.3}},
		{passage.Guitar, []float64{0, 1000, 1250, 1500, 1666.7, 1833.3}},
	} {
		if diff := cmp.Diff(want.ms, onsets(taps, want.voice)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", want.voice, diff)
		}
	}
}

// TestOptionsAreApart: whatever is added leaves the rest of the take as it was.
func TestOptionsAreApart(t *testing.T) {
	base := player.Options{SpreadMS: 9, Miss: .1, Extra: .1, Grace: player.Grace{Missing: 1}}
	want := tapsOf(t, read(t, signals), 20, base)
	more := base
	more.Touch = &player.Touch{Accent: player.Level{Mean: .9, Spread: .1}, Hit: player.Level{Mean: .6}, Ghost: player.Level{Mean: .2}}
	more.Release = &player.Release{SpreadMS: 5}
	more.Habits = []player.Habit{{Voices: []passage.Voice{passage.Kick}, LeanMS: -30, SpreadMS: 10, Miss: .5}}
	got := tapsOf(t, read(t, signals), 20, more)
	for i := range got {
		if !got[i].Strength.OK || !got[i].Release.OK {
			t.Fatalf("tap %d lacks its strength or release", i)
		}
		got[i].Strength, got[i].Release = grade.Optional{}, grade.Optional{}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("other times (-want +got):\n%s", diff)
	}
}

// TestTouch: accents, hits and ghosts have their own mean and spread, within
// four standard errors, and stay within 0 to 1.
func TestTouch(t *testing.T) {
	levels := map[passage.Kind]player.Level{passage.Accent: {Mean: .8, Spread: .05}, passage.Hit: {Mean: .5, Spread: .02}, passage.Ghost: {Mean: .2, Spread: .04}}
	p := read(t, strings.ReplaceAll(signals, "f    . d  xgg", "X    g xX xgg"))
	taps := tapsOf(t, p, 200, player.Options{Touch: &player.Touch{Accent: levels[passage.Accent], Hit: levels[passage.Hit], Ghost: levels[passage.Ghost]}})
	line, _ := p.Line(passage.Snare)
	found := map[passage.Kind][]float64{}
	n := 0
	for _, tap := range taps {
		if tap.Voice == passage.Snare {
			k := line.Strokes[n%len(line.Strokes)].Kind
			found[k] = append(found[k], tap.Strength.Value)
			n++
		}
	}
	for k, want := range levels {
		mean, sd, _ := moments(found[k])
		root := math.Sqrt(float64(len(found[k])))
		near(t, k.String()+" mean", mean, want.Mean, 4*want.Spread/root)
		near(t, k.String()+" spread", sd, want.Spread, 4*want.Spread/root)
	}
	loud := tapsOf(t, p, 50, player.Options{Touch: &player.Touch{Hit: player.Level{Mean: .9, Spread: .5}}})
	for _, tap := range loud {
		if s := tap.Strength.Value; s < 0 || s > 1 {
			t.Fatalf("a strength of %g", s)
		}
	}
}

// TestRelease: a ringing string ends where it is written, a choked cymbal where
// it is choked and later by what is asked, and other strokes soon.
func TestRelease(t *testing.T) {
	taps := tapsOf(t, read(t, signals), 1, player.Options{LeanMS: 8, LatencyMS: 30, Release: &player.Release{LateMS: 10, ChokeLateMS: 40}})
	for _, want := range []struct {
		voice passage.Voice
		ms    float64
	}{
		{passage.Guitar, 500 + 30 + 10},
		{passage.CrashLeft, 1000 + 30 + 10 + 40},
		{passage.Snare, -26 + 8 + 30}, // its grace stroke
	} {
		i := slices.IndexFunc(taps, func(tap grade.Tap) bool { return tap.Voice == want.voice })
		near(t, want.voice.String(), 1000*taps[i].Release.Value, want.ms, 1e-6)
	}
}

// TestGraces: their distances scatter about what is asked, and a share of the
// main strokes has none.
func TestGraces(t *testing.T) {
	p := read(t, signals)
	taps := tapsOf(t, p, 999, player.Options{Grace: player.Grace{FlamMS: 30, DragMS: 50, SpreadMS: 4, Missing: .25}})
	var flams, drags []float64
	for i, tap := range taps {
		in := math.Mod(tap.Seconds+.2, 2) - .2
		if tap.Voice == passage.Snare && in < -.001 && in > -.1 {
			flams = append(flams, -1000*in)
		}
		if tap.Voice == passage.Snare && in > .8 && in < .999 && i > 0 {
			drags = append(drags, 1000*(1-in))
		}
	}
	near(t, "flams played", float64(len(flams)), 750, 60)
	near(t, "graces of drags", float64(len(drags)), 1500, 120)
	mean, sd, _ := moments(flams)
	near(t, "distance", mean, 30, .6)
	near(t, "spread", sd, 4, .5)
	mean, _, _ = moments(drags)
	near(t, "distance in drags", mean, 75, 3)
}

// TestHabits: leaning that holds for a voice after another, a bar, a pass or a
// place in the beat comes back there and nowhere else.
func TestHabits(t *testing.T) {
	quarter := meter.R(1, 2)
	for _, tt := range []struct {
		name  string
		habit player.Habit
		holds func(pass, bar int, at float64, v passage.Voice) bool
	}{
		{"kicks after the snare", player.Habit{Voices: []passage.Voice{passage.Kick}, After: passage.Snare},
			func(_, _ int, _ float64, v passage.Voice) bool { return v == passage.Kick }},
		{"snares after the snare", player.Habit{Voices: []passage.Voice{passage.Snare}, After: passage.Snare},
			func(int, int, float64, passage.Voice) bool { return false }},
		{"bar 2", player.Habit{Bars: []int{2}}, func(_, bar int, _ float64, _ passage.Voice) bool { return bar == 2 }},
		{"pass 3", player.Habit{Passes: []int{3}}, func(pass, _ int, _ float64, _ passage.Voice) bool { return pass == 3 }},
		{"off the beat", player.Habit{Into: []meter.Rat{quarter}}, func(_, _ int, at float64, _ passage.Voice) bool { return at != math.Floor(at) }},
		{"at 2.1", player.Habit{At: []meter.Rat{meter.Int(4)}}, func(_, _ int, at float64, _ passage.Voice) bool { return at == 4 }},
	} {
		tt.habit.LeanMS = -14
		for _, tap := range tapsOf(t, haulage(), 3, player.Options{Habits: []player.Habit{tt.habit}}) {
			eighth := math.Round(4 * tap.Seconds)
			at := math.Mod(eighth, 16) / 2
			pass, bar := 1+int(eighth/16), 1+int(at/4)
			want := 0.0
			if tt.holds(pass, bar, at, tap.Voice) {
				want = -14
			}
			near(t, tt.name, 1000*tap.Seconds-250*eighth, want, 1e-6)
		}
	}
}

// TestUneven: a triplet that comes out as 3:3:2 has its strokes after 3/8 and
// 6/8 of the beat; half way there, half way.
func TestUneven(t *testing.T) {
	p := read(t, signals)
	for share, want := range map[float64][]float64{1: {1500, 1687.5, 1875}, .5: {1500, 1677.1, 1854.2}} {
		got := onsets(tapsOf(t, p, 1, player.Options{Uneven: share}), passage.Guitar)
		if diff := cmp.Diff(want, got[3:]); diff != "" {
			t.Errorf("%g (-want +got):\n%s", share, diff)
		}
	}
}

// TestFollowing: a player who follows has the spread and correlation of its
// model (Vorberg and Wing 1996) on a passage too: clock 20, motor 10, alpha .25
// give 32.07 ms and .6528.
func TestFollowing(t *testing.T) {
	taps := tapsOf(t, haulage(), 999, player.Options{Phase: &player.Phase{Alpha: .25, ClockMS: 20, MotorMS: 10, LeanMS: -20}})
	errs := make([]float64, len(taps))
	for i, tap := range taps {
		errs[i] = 1000 * (tap.Seconds - .25*float64(i))
	}
	mean, sd, rho := moments(errs)
	near(t, "mean", mean, -20, 2.5)
	near(t, "standard deviation", sd, 32.07, 1.2)
	near(t, "lag-1 correlation", rho, .6528, .03)
}

// TestMisread: what each kind of text makes of a step, and what is said of
// texts that are none.
func TestMisread(t *testing.T) {
	climb, err := exercises.Open("headframe")
	if err != nil {
		t.Fatal(err)
	}
	p, slips, err := player.Misread(climb.Steps, 5, "Step 2")
	if err != nil || slips != nil || !passage.Same(p, climb.Steps[1].Passage) {
		t.Errorf("step 2: %v %v", slips, err)
	}
	if p, _, err := player.Misread(climb.Steps, 5, "half-time kick"); err != nil || passage.Same(p, climb.Steps[5].Passage) {
		t.Errorf("half-time kick: %v", err)
	}
	for _, text := range []string{"lose 1/4 at 1.3 in pass 2", "double 1/8 at 2.1+1/8 in every pass", "lose 1/4 at 1.2 in every pass and come in again"} {
		_, slips, err := player.Misread(climb.Steps, 5, text)
		if err != nil || len(slips) != 1 || slips[0].String(climb.Steps[5].Passage) != text {
			t.Errorf("%s: %v %v", text, slips, err)
		}
	}
	for _, text := range []string{"", "step", "step 99", "lose", "lose 1/4 at 9.9", "double 4 at 2.4", "lose 1/4 at 1.1 in pass 0", "lose 1/4 at 2", "haul away"} {
		if _, _, err := player.Misread(climb.Steps, 5, text); err == nil || !strings.Contains(err.Error(), "; ") {
			t.Errorf("%q: %v", text, err)
		}
	}
}
