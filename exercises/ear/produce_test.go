package ear

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// made returns the trial of a task from lines of voices.
func made(t testing.TB, task Task, d float64, seed uint64, tempo, metre, lines string) Trial {
	t.Helper()
	trial, err := task.Trial(Source{"made", "up", read(t, tempo, metre, lines)}, d, seed)
	if err != nil {
		t.Fatal(err)
	}
	return trial
}

// Strokes that only go on in an even run are kept in mind as one thing.
func TestStrokesToKeep(t *testing.T) {
	for _, c := range []struct {
		kick string
		want int
	}{
		{"x . . .", 1},
		{"x x x x", 2},
		{"xxxx xxxx xxxx xxxx", 2},
		{"x..x ..x. ...x x...", 4},
		{"x x xxx x", 3}, // quarters, then thirds
		{"x x xxx .x", 4},
		{"x.x. .x . ..x.", 4},
		{". . . .", 0},
	} {
		p := read(t, "120", "4/4", "kick | "+c.kick+" |")
		if got := toKeep(onsetsOf(p.Lines[0])); got != c.want {
			t.Errorf("%q has %d strokes to keep, want %d", c.kick, got, c.want)
		}
	}
}

// What is offered never gives the answer away: the lines that are given do not
// strike with the one asked for, which is empty, and its strokes can all be
// written in the cells that a strip can have.
func TestStripCanHoldTheAnswer(t *testing.T) {
	for i, s := range some(2) {
		for _, d := range difficulties(strokesToKeep) {
			trial, err := write().Trial(s, d, uint64(i))
			if err != nil {
				continue
			}
			ask, heard := trial.Asks[0], trial.Sounds[0].Passage
			empty, ok := ask.Passage.Line(ask.Voices[0])
			if !ok || len(empty.Strokes) > 0 || len(passage.Check(ask.Passage)) > 0 {
				t.Fatalf("%s %q: the strip has %+v", s.Climb, s.Title, empty)
			}
			own, _ := heard.Line(ask.Voices[0])
			for _, l := range ask.Passage.Lines {
				if l.Voice != ask.Voices[0] && locked(own, l) {
					t.Errorf("%s %q: the %s gives the %s away", s.Climb, s.Title, l.Voice, ask.Voices[0])
				}
			}
			for j, b := range heard.Beats() {
				need := cellsOf(b, between(onsetsOf(own), b.At, b.At.Add(b.Length)))
				if need > mostCells || !ask.Kinds && ask.Grid[j]%need != 0 {
					t.Errorf("%s %q, beat %d: %d cells are offered where %d are needed", s.Climb, s.Title, j+1, ask.Grid[j], need)
				}
			}
		}
	}
}

// One kick line, and what is written for it.
func TestWritingIsMarked(t *testing.T) {
	const kick = "kick | x.x. .x.. X ..x. | / snare | . . x . |"
	for _, c := range []struct {
		name, written string
		d             float64
		right         bool
		says          []string // of the parts, in order
	}{
		{"as it is", "x.x. .x.. x ..x.", 6, true, []string{"right"}},
		{"in other cells", "x.x. .x.. x .x", 6, true, []string{"right"}},
		{"one missing", "x... .x.. x ..x.", 6, false, []string{"4 of 5 strokes in place; 1 missing", "missing: & of 1 in bar 1"}},
		{"one too many", "x.x. .x.. x x.x.", 6, false, []string{"5 of 5 strokes in place; 1 too many", "too many: 4 in bar 1"}},
		{"one too soon", "x.x. x... x ..x.", 6, false, []string{"4 of 5 strokes in place; 1 misplaced", "2 in bar 1: a sixteenth too soon, it is on e of 2 in bar 1"}},
		{"one too late", "x.x. .x.. x ...x", 6, false, []string{"4 of 5 strokes in place; 1 misplaced", "a of 4 in bar 1: a sixteenth too late, it is on & of 4 in bar 1"}},
		{"too far to be the same", "x.x. .x.. .. xx", 6, false, []string{"4 of 5 strokes in place; 1 missing, 1 too many", "missing: 3 in bar 1", "too many: 4 in bar 1"}},
		{"in thirds", "xx. .x.. x ..x.", 6, false, []string{"4 of 5 strokes in place; 1 misplaced", "2nd of 3 in 1 in bar 1: a triplet sixteenth too soon, it is on & of 1 in bar 1"}},
		{"how it is played is asked", "x.x. .x.. x ..x.", kindsFrom, false, []string{"5 of 5 strokes in place; 1 played otherwise", "3 in bar 1: accent, not hit"}},
		{"and answered", "x.x. .x.. X ..x.", kindsFrom, true, []string{"right"}},
	} {
		var trial Trial
		for seed := uint64(0); trial.Task.Name == "" || trial.Asks[0].Voices[0] != passage.Kick; seed++ {
			trial = made(t, write(), c.d, seed, "120", "4/4", kick)
		}
		written := read(t, "120", "4/4", "kick | "+c.written+" |").Lines[0]
		r, err := trial.Mark(Answer{Line: written})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		var says []string
		for _, p := range r.Parts {
			says = append(says, p.Says)
		}
		if r.Right != c.right || !slices.Equal(says, c.says) || r.Parts[0].Was == "" {
			t.Errorf("%s: right %v, %q; want %v, %q", c.name, r.Right, says, c.right, c.says)
		}
	}
}

