package synth

import "stampmill/exercises/passage"

// A channel is one voice's row of the mixing desk and of the rules by which
// its sounds end.
type channel struct {
	gain float32 // linear, on one-shots whose accents peak near 1
	pan  float32 // -1 left to +1 right, as the audience sees the stage
	wide float32 // pan of the second take on the other side; 0 for a single take

	stop     float64 // ms: fade of a choke, a stop and a written end
	restrike float64 // ms: fade of what rings when the voice is struck again; 0 lets it ring on
}

// desk is the one table of levels, places and endings. Levels and pans are our
// choice after common practice: kick, snare, bass and sub in the middle,
// guitars far left and right, cymbals and toms spread in between. Fades of 5
// to 15 ms end a sound without a click (measured); a hand takes longer on a
// large cymbal than on a string.
//
// The levels set the loudest 50 ms of a stroke, K-weighted as loudness is and
// alone (measured on the library): the snare's accent on top, the kick 3 dB
// under it and muted guitars 1 to 2 under the kick, so that the pair is heard
// as one; toms 4 under the snare, so that a fill stands in for it; china and
// riding crash 6 to 7, an open hat 9 under. With that the library's passages
// stay under full scale before the limiter.
var desk = [...]channel{
	passage.China:      {gain: .42, pan: .55, stop: 15},
	passage.CrashLeft:  {gain: .42, pan: -.5, stop: 15},
	passage.CrashRight: {gain: .42, pan: .4, stop: 15},
	passage.Ride:       {gain: .30, pan: .35, stop: 15},
	passage.Hat:        {gain: .33, pan: -.3, stop: 12, restrike: 15},
	passage.Snare:      {gain: .60, pan: 0, stop: 10},
	passage.Kick:       {gain: .69, pan: 0, stop: 10, restrike: 10},
	passage.TomHigh:    {gain: .59, pan: -.25, stop: 10},
	passage.TomMid:     {gain: .60, pan: .05, stop: 10},
	passage.TomFloor:   {gain: .62, pan: .35, stop: 10},
	passage.Guitar:     {gain: .23, pan: -1, wide: 1, stop: 10, restrike: 6},
	passage.Bass:       {gain: .52, pan: 0, stop: 10, restrike: 6},
	passage.Lead:       {gain: .20, pan: .1, stop: 10, restrike: 6},
	passage.Sub:        {gain: .40, pan: 0, stop: 15, restrike: 10},
	passage.Click:      {gain: .45, pan: 0, stop: 5},
}

// graces are how long before the stroke its grace notes come, in milliseconds.
// Common practice plays a flam's
// grace note just before the stroke, near enough to be one thick stroke, and a
// drag as two separate light ones; the numbers are our choice. Where the
// stroke before of the same voice is near, grace notes keep to the second half
// of the gap.
var graces = map[passage.Kind][]float64{
	passage.Flam: {26},
	passage.Drag: {maxGrace, 38},
}

// maxGrace is the longest distance of a grace note, in milliseconds.
const maxGrace = 76

// Sounding returns the pitch at which a stroke of a voice sounds when the
// lowest string of the guitar is tuned to tuning; 0 for voices without pitch.
//
// Our choice, after common practice: the bass is an octave under the guitar as
// far as its strings go (A0), below that in unison with it; the lead is
// written as on the low string and sounds two octaves above. A natural
// harmonic touched at fret 12, 7 or 5 sounds the second, third or fourth
// partial of the open string, without a fret the fourth; at other frets it is
// the pinched harmonic two octaves above the fret.
func Sounding(v passage.Voice, tuning passage.Pitch, s passage.Stroke) passage.Pitch {
	open := tuning
	switch v {
	case passage.Bass:
		if open-12 >= lowestBass {
			open -= 12
		}
	case passage.Lead:
		open += 24
	case passage.Sub:
		return tuning
	case passage.Guitar:
	default:
		return 0
	}
	if s.Kind == passage.Harmonic {
		return open + partialAbove(s.Fret)
	}
	return open + passage.Pitch(s.Fret)
}

// lowestBass is A0, 27.5 Hz: the lowest string that long-scale basses are
// strung with, common practice.
const lowestBass passage.Pitch = 21

func partialAbove(fret uint8) passage.Pitch {
	switch fret {
	case 0, 5:
		return 24
	case 7:
		return 19
	case 12:
		return 12
	}
	return passage.Pitch(fret) + 24
}
