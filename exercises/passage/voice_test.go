package passage_test

import (
	"encoding/json"
	"math"
	"testing"

	"stampmill/exercises/passage"
)

func TestVoicesAndStrokesByName(t *testing.T) {
	for _, v := range passage.Voices() {
		if got, ok := passage.VoiceNamed(v.String()); !ok || got != v {
			t.Errorf("%s is found as %s", v, got)
		}
		if len(v.Kinds()) == 0 || v.Label() == "" || v.StrokesInWords() == "" {
			t.Errorf("%s plays nothing or has no label", v)
		}
		for _, k := range passage.Kinds() {
			listed := false
			for _, own := range v.Kinds() {
				listed = listed || own == k
			}
			if v.Plays(k) != listed {
				t.Errorf("%s plays %s: %v, listed: %v", v, k, v.Plays(k), listed)
			}
		}
	}
	for _, k := range passage.Kinds() {
		if got, ok := passage.KindOf(k.Letter()); !ok || got != k {
			t.Errorf("%s is found as %s", k, got)
		}
	}
	if passage.NoVoice.Plays(passage.Hit) || passage.Kick.Plays(passage.NoKind) || passage.Voice(200).Valid() || passage.Kind(200).Valid() {
		t.Error("what is no voice or stroke plays")
	}
	if _, ok := passage.KindOf('.'); ok {
		t.Error("a rest is a stroke")
	}
}

// Voices and strokes are plain words in JSON.
func TestNamesAsText(t *testing.T) {
	got, err := json.Marshal(map[string]any{"voice": passage.CrashLeft, "stroke": passage.Ghost, "none": passage.NoVoice})
	if want := `{"none":"","stroke":"ghost","voice":"crash-left"}`; err != nil || string(got) != want {
		t.Errorf("%s (%v), want %s", got, err, want)
	}
}

func TestLineOfAVoice(t *testing.T) {
	p := read(t, "4/4", "snare | . x . x |", "kick | x . x . |")
	if l, ok := p.Line(passage.Kick); !ok || l.Strokes[1].At.Num() != 2 {
		t.Errorf("the kick's line is %v, %v", l, ok)
	}
	if _, ok := p.Line(passage.Hat); ok {
		t.Error("there is a hat")
	}
	if v := p.Voices(); len(v) != 2 || v[0] != passage.Snare || v[1] != passage.Kick {
		t.Errorf("voices %v", v)
	}
	if !(passage.Stroke{Kind: passage.Flam}).Sounds() || (passage.Stroke{Kind: passage.Choke}).Sounds() {
		t.Error("a flam sounds, a choke does not")
	}
}

// ISO 16 (1975): A4 is 440 Hz; octaves halve, so A1 is 55 Hz. The others are
// equal temperament, 440 * 2^((n-69)/12).
func TestPitches(t *testing.T) {
	for _, c := range []struct {
		name, canonical string
		key             passage.Pitch
		hertz           float64
	}{
		{"A1", "A1", 33, 55}, {"F1", "F1", 29, 43.654}, {"F#1", "F#1", 30, 46.249}, {"Gb1", "F#1", 30, 46.249},
		{"Bb1", "A#1", 34, 58.270}, {"B1", "B1", 35, 61.735}, {"Cb2", "B1", 35, 61.735}, {"C2", "C2", 36, 65.406}, {"E2", "E2", 40, 82.407},
		{"drop D", "D2", 38, 73.416}, {"drop A", "A1", 33, 55}, {"drop F#", "F#1", 30, 46.249}, {"E standard", "E2", 40, 82.407}, {"Eb standard", "D#2", 39, 77.782}, {"B standard", "B1", 35, 61.735},
	} {
		p, err := passage.ParsePitch(c.name)
		if err != nil || p != c.key || p.String() != c.canonical || math.Abs(p.Hertz()-c.hertz) > 0.0005 {
			t.Errorf("%s is %d, %s, %.3f Hz (%v); want %d, %s, %.3f Hz", c.name, p, p, p.Hertz(), err, c.key, c.canonical, c.hertz)
		}
	}
	if got := passage.Pitch(69).Hertz(); got != 440 {
		t.Errorf("A4 is %g Hz", got)
	}
}

func FuzzParsePitch(f *testing.F) {
	for _, s := range []string{"A1", "F#1", "Bb1", "E2", "F2", "E1", "a1", "H1", "", "#1", " 1", "C-1", "Cb2", "B#1", "A\xff", "♯1", "drop D", "drop E2", "E standard", "drop ", " standard", "drop H", "Fb standard", "drop B#"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p, err := passage.ParsePitch(s)
		if err != nil {
			return
		}
		if p < passage.LowestTuning || p > passage.HighestTuning {
			t.Fatalf("%q is %d, outside the tunings", s, p)
		}
		if again, err := passage.ParsePitch(p.String()); err != nil || again != p {
			t.Fatalf("%q is %s, read again %s (%v)", s, p, again, err)
		}
	})
}