func TestWritingThatIsNone(t *testing.T) {
	trial := made(t, write(), 4, 1, "120", "4/4", "kick | x.x. .x.. X ..x. |")
	for name, line := range map[string]passage.Line{
		"nothing":        {},
		"another voice":  {Voice: passage.Snare, Strokes: []passage.Stroke{{Length: meter.Int(1), Kind: passage.Hit}}},
		"no strokes":     {Voice: passage.Kick},
		"a choke only":   {Voice: passage.Kick, Strokes: []passage.Stroke{{Length: meter.Int(1), Kind: passage.Choke}}},
		"behind the end": {Voice: passage.Kick, Strokes: []passage.Stroke{{At: meter.Int(4), Length: meter.Int(1), Kind: passage.Hit}}},
	} {
		if r, err := trial.Mark(Answer{Line: line}); err == nil || !strings.Contains(err.Error(), "; ") {
			t.Errorf("%s is marked %+v, %v", name, r.Parts, err)
		}
	}
}

// moved returns taps some ms later, each by noise of some ms more.
func movedTaps(taps []grade.Tap, ms, noise float64, rng *rand.Rand) []grade.Tap {
	out := slices.Clone(taps)
	for i := range out {
		out[i].Seconds += (ms + noise*rng.NormFloat64()) / 1000
	}
	return out
}

