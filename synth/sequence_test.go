package synth

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// dry is a sequence without the room: a command a stroke.
func dry(t testing.TB, plan Plan) *Sequence {
	plan.Dry = true
	return sequence(t, plan)
}

func sequence(t testing.TB, plan Plan) *Sequence {
	t.Helper()
	if plan.Rate == 0 {
		plan.Rate = 48000
	}
	s, err := NewSequence(plan)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// script writes commands readably: frame, voice, and what happens.
func script(commands []Command) string {
	var b strings.Builder
	for _, c := range commands {
		what := c.Key.Kind.String()
		if c.Stop {
			what = fmt.Sprintf("stop in %d", c.Fade)
		}
		if c.Key.Side != 0 {
			what += fmt.Sprintf(" %+d", c.Key.Side)
		}
		fmt.Fprintf(&b, "%d %s %s\n", c.Frame, c.Voice, what)
	}
	return b.String()
}

func TestCommandsOfOneBar(t *testing.T) {
	// 120 BPM at 48 kHz: a beat is 24000 frames, a triplet eighth 8000.
	tests := []struct{ name, line, want string }{
		{"choke stops what rings", "china:x . . !", "0 china hit\n72000 china stop in 720\n"},
		{"cymbals ring over each other", "crash-left:x . X .", "0 crash-left hit\n48000 crash-left accent\n"},
		{"closed hat stops open hat", "hat:ox . . .", "0 hat open\n12000 hat stop in 720\n12000 hat hit\n"},
		{"triplet", "snare:xxx . . .", "0 snare hit\n8000 snare hit\n16000 snare hit\n"},
		{"flam before the beat, main stroke on it", "snare:. f . .", "22752 snare ghost\n24000 snare hit\n"},
		{"drag has two", "snare:. d . .", "20352 snare ghost\n22176 snare ghost\n24000 snare hit\n"},
		{"flam before the beginning is dropped", "snare:f . . .", "0 snare hit\n"},
		{"grace notes keep to half of a short gap", "tom-mid:x..f . . .",
			"0 tom-mid hit\n16752 tom-mid ghost\n18000 tom-mid hit\n"},
		{"open string stops where it is written to", "bass:o- . . .", "0 bass stop in 288\n0 bass open\n24000 bass stop in 480\n"},
		{"a new stroke stops the string", "bass:xo . . .",
			"0 bass stop in 288\n0 bass hit\n12000 bass stop in 288\n12000 bass open\n24000 bass stop in 480\n"},
		{"guitar is two takes", "guitar:. x . .", "24000 guitar stop in 288\n24000 guitar hit -1\n24000 guitar hit +1\n"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := dry(t, Plan{Passage: strip(t, "4/4", "120", test.line), Passes: 1})
			got := script(s.Next(nil, 1<<40))
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
			if !s.Done() {
				t.Error("not done after all commands")
			}
		})
	}
}

func TestGraceNotesOfFastStrokesStayApart(t *testing.T) {
	// 240 BPM in eight cells a beat: strokes 31.25 ms apart, a flam wants 26.
	s := dry(t, Plan{Passage: strip(t, "4/4", "240", "snare:xf...... . . ."), Passes: 1})
	got := s.Next(nil, 1<<40)
	if len(got) != 3 || got[1].Frame != 1500-750 {
		t.Errorf("grace note not in the middle of the gap of 1500 frames:\n%s", script(got))
	}
}

func TestClick(t *testing.T) {
	p := strip(t, "7/8 (2+2+3)", "120", "kick:x . .")
	// Two-unit beats are counted: 24000, 24000 and 36000 frames.
	countIn := "0 click accent\n24000 click hit\n48000 click hit\n"
	tests := []struct {
		mode Click
		want string
	}{
		{ClickCountIn, countIn + "84000 kick stop in 480\n84000 kick hit\n"},
		{ClickBeats, countIn + "84000 kick stop in 480\n84000 kick hit\n84000 click accent\n108000 click hit\n132000 click hit\n"},
		{ClickNone, "84000 kick stop in 480\n84000 kick hit\n"},
	}
	for _, test := range tests {
		s := dry(t, Plan{Passage: p, CountIn: 1, Passes: 1, Click: test.mode})
		if diff := cmp.Diff(test.want, script(s.Next(nil, 1<<40))); diff != "" {
			t.Errorf("mode %d, -want +got\n%s", test.mode, diff)
		}
		if f := s.FirstDownbeat(); f != 84000 {
			t.Errorf("first downbeat at %d, want 84000", f)
		}
	}
}

