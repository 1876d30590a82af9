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

// Drums and cymbals measure like sampled ones: of fourteen features at least
// eleven lie inside the measured range widened by a quarter, and none is
// further outside than the range is wide (features.Targets).
func TestDrumsMeasureLikeSampledOnes(t *testing.T) {
	tests := []struct {
		v    passage.Voice
		k    passage.Kind
		name string
	}{
		{passage.Kick, passage.Hit, "kick"}, {passage.Snare, passage.Hit, "snare"},
		{passage.TomHigh, passage.Hit, "tomhi"}, {passage.TomMid, passage.Hit, "tommid"}, {passage.TomFloor, passage.Hit, "tomfloor"},
		{passage.Hat, passage.Hit, "hatclosed"}, {passage.Hat, passage.Open, "hatopen"}, {passage.Ride, passage.Hit, "ride"},
		{passage.CrashLeft, passage.Hit, "crash"}, {passage.CrashRight, passage.Hit, "crash"}, {passage.China, passage.Hit, "china"},
	}
	for _, test := range tests {
		target, ok := features.TargetNamed(test.name)
		if !ok {
			t.Fatalf("no target %q", test.name)
		}
		for take := range uint8(Takes) {
			key := stroke(test.v, test.k)
			key.Take = take
			inside := 0
			for i, x := range measured(t, key, 1).Values() {
				r := target.Ranges[i]
				switch miss := r.Miss(x); {
				case miss <= .25:
					inside++
				case miss > 1:
					t.Errorf("%v: %s is %.4g, far outside %v", key, features.Names[i], x, r)
				}
			}
			if inside < 11 {
				t.Errorf("%v: %d of 14 features inside", key, inside)
			}
		}
	}
}

// The strongest mode lies where sampled drums have it: kick 25-80 Hz, snare
// 120-240, toms 112-177, 84-133 and 56-100 (measured on the sets of
// features.Targets).
func TestStrongestModes(t *testing.T) {
	for _, test := range []struct {
		v      passage.Voice
		lo, hi float64
	}{
		{passage.Kick, 25, 80}, {passage.Snare, 120, 240},
		{passage.TomHigh, 112, 177}, {passage.TomMid, 84, 133}, {passage.TomFloor, 56, 100},
	} {
		x := features.Float(sound(t, stroke(test.v, passage.Hit), 48000, 1))
		if got := features.Strongest(x, 48000, 20, 2000); got < test.lo || got > test.hi {
			t.Errorf("%s: strongest mode at %.1f Hz, want %g to %g", test.v, got, test.lo, test.hi)
		}
	}
}

// begun returns the first part of a sound.
func begun(key Key, seconds float64) []float64 {
	x := make([]float32, int(seconds*48000))
	n := Begin(key, 48000, 1).Read(x)
	return features.Float(x[:n])
}

// A crash brightens: the centroid of 30-150 ms is above that of 0-30 ms, as
// the energy of a struck plate moves up (Fletcher & Rossing).
func TestCrashesBrighten(t *testing.T) {
	for _, v := range []passage.Voice{passage.CrashLeft, passage.CrashRight} {
		for take := range uint8(Takes) {
			key := stroke(v, passage.Accent)
			key.Take = take
			x := begun(key, .15)
			first, then := features.Centroid(x[:1440], 48000), features.Centroid(x[1440:], 48000)
			if then < first {
				t.Errorf("%v: %.0f Hz, then %.0f Hz", key, first, then)
			}
		}
	}
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
			chug := Key{Voice: passage.Guitar, Kind: passage.Hit, Pitch: pitch, Side: 1, Take: take}
			if s := measured(t, chug, 1); s.T20 < 60 || s.T20 > 120 {
				t.Errorf("%v: t20 %.0f ms", chug, s.T20)
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
