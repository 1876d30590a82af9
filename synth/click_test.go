package synth

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// clickScript writes the clicks of commands, frame by frame; accents with "!".
func clickScript(commands []Command) string {
	var words []string
	for _, c := range commands {
		if c.Voice.String() != "click" || c.Stop {
			continue
		}
		word := fmt.Sprint(c.Frame)
		if c.Key.Kind.String() == "accent" {
			word += "!"
		}
		words = append(words, word)
	}
	return strings.Join(words, " ")
}

// At 120 BPM and 48 kHz a beat is 24000 frames, an eighth 12000, a triplet
// eighth 8000, a quintuplet sixteenth 4800. 7/8 (2+2+3) has beats of 24000,
// 24000 and 36000; 6/8 counts beats of 36000 at 80 a minute.
func TestClickPlaces(t *testing.T) {
	tests := []struct{ metre, tempo, click, want string }{
		{"4/4", "120", "beats", "0! 24000 48000 72000"},
		{"4/4", "120", "offbeats", "12000 36000 60000 84000"},
		{"4/4", "120", "on 2,4", "24000 72000"},
		{"4/4", "120", "on 1", "0!"},
		{"4/4", "120", "4 of 4", "18000 42000 66000 90000"},
		{"4/4", "120", "2,3 of 3 on 4", "80000 88000"},
		{"4/4", "120", "5 of 5 on 1,3", "19200 67200"},
		{"4/4", "120", "1,7 of 7 on 1", "0! 20571"}, // 6/7 of 24000 is 20571.4
		{"4/4", "120", "on 5", ""},
		{"4/4", "120", "count-in", ""},
		{"5/4", "120", "offbeats", "12000 36000 60000 84000 108000"},
		{"5/4", "120", "on 4", "72000"},
		{"7/8 (2+2+3)", "120", "beats", "0! 24000 48000"},
		{"7/8 (2+2+3)", "120", "offbeats", "12000 36000 60000 72000"},
		{"7/8 (2+2+3)", "120", "3 of 3 on 3", "72000"},
		{"6/8", "80", "offbeats", "12000 24000 48000 60000"},
	}
	for _, test := range tests {
		click, places, err := ParseClick(test.click)
		if err != nil {
			t.Fatal(err)
		}
		plan := Plan{Passage: strip(t, test.metre, test.tempo, "kick:"+silentBar(test.metre)), Passes: 1, Click: click, Places: places}
		if got := clickScript(sequence(t, plan).Next(nil, 1<<40)); got != test.want {
			t.Errorf("%s in %s: %s, want %s", test.click, test.metre, got, test.want)
		}
		plan.CountIn = 1
		s := sequence(t, plan)
		counted := clickScript(s.Next(nil, s.FirstDownbeat()))
		plan.Click, plan.CountIn = ClickBeats, 0
		if want := clickScript(sequence(t, plan).Next(nil, 1<<40)); counted != want {
			t.Errorf("%s in %s: a count-in of %s, want every beat: %s", test.click, test.metre, counted, want)
		}
	}
}

// silentBar is a bar of a metre with one stroke on its first beat.
func silentBar(metre string) string {
	beats := map[string]int{"4/4": 4, "5/4": 5, "7/8 (2+2+3)": 3, "6/8": 2}[metre]
	return "x" + strings.Repeat(" .", beats-1)
}

func TestClickInWords(t *testing.T) {
	for _, text := range []string{"on 2,4", "3 of 4", "1,3 of 3 on 2", "1 of 1", "on 64", "32 of 32"} {
		_, places, err := ParseClick(text)
		if err != nil || places.String() != text {
			t.Errorf("%q is read as %q, %v", text, places.String(), err)
		}
	}
	if _, places, _ := ParseClick("3,1,3 of 4 on 4,2"); places.String() != "1,3 of 4 on 2,4" {
		t.Errorf("put in order: %q", places.String())
	}
	for _, text := range []string{"", "beat", "on", "on 0", "on 65", "on 2,", "5 of 4", "0 of 4", "1 of 33", "1 of 0", "1 of", "1 of 4 on", "1 of 4 in 2", "on 2 4", "-1 of 4", "1 of 4 on 2 x", "+1 of 4"} {
		if _, _, err := ParseClick(text); err == nil {
			t.Errorf("%q was taken", text)
		}
	}
}