// Taps of a phrase of ten sixteenths, eighths and quarters.
func TestTappingBackIsMarked(t *testing.T) {
	trial := made(t, tap(), 16, 1, "100", "4/4", "kick | x.xx .x.x x... x.xx |")
	right := trial.Right().Taps
	if len(right) != 9 || trial.Asks[0].Under == nil || !slices.Equal(trial.Asks[0].Under.Mute, []passage.Voice{passage.Kick}) || trial.Asks[0].Under.CountIn != 1 {
		t.Fatalf("%d strokes, under %+v", len(right), trial.Asks[0].Under)
	}
	rng := rand.New(rand.NewPCG(1, 1))
	fast := slices.Clone(right)
	for i := range fast {
		fast[i].Seconds /= 2
	}
	named := slices.Clone(right)
	for i := range named {
		named[i].Voice = passage.Snare // which key it was does not matter
	}
	for _, c := range []struct {
		name    string
		taps    []grade.Tap
		latency float64
		right   bool
		says    string
	}{
		{"as it is", right, 0, true, "9 of 9 strokes"},
		{"on any key", named, 0, true, "9 of 9 strokes"},
		{"30 ms late", movedTaps(right, 30, 0, rng), 0, true, "30 ms late on the whole, delay included"},
		{"a delay of 150 ms, measured", movedTaps(right, 150, 0, rng), 150, true, "on time on the whole"},
		{"half a sixteenth late throughout", movedTaps(right, 75, 0, rng), 0, true, "75 ms late on the whole"},
		{"a sixteenth late throughout", movedTaps(right, 150, 0, rng), 0, false, "left out"},
		{"12 ms apart", movedTaps(right, 0, 12, rng), 0, true, "9 of 9 strokes"},
		{"one left out", slices.Delete(slices.Clone(right), 3, 4), 0, false, "8 of 9 strokes; 1 left out: e of 2 in bar 1"},
		{"one too many", append(slices.Clone(right), grade.Tap{Seconds: right[5].Seconds + .3}), 0, false, "9 of 9 strokes; 1 too many: near "},
		{"two after the end", append(slices.Clone(right), grade.Tap{Seconds: right[8].Seconds + 4}, grade.Tap{Seconds: right[8].Seconds + 4.4}), 0, false, "2 too many: two near "},
		{"twice as fast", fast, 0, false, "left out"},
		{"one tap", right[:1], 0, false, "1 of 9 strokes"},
	} {
		r, err := trial.Mark(Answer{Taps: c.taps, LatencyMS: c.latency})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if r.Right != c.right || !strings.Contains(r.Parts[0].Says, c.says) {
			t.Errorf("%s: right %v, %q; want %v, %q", c.name, r.Right, r.Parts[0].Says, c.right, c.says)
		}
	}
	for name, a := range map[string]Answer{
		"nothing": {}, "no number": {Taps: []grade.Tap{{Seconds: math.NaN()}}}, "no end": {Taps: []grade.Tap{{Seconds: math.Inf(1)}}},
		"no latency": {Taps: right, LatencyMS: math.NaN()},
	} {
		if _, err := trial.Mark(a); err == nil || !strings.Contains(err.Error(), "; ") {
			t.Errorf("%s is marked: %v", name, err)
		}
	}
}

// The beat under a china that strikes between.
func TestFindingTheBeatIsMarked(t *testing.T) {
	const band = "china | .x .x .x .x | .x .x .x .x | / snare | . . X . | . . X . | / kick | x . . .x | x .x . . |"
	trial := made(t, beat(), 8, 2, "120", "4/4", band)
	p := trial.truth.pulse
	all := beatTimes(trial.Sounds[0].Passage, 1)
	taps := func(each, off float64, from int) []float64 {
		var ms []float64
		for x := all[from]; x < all[len(all)-1]+250; x += each {
			ms = append(ms, x+off)
		}
		return ms
	}
	for _, c := range []struct {
		name  string
		taps  []float64
		right bool
		says  string
	}{
		{"on the beat", taps(500, 0, 0), true, "right: 8 of 8 taps on the beat, on time"},
		{"only once it counts", taps(500, -20, p.from), true, "right: 8 of 8 taps on the beat, 20 ms early"},
		{"every second beat", taps(1000, 0, p.from), true, "right: 4 of 4 taps on the beat"},
		{"first on the china", append(taps(500, 250, 0)[:p.from-2], taps(500, 0, p.from)...), true, "right"},
		{"on the china", taps(500, 250, 0), false, "8 of 8 taps on the china, which is half a beat after the beat"},
		{"found too late", append(taps(500, 250, 0)[:p.from+5], taps(500, 0, p.from+6)...), false, "6 of 8 taps on the china"},
		{"beat and china", taps(250, 0, 0), false, "16 taps on the last 8 beats, too many to be the beat; tap the beat alone"},
		{"between the two", taps(500, 125, 0), false, "of 8 taps on the "},
		{"stopped", taps(500, 0, 0)[:p.from+1], false, "1 taps on the last 8 beats that count; tap on until the sound ends"},
	} {
		r, err := trial.Mark(Answer{Taps: tappedAt(c.taps)})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if r.Right != c.right || !strings.Contains(r.Parts[0].Says, c.says) {
			t.Errorf("%s: right %v, %q; want %v, %q", c.name, r.Right, r.Parts[0].Says, c.right, c.says)
		}
	}
}

