package synth

import (
	"math"
	"testing"

	"stampmill/exercises/passage"
	"stampmill/synth/features"
)

func measured(t testing.TB, key Key, seed uint64) features.Set {
	t.Helper()
	return features.Measure(sound(t, key, 48000, seed), 48000)
}

// begun returns the first part of a sound.
func begun(key Key, seconds float64) []float64 {
	x := make([]float32, int(seconds*48000))
	n := Begin(key, 48000, 1).Read(x)
	return features.Float(x[:n])
}

// Accents are brighter than hits and ghosts duller, whatever their level. Only
// a bass gains as much low as high from a hard pick.
func TestStrengthsDifferInSpectrum(t *testing.T) {
	for _, v := range passage.Voices() {
		if v.Family() == passage.Lows || v == passage.Bass || !v.Plays(passage.Ghost) {
			continue
		}
		var c [3]float64
		for i, k := range []passage.Kind{passage.Ghost, passage.Hit, passage.Accent} {
			for take := range uint8(Takes) { // the mean of the takes
				key := stroke(v, k)
				key.Take = take
				c[i] += features.Centroid(begun(key, .06), 48000) / Takes
			}
		}
		if !(1.05*c[0] < c[1] && 1.005*c[1] < c[2]) { // a hat has few lows to lose
			t.Errorf("%s: centroids of ghost, hit, accent %.0f, %.0f, %.0f Hz", v, c[0], c[1], c[2])
		}
	}
}

// A muted chug is gone by 20 dB after 60 to 120 ms; an open string rings at
// least 2 s above -20 dB (common practice).
func TestChugsAreTightAndStringsRing(t *testing.T) {
	for _, pitch := range []passage.Pitch{29, 33, 40} {
		for take := range uint8(Takes) {
			for _, k := range []passage.Kind{passage.Hit, passage.Accent} {
				chug := Key{Voice: passage.Guitar, Kind: k, Pitch: pitch, Side: 1, Take: take}
				if s := measured(t, chug, 1); s.T20 < 60 || s.T20 > 120 {
					t.Errorf("%v: t20 %.1f ms", chug, s.T20)
				}
			}
		}
		open := Key{Voice: passage.Guitar, Kind: passage.Open, Pitch: pitch, Side: 1, Millis: 4000}
		if s := measured(t, open, 1); s.T20 < 2000 {
			t.Errorf("%v: t20 %.0f ms", open, s.T20)
		}
	}
}

// What the amplifier makes is overtones: between the partials of a steady note
// nothing is above -45 dB of the strongest, so aliases are not heard. The
// first 300 ms, with the noise of the pick, are left out.
func TestAmplifierDoesNotAlias(t *testing.T) {
	for _, test := range []struct {
		v     passage.Voice
		pitch passage.Pitch
	}{{passage.Guitar, 33}, {passage.Guitar, 57}, {passage.Lead, 69}, {passage.Lead, 81}} {
		key := Key{Voice: test.v, Kind: passage.Open, Pitch: test.pitch, Millis: 1000}
		x := features.Float(sound(t, key, 44100, 1))[13230:]
		f := features.Pitch(x, 44100, test.pitch.Hertz())
		strongest, between := features.BetweenPartials(x[:1<<14], 44100, f)
		if db := 10 * math.Log10(between/strongest); db > -45 {
			t.Errorf("%v: %.1f dB between the partials", key, db)
		}
	}
}