func FuzzParseClick(f *testing.F) {
	for _, text := range []string{"beats", "on 2,4", "3 of 4 on 1", "1,3 of 3"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		click, places, err := ParseClick(text)
		if err != nil || click != ClickPlaces {
			return
		}
		again, same, err := ParseClick(places.String())
		if diff := cmp.Diff(places.String(), same.String()); err != nil || again != click || diff != "" {
			t.Fatalf("%q: %v\n%s", text, err, diff)
		}
	})
}

// Bars of 96000 frames at 120 BPM; two are heard and one is silent, through
// passes of two bars: bars 3 and 6 of all that is played are silent.
func TestSilentBars(t *testing.T) {
	plan := Plan{Dry: true, Passage: strip(t, "4/4", "120", "china:x . . .|. . . .", "kick:x . . .|x . . ."), Passes: 3, CountIn: 1, Click: ClickOffbeats, Silence: Silence{2, 1}}
	s := sequence(t, plan)
	var kicks, chokes []string
	clicks := map[int64]int{}
	for _, c := range s.Next(nil, 1<<40) {
		bar := c.Frame/96000 - 1
		switch {
		case c.Stop && c.Voice.String() == "china":
			chokes = append(chokes, fmt.Sprint(c.Frame))
		case c.Voice.String() == "click":
			clicks[bar]++
		case c.Voice.String() == "kick" && !c.Stop:
			kicks = append(kicks, fmt.Sprint(bar+1))
		}
	}
	if got := strings.Join(kicks, " "); got != "1 2 4 5" {
		t.Errorf("kicks in bars %s", got)
	}
	if diff := cmp.Diff(map[int64]int{-1: 4, 0: 4, 1: 4, 3: 4, 4: 4}, clicks); diff != "" {
		t.Errorf("clicks a bar, -want +got\n%s", diff)
	}
	if got := strings.Join(chokes, " "); got != "288000 576000" {
		t.Errorf("the china is choked at %s, want the starts of bars 3 and 6", got)
	}
	for pass, bars := range [][2]bool{{false, false}, {true, false}, {false, true}} {
		for i, want := range bars {
			if got := s.plan.SilentBar(pass, i+1); got != want {
				t.Errorf("pass %d, bar %d: silent %v", pass, i+1, got)
			}
		}
	}
	if s.plan.SilentBar(-1, 1) {
		t.Error("the count-in is silent")
	}
}

func TestSilenceInWords(t *testing.T) {
	for text, want := range map[string]Silence{"none": {}, "2+1": {2, 1}, "16+16": {16, 16}} {
		if got, err := ParseSilence(text); err != nil || got != want || got.String() != text {
			t.Errorf("%q is read as %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "2", "0+1", "1+0", "17+1", "2+", "a+b", "2+1+1", "-1+1"} {
		if got, err := ParseSilence(text); err == nil {
			t.Errorf("%q was taken as %v", text, got)
		}
	}
}

// Silence takes strokes away and moves none: whatever is heard with silent bars
// is heard at the same frame without them, passes take as long, and every sound
// is among the keys.
func TestSilenceMovesNothing(t *testing.T) {
	p := strip(t, "7/8 (2+2+3)", "131", "china:x x !|x . x", "snare:.f . d.x|f . gX", "guitar:x.x o- xb-|h p- s-!")
	rapid.Check(t, func(t *rapid.T) {
		plan := Plan{Passage: p, Passes: 4, Rate: 48000, Click: ClickBeats, Silence: Silence{rapid.IntRange(1, 4).Draw(t, "heard"), rapid.IntRange(1, 4).Draw(t, "silent")}}
		hushed, err := NewSequence(plan)
		if err != nil {
			t.Fatal(err)
		}
		keys := map[Key]bool{}
		for _, k := range hushed.Keys() {
			keys[k] = true
		}
		plan.Silence = Silence{}
		whole, _ := NewSequence(plan)
		type place struct {
			frame int64
			key   Key
		}
		at := map[place]int{}
		for _, c := range whole.Next(nil, 1<<40) {
			if !c.Stop {
				c.Key.Take = 0
				at[place{c.Frame, c.Key}]++
			}
		}
		for _, c := range hushed.Next(nil, 1<<40) {
			if c.Stop {
				continue
			}
			if !keys[c.Key] {
				t.Fatalf("%v is not among the keys", c.Key)
			}
			c.Key.Take = 0
			if at[place{c.Frame, c.Key}]--; at[place{c.Frame, c.Key}] < 0 {
				t.Fatalf("%v at %d, where nothing was", c.Key, c.Frame)
			}
		}
		if a, _ := hushed.PassStart(4); a != whole.frame(whole.nextStart()) {
			t.Fatalf("the end is at %d", a)
		}
	})
}
