package synth

import (
	"stampmill/exercises/passage"
	"stampmill/synth/drums"
	"stampmill/synth/guitar"
)

// struck says which voices are struck; their parameters stand in package drums.
var struck = map[passage.Voice]drums.Struck{
	passage.China:      drums.China,
	passage.CrashLeft:  drums.CrashLeft,
	passage.CrashRight: drums.CrashRight,
	passage.Ride:       drums.Ride,
	passage.Hat:        drums.Hat,
	passage.Snare:      drums.Snare,
	passage.Kick:       drums.Kick,
	passage.TomHigh:    drums.TomHigh,
	passage.TomMid:     drums.TomMid,
	passage.TomFloor:   drums.TomFloor,
}

// thing returns what sounds when a voice is struck in a way: the hat has two
// positions of its pedal, and a rim is not a head.
func thing(v passage.Voice, k passage.Kind) (drums.Struck, bool) {
	switch {
	case v == passage.Hat && k == passage.Open:
		return drums.OpenHat, true
	case v == passage.Snare && k == passage.Rim:
		return drums.Rim, true
	}
	t, ok := struck[v]
	return t, ok
}

// forces are the ways they are struck. Flams and drags are made of these.
var forces = map[passage.Kind]drums.Force{
	passage.Hit:    drums.Plain,
	passage.Accent: drums.Accent,
	passage.Ghost:  drums.Ghost,
	passage.Open:   drums.Plain,
	passage.Rim:    drums.Plain,
}

// plucked says which voices are strings.
var plucked = map[passage.Voice]guitar.Instrument{
	passage.Guitar: guitar.Rhythm,
	passage.Bass:   guitar.Bass,
	passage.Lead:   guitar.Lead,
}

// techniques are the ways they are played.
var techniques = map[passage.Kind]guitar.Technique{
	passage.Hit:        guitar.Muted,
	passage.Accent:     guitar.Slammed,
	passage.Ghost:      guitar.Dead,
	passage.Open:       guitar.Ringing,
	passage.Harmonic:   guitar.Flageolet,
	passage.Scrape:     guitar.Scraping,
	passage.Bend:       guitar.Bent,
	passage.Tremolo:    guitar.Trembled,
	passage.Tapped:     guitar.Tapping,
	passage.Chord:      guitar.Strummed,
	passage.ScrapeDown: guitar.ScrapingOff,
}

// bassTechniques are those that a bass plays otherwise.
var bassTechniques = map[passage.Kind]guitar.Technique{
	passage.Hit:    guitar.Thudding,
	passage.Accent: guitar.Digging,
	passage.Ghost:  guitar.Choked,
}

// pluckString returns the generator of a string's stroke.
func pluckString(key Key, rate int, seed uint64) *shot {
	instrument, ok := plucked[key.Voice]
	technique, known := techniques[key.Kind]
	if !ok || !known {
		return &shot{}
	}
	if t, other := bassTechniques[key.Kind]; other && key.Voice == passage.Bass {
		technique = t
	}
	if key.Voice == passage.Guitar && key.Side > 0 {
		instrument = guitar.Second
	}
	seconds := float64(key.Millis) / 1000
	note := guitar.Note{Hertz: key.Pitch.Hertz(), Bend: float64(key.Bend), Seconds: seconds, Turned: key.Side != 0, Seed: seed}
	if technique.Cut > 0 {
		seconds = technique.Cut
	} else {
		seconds += ringOver
	}
	return newShot(instrument.Play(technique, note, rate), seconds, rate)
}

// ringOver is how much longer than asked a ringing sound is made, in seconds,
// so that its own end is never heard before the stop: our choice.
const ringOver = .05