// The beat can be known from what is heard, and from nothing but that: the
// cymbal strikes nowhere on it, the others more often there than elsewhere, and
// neither the start of the sound nor a click tells.
func TestTheBeatIsNotGivenAway(t *testing.T) {
	made, beside := 0, 0
	for i, s := range sources() {
		trial, err := beat().Trial(s, 8, uint64(i))
		if err != nil {
			continue
		}
		made++
		sound := trial.Sounds[0]
		if sound.Click != ClickNone || sound.CountIn != 0 || sound.Passes != 1 {
			t.Errorf("%s %q: %+v", s.Climb, s.Title, sound)
		}
		at := map[meter.Rat]int{}
		first := sound.Passage.Length()
		for _, l := range sound.Passage.Lines {
			for _, place := range onsetsOf(l) {
				into := sound.Passage.Place(place).Into
				switch {
				case l.Voice == trial.truth.lure.voice && into.Sign() == 0: // no line is of no voice
					t.Errorf("%s %q: the %s is on the beat", s.Climb, s.Title, l.Voice)
				case l.Voice.Family() != passage.Cymbals && asked(l.Voice):
					at[into]++
				}
				if place.Less(first) {
					first = place
				}
			}
		}
		if sound.Passage.Place(first).Into.Sign() > 0 {
			beside++
		}
		for into, n := range at {
			if n > 2*at[meter.Rat{}] {
				t.Errorf("%s %q: %d strokes at %s, %d on the beat", s.Climb, s.Title, n, into, at[meter.Rat{}])
			}
		}
	}
	if made < 85 || beside < made {
		t.Errorf("%d trials, %d begin beside the beat", made, beside)
	}
}

// Two bars heard, four silent, at 120: the sound comes back after 12 s.
func TestKeepingTimeIsMarked(t *testing.T) {
	var trial Trial
	for seed := uint64(0); len(trial.Sounds) == 0 || trial.Sounds[0].Silence.Heard != 2; seed++ {
		trial = made(t, silence(), 4, seed, "120", "4/4", "kick | x . x . | x . x . | / snare | . x . x | . x . x |")
	}
	if s := trial.Sounds[0]; s.Silence.Silent != 4 || s.Passes != 4 || trial.truth.pulse.beats[trial.truth.pulse.to] != 12_000 {
		t.Fatalf("%+v, back at %g", s.Silence, trial.truth.pulse.beats[trial.truth.pulse.to])
	}
	// every returns taps from the start on, each so many ms after the other.
	every := func(ms, from float64, until float64) []float64 {
		var all []float64
		for x := from; x < until; x += ms {
			all = append(all, x)
		}
		return all
	}
	drift := func(ms float64) []float64 { // with the music, then with a beat of other length
		return append(every(500, 0, 3900), every(ms, 4000, 16_000)...)
	}
	for _, c := range []struct {
		name        string
		taps        []float64
		right, near bool
		off         float64 // beats
		says        string
	}{
		{"with it", every(500, 0, 16_000), true, false, 0, "on time where the sound comes back"},
		{"always 60 ms late", every(500, 60, 16_000), true, false, 0, "on time where the sound comes back"},
		{"counted in", every(500, -2000, 16_000), true, false, 0, "on time where the sound comes back"},
		{"eighths", every(250, 0, 16_000), true, false, 0, "on time where the sound comes back"},
		{"every second beat", every(1000, 0, 16_000), true, false, 0, "on time where the sound comes back"},
		{"3 ms a beat late", drift(503), true, false, .096, "48 ms late where the sound comes back"},
		{"3 ms a beat early", drift(497), true, false, -.096, "48 ms early where the sound comes back"},
		{"5 ms a beat late", drift(505), false, true, .16, "80 ms late where the sound comes back"},
		{"a beat lost over time", drift(530), false, false, .96, "1 beat too late, 480 ms late where the sound comes back"},
		{"a beat too fast over time", drift(465), false, false, -1.12, "1 beat too soon, 560 ms early where the sound comes back"},
		{"silent in the silence", append(every(500, 0, 4000), every(500, 12_100, 16_000)...), false, false, 0, "no tap before the sound came back; tap through the silence until then"},
		{"taps that bounce", append(every(500, 0, 16_000), every(500, 60, 16_000)...), true, false, 0, "on time where the sound comes back"},
		{"one tap left out", slices.Delete(every(500, 0, 16_000), 13, 14), true, false, 0, "on time where the sound comes back"},
	} {
		slices.Sort(c.taps)
		r, err := trial.Mark(Answer{Taps: tappedAt(c.taps)})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		p := r.Parts[0]
		if r.Right != c.right || p.Near != c.near || math.Abs(p.Off-c.off) > .005 || p.Says != c.says {
			t.Errorf("%s: %+v, want right %v, near %v, %g off, %q", c.name, p, c.right, c.near, c.off, c.says)
		}
	}
}