// Loops never drift: pass k starts at k times the exact length, rounded once.
// 7/8 at 131 BPM lasts 7/2 * 60/131 s: no whole number of frames.
func TestLoopsDoNotDrift(t *testing.T) {
	s := dry(t, Plan{Passage: strip(t, "7/8 (2+2+3)", "131", "kick:x.x.x .xxxx xxxxxxx")})
	const passes = 5000
	end, _ := s.PassStart(passes)
	var got []Command
	for until := int64(0); until < end; until += 1_000_003 {
		got = s.Next(got, min(until, end))
	}
	got = s.Next(got, end)
	starts := 0
	for _, c := range got {
		if !c.Stop {
			starts++
		}
	}
	if want := passes * 14; starts != want {
		t.Fatalf("%d strokes, want %d", starts, want)
	}
	for _, k := range []int{1, 2, 777, passes - 1} {
		exact := new(big.Rat).Mul(big.NewRat(7*60, 2*131), big.NewRat(int64(k), 1))
		want := meter.RoundSample(exact, 48000)
		if frame, sec := s.PassStart(k); frame != want || sec.Cmp(exact) != 0 {
			t.Errorf("pass %d starts at %d (%s s), want %d (%s s)", k, frame, sec, want, exact)
		}
	}
}

// However Next is called, the same commands come, in order.
func TestSlicesOfTimeDoNotMatter(t *testing.T) {
	p := strip(t, "4/4", "137.5", "china:x x x x|x x ! .", "snare:.f . d.x xxxxx|f . gX d",
		"kick:x.x. .x xxx x|x.x. .x xxx x", "guitar:x.x. o- xb- xxxt|h p- s- !")
	plan := Plan{Passage: p, CountIn: 1, Passes: 3, Click: ClickBeats}
	want := sequence(t, plan).Next(nil, 1<<40)
	for i := 1; i < len(want); i++ {
		if want[i].Frame < want[i-1].Frame {
			t.Fatalf("commands out of order:\n%s", script(want[i-1:i+1]))
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		s := sequence(t, plan)
		var got []Command
		for at := int64(0); !s.Done(); {
			at += rapid.Int64Range(1, 60_000).Draw(rt, "step")
			had := len(got)
			got = s.Next(got, at)
			for _, c := range got[had:] {
				if c.Frame >= at {
					rt.Fatalf("frame %d given before %d", c.Frame, at)
				}
			}
		}
		if diff := cmp.Diff(script(want), script(got)); diff != "" {
			rt.Fatalf("-want +got\n%s", diff)
		}
	})
}

// Commands at another tempo: from the next pass that was not given.
func TestSetTempo(t *testing.T) {
	s := dry(t, Plan{Passage: strip(t, "4/4", "120", "snare:x x x x")})
	got := s.Next(nil, 50000) // within the first pass
	if err := s.SetTempo(meter.Int(60)); err != nil {
		t.Fatal(err)
	}
	got = s.Next(got, 96000+4*48000+1)
	want := "0 snare hit\n24000 snare hit\n48000 snare hit\n72000 snare hit\n" +
		"96000 snare hit\n144000 snare hit\n192000 snare hit\n240000 snare hit\n288000 snare hit\n"
	if diff := cmp.Diff(want, script(got)); diff != "" {
		t.Errorf("-want +got\n%s", diff)
	}
	if err := s.SetTempo(meter.Int(1000)); err == nil {
		t.Error("1000 BPM was taken")
	}
}

func TestSetTempoBeforeTheStartMovesTheCountIn(t *testing.T) {
	s := sequence(t, Plan{Passage: strip(t, "4/4", "120", "snare:x x x x"), CountIn: 1})
	if err := s.SetTempo(meter.Int(240)); err != nil {
		t.Fatal(err)
	}
	if f := s.FirstDownbeat(); f != 48000 {
		t.Errorf("first downbeat at %d, want 48000", f)
	}
}

func TestWhere(t *testing.T) {
	s := sequence(t, Plan{Passage: strip(t, "4/4", "120", "snare:x x x x"), CountIn: 1, Passes: 2})
	tests := []struct {
		frame    int64
		pass     int
		quarters float64
	}{
		{0, -1, -4}, {72000, -1, -1}, {96000, 0, 0}, {96000 + 36000, 0, 1.5},
		{2 * 96000, 1, 0}, {3*96000 - 24000, 1, 3}, {3 * 96000, 2, 0}, {9 * 96000, 2, 0},
	}
	for _, given := range []int64{0, 100_000, 1 << 40} { // however far commands were given
		s.Next(nil, given)
		for _, test := range tests {
			pass, quarters := s.Where(test.frame)
			if pass != test.pass || quarters != test.quarters {
				t.Errorf("given %d: frame %d is in pass %d at %g, want %d at %g", given, test.frame, pass, quarters, test.pass, test.quarters)
			}
		}
	}
}

