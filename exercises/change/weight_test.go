package change

import (
	"strings"
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

func TestWeight(t *testing.T) {
	for _, e := range []effect{
		{"4/4", "guitar | x.xx o(3) x x |", "accent guitar at 1.1 1.1+3/16 1.2", "guitar | X.xX X(3) x x |", "The guitar strokes on beats 1 and 2 and a sixteenth before beat 2 of bar 1 become accents."},
		{"4/4", "kick | x x x x | / snare | x . x . |", "accent kick snare at 1.3", "kick | x x X x | / snare | x . X . |", "The kick and snare strokes on beat 3 of bar 1 become accents."},
		{"4/4", "snare | . . X.xx xx |", "ghost snare at 1.3+1/8 1.4", "snare | . . X.gg gg |", "The snare plays ghost notes in the second half of beat 3 of bar 1 and on beat 4 of bar 1."},
		{"6/8", "snare | .xx Xxx |", "ghost snare at 1.1", "snare | .gg Xxx |", "The snare plays ghost notes on beat 1 of bar 1."},
		{"4/4", "snare | . . X . |", "flam snare at 1.3", "snare | . . f . |", "The snare stroke on beat 3 of bar 1 becomes a flam."},
		{"4/4", "snare | . x . x | . x . x |", "drag snare at 1.4 2.4", "snare | . x . d | . x . d |", "The snare strokes on beat 4 of bars 1 and 2 become drags."},
		{"4/4", "guitar | x.x. xxx o(3)- x |", "bend guitar at 1.3 by 2", "guitar | x.x. xxx b(3)- x |", "The guitar bends up by two semitones on beat 3 of bar 1."},
		{"4/4", "guitar | x.x. xxx b(8+2) x |", "bend guitar at 1.3 1.4 by 1", "guitar | x.x. xxx b(8+1) b(+1) |", "The guitar bends up by one semitone on beats 3 and 4 of bar 1."},
		{"4/4", "guitar | x x x(5) - |", "noise guitar at 1.3 as harmonic", "guitar | x x h(5) - |", "The guitar stroke on beat 3 of bar 1 becomes a harmonic."},
		{"4/4", "guitar | x x x(5) - |", "noise guitar at 1.3 as scrape-down", "guitar | x x S(5) - |", "The guitar stroke on beat 3 of bar 1 becomes a pick scrape down the string."},
		{"4/4", "guitar | o--- x.x. o(3)- x |", "chord guitar at 1.1 1.3", "guitar | c--- x.x. c(3)- x |", "The guitar strokes on beats 1 and 3 of bar 1 become power chords."},
		{"7/8 (2+2+3)", "guitar | x x x-- | / bass | x x x.. |", "noise guitar bass at 1.3 as scrape", "guitar | x x s-- | / bass | x x s.. |", "The guitar and bass strokes on beat 3 of bar 1 become pick scrapes."},

		// A ring takes the place of the strokes under it, over beats and bar lines.
		{"4/4", "guitar | x.xx x.x. x x |", "ring guitar at 1.2 for 1/4", "guitar | x.xx o--- x x |", "On beat 2 of bar 1 the guitar rings for a quarter."},
		{"4/4", "guitar | x x x xxx | x x x x |", "ring guitar at 1.4+1/12 for 1/4.", "guitar | x x x xo- | -----. x x x |", "A triplet eighth after beat 4 of bar 1 the guitar rings for a dotted quarter."},
		{"4/4", "guitar | b(8+2) - - x | / bass | x x x x |", "ring guitar bass at 1.1 for 1/2", "guitar | o(8) - . x | / bass | o - x x |", "On beat 1 of bar 1 the guitar and bass ring for a half note."},
		{"4/4", "guitar | x x x x |", "ring guitar at 1.4 for 1/4", "guitar | x x x o |", "On beat 4 of bar 1 the guitar rings for a quarter."},
		// The hat closes where the ring ends, unless it is struck or the passage ends there.
		{"4/4", "hat | xx xx xx xx |", "ring hat at 1.2+1/8 for 1/4", "hat | xx xo .x xx |", "An eighth after beat 2 of bar 1 the hat rings for a quarter."},
		{"4/4", "hat | xx xx xx xx |", "ring hat at 1.2+1/8 for 1/8", "hat | xx xo xx xx |", "An eighth after beat 2 of bar 1 the hat rings for an eighth."},
		{"4/4", "hat | x x x x |", "ring hat at 1.2 for 1/8", "hat | x o! x x |", "On beat 2 of bar 1 the hat rings for an eighth."},
		{"4/4", "hat | x x x x |", "ring hat at 1.4 for 1/4", "hat | x x x o |", "On beat 4 of bar 1 the hat rings for a quarter."},

		// A choke ends what rings: a cymbal, a held string, the sub.
		{"4/4", "china | x . x . |", "choke china at 1.4", "china | x . x ! |", "The china is choked on beat 4 of bar 1."},
		{"4/4", "china | x . . . | . . . . |", "choke china at 1.4+1/8", "china | x . . .! | . . . . |", "The china is choked an eighth after beat 4 of bar 1."},
		{"4/4", "guitar | o - - - | x . . . |", "choke guitar at 1.3+1/16", "guitar | o - -!.. . | x . . . |", "The guitar is choked a sixteenth after beat 3 of bar 1."},
		{"4/4", "sub | o - - - |", "choke sub at 1.3", "sub | o - ! . |", "The sub is choked on beat 3 of bar 1."},
		{"4/4", "hat | x o . x |", "choke hat at 1.3", "hat | x o ! x |", "The hat is choked on beat 3 of bar 1."},
		{"6/8", "crash-left | X . | . . |", "choke crash-left at 2.1", "crash-left | X . | ! . |", "The left crash is choked on beat 1 of bar 2."},
	} {
		e.check(t)
	}
}

func TestWeightRefuses(t *testing.T) {
	refusals(t, []effect{
		{"4/4", "kick | x x . x |", "accent kick at 1.2 1.3", "", "the kick has no stroke at 1.3; name a place where it strikes"},
		{"4/4", "kick | X x . x |", "accent kick at 1.1", "", "nothing would change; choose another, or another place"},
		{"4/4", "kick | X x . x | / snare | . . X . |", "accent kick snare at 1.1", "", "the snare has no stroke at 1.1; name a place where it strikes"},
		{"4/4", "kick | X x . x |", "accent snare at 1.1", "", "the passage has no snare; name one of kick"},
		{"4/4", "china | x ! . x |", "accent china at 1.2", "", "the china has no stroke at 1.2; name a place where it strikes"},
		{"4/4", "china | x . . x |", "flam china at 1.1", "", "the china cannot play flam strokes; name snare, kick, tom-high, tom-mid or tom-floor"},
		{"4/4", "kick | x x . x |", "bend kick at 1.1 by 2", "", "the kick cannot play bend strokes; name guitar, bass or lead"},
		{"4/4", "kick | x x . x |", "ghost kick at 1.3", "", "the kick has no strokes on beat 3 of bar 1; name another voice or place"},
		{"4/4", "sub | o - . . |", "ghost sub", "", "the sub cannot play ghost strokes; name china, crash-left, crash-right, ride, hat, snare, kick, tom-high, tom-mid, tom-floor, guitar, bass, lead or click"},
		{"4/4", "bass | x x x x |", "chord bass at 1.2", "", "the bass cannot play chord strokes; name guitar"},
		{"4/4", "guitar | x x x x |", "ring guitar at 1.4 for 1/2", "", "the passage ends a quarter after 1.4; write at most 1/4"},
		{"4/4", "guitar | x x x x |", "ring guitar at 1.1 1.2 for 1/2", "", "the guitar has no stroke at 1.2; name a place where it strikes"},
		{"4/4", "guitar | o - - x |", "ring guitar at 1.1 for 1/2.", "", "nothing would change; choose another, or another place"},
		{"4/4", "snare | x . . . |", "ring snare at 1.1 for 1/4", "", "the snare cannot play open strokes; name hat, guitar, bass, lead or sub"},
		{"4/4", "china | x x x x |", "choke china at 1.2", "", "the china has a stroke at 1.2; name a place between two strokes"},
		{"4/4", "china | . x x x |", "choke china at 1.1", "", "the china does not ring at 1.1; name a place where it rings"},
		{"4/4", "china | x ! . . |", "choke china at 1.3", "", "the china does not ring at 1.3; name a place where it rings"},
		{"4/4", "china | x . . . | . . . . |", "choke china at 2.2", "", "the china does not ring at 2.2; name a place where it rings"},
		{"4/4", "hat | x . x x |", "choke hat at 1.2", "", "the hat does not ring at 1.2; name a place where it rings"},
		{"4/4", "guitar | x - . . |", "choke guitar at 1.1+1/8", "", "the guitar does not ring at 1.1+1/8; name a place where it rings"},
		{"4/4", "guitar | o - . . |", "choke guitar at 1.3", "", "the guitar does not ring at 1.3; name a place where it rings"},
		{"4/4", "kick | x . . . |", "choke kick at 1.2", "", "the kick cannot play choke strokes; name china, crash-left, crash-right, ride, hat, guitar, bass, lead or sub"},
	})
}

func TestWeightUndone(t *testing.T) {
	for _, u := range []undoing{
		{"4/4", "snare | . g.. . f |", "accent snare at 1.2", "ghost snare at 1.2"},
		{"4/4", "snare | . gxx . f |", "accent snare at 1.2", ""},
		{"4/4", "snare | . g . f |", "accent snare at 1.4", "flam snare at 1.4"},
		{"4/4", "snare | . d . X |", "flam snare at 1.2", "drag snare at 1.2"},
		{"4/4", "snare | . x . X |", "drag snare at 1.4", "accent snare at 1.4"},
		{"4/4", "guitar | b(8+2) - x h |", "bend guitar at 1.1 by 1", "bend guitar at 1.1 by 2"},
		{"4/4", "guitar | b(8+2) - x h |", "bend guitar at 1.4 by 1", "noise guitar at 1.4 as harmonic"},
		{"4/4", "guitar | b(8+2) - x o |", "noise guitar at 1.4 as scrape", "ring guitar at 1.4 for 1/4"},
		{"4/4", "guitar | b(8+2) - x x |", "accent guitar at 1.4", ""},
		{"4/4", "guitar | c - S x |", "ring guitar at 1.1 for 1/2", "chord guitar at 1.1"},
		{"4/4", "guitar | c - S x |", "accent guitar at 1.3", "noise guitar at 1.3 as scrape-down"},
		{"4/4", "snare | . X . X |", "ghost snare", "accent snare at 1.2 1.4"},
		{"4/4", "snare | . X . x |", "ghost snare", ""},
		{"4/4", "guitar | X . h x |", "ring guitar at 1.3 for 1/4", "noise guitar at 1.3 as harmonic"},
		{"4/4", "guitar | o . h x |", "ring guitar at 1.1 for 1/2", "ring guitar at 1.1 for 1/4"},
		{"4/4", "guitar | o . h x |", "ring guitar at 1.3 for 1/2", ""},
		{"4/4", "china | x . x . |", "choke china at 1.4", "drop china at 1.4"},
		{"4/4", "guitar | o - - - |", "choke guitar at 1.4", ""},
	} {
		u.check(t)
	}
}

// A cymbal is taken to ring for a bar, a string as long as it is written.
func TestRingsAt(t *testing.T) {
	for _, c := range []struct {
		line string
		at   meter.Rat
		want bool
	}{
		{"china | x . . . | . . . . |", meter.Int(4), true},
		{"china | x . . . | . . . . |", meter.R(17, 4), false},
		{"china | . x . . | . . . . |", meter.Int(1), false},
		{"china | x ! . . | . . . . |", meter.Int(2), false},
		{"hat | x . . . |", meter.Int(1), false},
		{"hat | o . . . |", meter.Int(1), true},
		{"guitar | o - . . |", meter.R(7, 4), true},
		{"guitar | o - . . |", meter.Int(2), false},
		{"guitar | x - . . |", meter.Int(1), false},
		{"sub | x - . . |", meter.Int(1), true},
		{"tom-floor | x . . . |", meter.R(1, 4), false},
	} {
		p := read(t, "4/4", c.line)
		if got := ringsAt(p, p.Lines[0], c.at); got != c.want {
			t.Errorf("%s rings at %s: %v, want %v", c.line, c.at, got, c.want)
		}
	}
}

// What every kind of stroke can become, for every voice: exactly where the
// voice plays it, and one that does is named in the refusal of another.
func TestWeighingGoesByTheVoices(t *testing.T) {
	changes := map[passage.Kind]string{
		passage.Accent: "accent %s at 1.1", passage.Ghost: "ghost %s at 1.1", passage.Flam: "flam %s at 1.1", passage.Drag: "drag %s at 1.1",
		passage.Bend: "bend %s at 1.1 by 2", passage.Scrape: "noise %s at 1.1 as scrape", passage.Harmonic: "noise %s at 1.1 as harmonic",
		passage.Open: "ring %s at 1.1 for 1/4", passage.Chord: "chord %s at 1.1", passage.ScrapeDown: "noise %s at 1.1 as scrape-down",
	}
	for k, form := range changes {
		for _, v := range passage.Voices() {
			weighs(t, k, form, v)
		}
	}
}

func weighs(t *testing.T, k passage.Kind, form string, v passage.Voice) {
	t.Helper()
	c, err := Parse(strings.Replace(form, "%s", v.String(), 1))
	if err != nil {
		t.Fatal(err)
	}
	after, err := c.Apply(read(t, "4/4", v.String()+" | x - x x |"))
	if (err == nil) != v.Plays(k) {
		t.Errorf("%s: %v, and %s plays %s: %v", c, err, v, k, v.Plays(k))
	}
	if err == nil && after.Lines[0].Strokes[0].Kind != k {
		t.Errorf("%s gives %s", c, after.Lines[0].Strokes[0].Kind)
	}
}

// Four limbs hold for players; programmed drums do what is written.
func TestFourLimbsAndTheMachine(t *testing.T) {
	c, err := Parse("flam snare at 1.3")
	if err != nil {
		t.Fatal(err)
	}
	p := read(t, "4/4", "china | x x x x | / snare | . . X . |")
	if _, err := c.Apply(p); err == nil || !strings.Contains(err.Error(), "three hands") {
		t.Errorf("a flam under the china: %v, want it refused for three hands", err)
	}
	p.Machine = true
	if _, err := c.Apply(p); err != nil {
		t.Errorf("a flam under the china by a machine: %v", err)
	}
}