// The silence is what was asked for, and something comes back after it.
func TestTheSoundComesBack(t *testing.T) {
	for i, s := range some(2) {
		for _, d := range difficulties(silentBars) {
			trial, err := silence().Trial(s, d, uint64(i))
			if err != nil {
				continue
			}
			sound := trial.Sounds[0]
			bars := sound.Passes * len(sound.Passage.Bars)
			once := sound.Silence.Heard + sound.Silence.Silent
			if sound.Silence.Silent != int(math.Round(d)) || bars <= once || bars > once+sound.Silence.Heard {
				t.Errorf("%s %q at %g: %+v in %d bars", s.Climb, s.Title, d, sound.Silence, bars)
			}
		}
	}
}

// answeredWrong returns an answer to a task of doing that is wrong.
func answeredWrong(t Trial) Answer {
	a := t.Right()
	switch t.Task.Name {
	case "write":
		a.Line.Strokes = a.Line.Strokes[1:]
	case "tap":
		a.Taps = a.Taps[:len(a.Taps)/2]
	case "beat":
		one := t.truth.pulse.beats[1] - t.truth.pulse.beats[0]
		if !t.truth.lure.voice.Valid() {
			one /= 2
		} else {
			one *= t.truth.lure.share.Float()
		}
		a.Taps = movedTaps(a.Taps, one, 0, rand.New(rand.NewPCG(1, 1)))
	case "silence":
		a.Taps = slices.Clone(a.Taps)
		for i := range a.Taps { // 5 % too fast
			a.Taps[i].Seconds *= .95
		}
	}
	return a
}