// Every pass starts where Where says it does, at tempi that round.
func TestWhereAgreesWithPassStart(t *testing.T) {
	s := sequence(t, Plan{Passage: strip(t, "6/8", "97.3", "kick:x x")})
	s.Next(nil, 3_000_000)
	for k := range 200 {
		frame, _ := s.PassStart(k)
		if pass, q := s.Where(frame); pass != k || q > 1e-4 {
			t.Fatalf("start of pass %d (frame %d) is in pass %d at %g", k, frame, pass, q)
		}
		if pass, _ := s.Where(frame - 1); k > 0 && pass != k-1 {
			t.Fatalf("the frame before pass %d is in pass %d", k, pass)
		}
	}
}

// Keys holds every key that is used, and the used ones of the first pass come
// first.
func TestKeys(t *testing.T) {
	s := dry(t, Plan{Passage: strip(t, "4/4", "120", "kick:x x x x", "guitar:x o- b- t-", "china:x . . !"), CountIn: 1, Passes: 20})
	keys := s.Keys()
	place := map[Key]int{}
	for i, k := range keys {
		if _, doubled := place[k]; doubled {
			t.Errorf("%v stands twice", k)
		}
		place[k] = i
	}
	if keys[0].Voice != passage.Click {
		t.Errorf("the first key is %v, want the count-in's click", keys[0])
	}
	takes := map[uint8]int{}
	last := uint8(255)
	for _, c := range s.Next(nil, 1<<40) {
		if c.Stop {
			continue
		}
		if _, ok := place[c.Key]; !ok {
			t.Fatalf("%v is played but not among the keys", c.Key)
		}
		if c.Voice == passage.Kick {
			if c.Key.Take == last {
				t.Fatalf("take %d twice running", last)
			}
			last = c.Key.Take
			takes[last]++
		}
	}
	if len(takes) != Takes {
		t.Errorf("80 kicks use the takes %v, want %d of them", takes, Takes)
	}
}

// FirstKeys come first among the keys. They are the very sounds of the first
// pass, and hold every stroke of the later ones, also of bars that are silent
// at first.
func TestFirstKeys(t *testing.T) {
	p := strip(t, "4/4", "120", "kick:x x x x|. . . .", "guitar:. . . .|x o- b- t-")
	for _, silence := range []Silence{{}, {1, 2}} {
		plan := Plan{Passage: p, CountIn: 1, Passes: 6, Silence: silence}
		s := sequence(t, plan)
		first := s.FirstKeys()
		if len(first) >= len(s.Keys()) || !slices.Equal(first, s.Keys()[:len(first)]) {
			t.Errorf("%d of %d keys, not the first of them", len(first), len(s.Keys()))
		}
		strokes := map[Key]bool{}
		for _, k := range first {
			k.Take = 0
			strokes[k] = true
		}
		end, _ := s.PassStart(1)
		for _, c := range s.Next(nil, 1<<40) {
			if !c.Stop && c.Frame < end && !slices.Contains(first, c.Key) {
				t.Errorf("silence %v: %v of the first pass is not there", silence, c.Key)
			}
			if c.Key.Take = 0; !c.Stop && !strokes[c.Key] {
				t.Errorf("silence %v: no take of %v is there", silence, c.Key)
			}
		}
	}
}

func TestOneRingServesLongAndShortNotes(t *testing.T) {
	s := sequence(t, Plan{Passage: strip(t, "4/4", "120", "bass:oo o-- o- -"), Passes: 1}) // longest 1 s
	for _, k := range s.Keys() {
		if k.Millis != 1000 {
			t.Errorf("%v, want one of 1000 ms", k)
		}
	}
}

func TestPlansAreChecked(t *testing.T) {
	good := strip(t, "4/4", "120", "kick:x x x x")
	low := good
	low.Tuning = 12
	tests := []struct {
		name string
		plan Plan
		want string
	}{
		{"rate", Plan{Passage: good, Rate: 22050}, "use 44100, 48000 or 96000"},
		{"count-in", Plan{Passage: good, Rate: 48000, CountIn: 9}, "use 0 to 8"},
		{"passes", Plan{Passage: good, Rate: 48000, Passes: -1}, "use 1 or more"},
		{"click", Plan{Passage: good, Rate: 48000, Click: 7}, "click mode 7"},
		{"cell", Plan{Passage: good, Rate: 48000, Places: Places{Of: 4, Cells: []int{5}}}, "click on cell 5 of 4"},
		{"silence", Plan{Passage: good, Rate: 48000, Silence: Silence{0, 2}}, "0 bars heard and 2 silent"},
		{"no bars", Plan{Rate: 48000}, "0 bars"},
		{"tuning", Plan{Passage: low, Rate: 48000}, "use F1 to E2"},
	}
	for _, test := range tests {
		if _, err := NewSequence(test.plan); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: error %v, want one with %q", test.name, err, test.want)
		}
	}
}