// Tappers whose timing is known, who follow the staircase: the threshold found
// is the one that their timing makes. In the silence each beat they make is
// off by some share of it, independently (a timekeeper as of Wing and
// Kristofferson 1973, Percept. Psychophys. 14 5-12), so after n beats they are
// off by its root times n; under the music it takes them some beats to find
// the beat.
func TestThresholdsOfTappers(t *testing.T) {
	if testing.Short() {
		t.Skip("hundreds of trials: run without -short")
	}
	const runs, trials = 12, 80
	sources := []Source{
		{"made", "A", read(t, "120", "4/4", "china | x x x x | x x x x | / snare | . . X . | . . X . | / kick | x . . .x | x .x . . |")},
		{"made", "B", read(t, "120", "4/4", "china | x x x x | x x x x | / snare | . . X . | . . X . | / kick | x. .x . .x | x .x . . |")},
	}
	rng := rand.New(rand.NewPCG(3, 9))
	keep := func(spread float64) func(Trial) Answer {
		return func(t Trial) Answer {
			var a Answer
			one, off := t.truth.pulse.beats[1]-t.truth.pulse.beats[0], 0.0
			for i, ms := range t.truth.pulse.beats {
				if i >= t.truth.pulse.from {
					off += spread * one * rng.NormFloat64()
				}
				if i > t.truth.pulse.to {
					off = 0 // back with the music
				}
				a.Taps = append(a.Taps, grade.Tap{Seconds: (ms + off) / 1000})
			}
			return a
		}
	}
	find := func(beats, width float64) func(Trial) Answer {
		return func(t Trial) Answer {
			p, u := t.truth.pulse, rng.Float64()
			found := beats * math.Exp(width*math.Log(u/(1-u)))
			var a Answer
			from := p.from - int(t.Made)
			for i := from; i < len(p.beats); i++ {
				ms := p.beats[i] + 15*rng.NormFloat64()
				if float64(i-from) < found {
					ms += (p.beats[1] - p.beats[0]) * t.truth.lure.share.Float()
				}
				a.Taps = append(a.Taps, grade.Tap{Seconds: ms / 1000})
			}
			return a
		}
	}
	for _, c := range []struct {
		name    string
		task    Task
		answers func(Trial) Answer
		want    float64 // in the unit of the scale
		within  float64 // octaves
	}{
		// Off by less than an eighth of a beat in 75 of 100 where the spread is
		// .125/1.150 = .1087 beats: after (.1087/spread)² beats, the one on which the
		// sound comes back included. That share falls slowly with the bars, so the
		// threshold is not told sharply.
		{"keeps time within 3 %", silence(), keep(.03), (math.Pow(.1087/.03, 2) - 1) / 4, .3},
		{"keeps time within 2 %", silence(), keep(.02), (math.Pow(.1087/.02, 2) - 1) / 4, .3},
		// Found by 75 of 100 after beats * 3^width; six of the eight beats that count
		// have to be on it, so the first two are given.
		{"finds it in 6 beats", beat(), find(6, .2), 6*math.Pow(3, .2) - 2, .3},
		{"finds it in 14 beats", beat(), find(14, .2), 14*math.Pow(3, .2) - 2, .3},
	} {
		mean, n := 0.0, 0.0
		for run := range uint64(runs) {
			var all []Tried
			var last Trial
			for i := range uint64(trials) {
				trial, err := Next(c.task, sources, c.task.Scale.Of(c.task.After(all).Level), 1000*run+i, last)
				if err != nil {
					t.Fatal(err)
				}
				r, err := trial.Mark(c.answers(trial))
				if err != nil {
					t.Fatal(err)
				}
				all, last = append(all, trial.Tried(r)), trial
			}
			if e := Threshold(c.task, all); e.OK {
				mean, n = mean+math.Log2(e.D/c.want), n+1
			}
		}
		t.Logf("%s: %.2f %s want, off by %+.2f octaves on the average of %g", c.name, c.want, c.task.Scale.Unit, mean/n, n)
		if n < runs*.9 || math.Abs(mean/n) > c.within {
			t.Errorf("%s: off by %+.2f octaves on the average of %g of %d", c.name, mean/n, n, runs)
		}
	}
}

// Any answer is marked the same twice, or refused with what to do; and the
// right one stays right.
func FuzzMark(f *testing.F) {
	trials := map[[2]byte]Trial{}
	for i, task := range Tasks() {
		for seed := range 3 {
			trial, err := Next(task, sources()[:20], difficulties(task.Scale)[seed*2], uint64(seed), Trial{})
			if err != nil {
				f.Fatal(err)
			}
			trials[[2]byte{byte(i), byte(seed)}] = trial
			for _, a := range []Answer{trial.Right(), wrong(trial)} {
				text, err := a.MarshalJSON()
				if err != nil {
					f.Fatal(err)
				}
				f.Add(byte(i), byte(seed), text)
			}
		}
	}
	f.Fuzz(func(t *testing.T, task, seed byte, text []byte) {
		a, err := ReadAnswer(text)
		if err != nil {
			return
		}
		trial := trials[[2]byte{task % byte(len(Tasks())), seed % 3}]
		r, err := trial.Mark(a)
		if err != nil {
			if !strings.Contains(err.Error(), "; ") {
				t.Fatalf("%s is refused without what to do: %v", text, err)
			}
			return
		}
		if again, err := trial.Mark(a); err != nil || fmt.Sprint(again.Parts) != fmt.Sprint(r.Parts) {
			t.Fatalf("%s is marked %+v, then %+v, %v", text, r.Parts, again.Parts, err)
		}
		if len(r.Parts) < len(trial.Asks) || r.Said == "" || len(r.Slow) != len(trial.Sounds) {
			t.Fatalf("%s is marked %+v", text, r)
		}
		if r, err := trial.Mark(trial.Right()); err != nil || !r.Right {
			t.Fatalf("the right answer is marked %+v, %v", r, err)
		}
	})
}
