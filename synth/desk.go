package synth

import (
	"fmt"
	"math"

	"stampmill/exercises/passage"
)

// A channel is one voice's row of the mixing desk and of the rules by which
// its sounds end.
type channel struct {
	level float64 // dB: loudest 50 ms of a plain hit, K-weighted, against the snare's
	pan   float32 // -1 left to +1 right, as the audience sees the stage
	wide  float32 // pan of the second take on the other side; 0 for a single take
	room  float64 // dB: what each side of the room gives back, against the voice; 0 for none

	stop     float64 // ms: fade of a choke, a stop and a written end
	restrike float64 // ms: fade of what rings when the voice is struck again; 0 lets it ring on
}

// desk is the one table of levels, places and endings. Levels and pans are our
// choice after common practice: kick, snare, bass and sub in the middle,
// guitars far left and right, cymbals and toms spread in between. Fades of 5
// to 15 ms end a sound without a click (measured); a hand takes longer on a
// large cymbal than on a string.
//
// Levels count from what each voice's sound measures alone (measured.go), so
// that a changed sound keeps its place: kick a little over the snare and over
// both muted guitars together, so that the pair is heard as one; toms with the
// snare, so that a fill stands in for it; china and riding crash 3 to 4 under,
// ride and hat far under.
var desk = [...]channel{
	passage.China:      {level: -3, pan: -.55, stop: 15},
	passage.CrashLeft:  {level: -4, pan: .5, stop: 15},
	passage.CrashRight: {level: -4, pan: -.4, stop: 15},
	passage.Ride:       {level: -8, pan: -.35, stop: 15},
	passage.Hat:        {level: -8, pan: .3, room: -14, stop: 12, restrike: 15},
	passage.Snare:      {level: 0, pan: 0, room: -12, stop: 10},
	passage.Kick:       {level: 1, pan: 0, room: -14, stop: 10, restrike: 10},
	passage.TomHigh:    {level: 0, pan: .25, room: -12, stop: 10},
	passage.TomMid:     {level: 0, pan: -.05, room: -12, stop: 10},
	passage.TomFloor:   {level: 0, pan: -.35, room: -12, stop: 10},
	passage.Guitar:     {level: -3.5, pan: -1, wide: 1, room: -21, stop: 10, restrike: 6},
	passage.Bass:       {level: -3.5, pan: 0, stop: 10, restrike: 6},
	passage.Lead:       {level: -1.5, pan: .1, room: -14, stop: 10, restrike: 6},
	passage.Sub:        {level: 2, pan: 0, stop: 15, restrike: 10},
	passage.Click:      {level: -3.5, pan: 0, stop: 5},
}

// deskLevel is where the snare's plain hit lies before the make-up gain, in dB:
// our choice, about where most passages need no make-up.
const deskLevel = -17.0

// gains are the linear gains that put each voice at its level.
var gains = func() (all [len(desk)]float32) {
	for v := range desk {
		if m := measuredOf(passage.Voice(v), passage.Hit); m != nil {
			all[v] = float32(math.Pow(10, (deskLevel+desk[v].level)/20) / math.Sqrt(m.loudest))
		}
	}
	return all
}()

// roomGains are the linear gains of each side of the room.
var roomGains = func() (all [len(desk)]float32) {
	for v, row := range desk {
		if row.room < 0 {
			all[v] = gains[v] * float32(math.Pow(10, row.room/20))
		}
	}
	return all
}()

// A View says from where the drums are heard.
type View uint8

// The views: from in front of the stage the hat and the left crash of a
// right-handed drummer are on the right, from the stool on the left. Guitars,
// bass and lead stay where they are.
const (
	Audience View = iota
	Drummer
)

// Views are the names of the views, in order.
var Views = []string{"audience", "drummer"}

// ParseView reads "audience" or "drummer".
func ParseView(name string) (View, error) {
	for i, n := range Views {
		if n == name {
			return View(i), nil
		}
	}
	return 0, fmt.Errorf("the view %q is unknown; use audience or drummer", name)
}

// String returns the name of the view.
func (v View) String() string {
	if int(v) < len(Views) {
		return Views[v]
	}
	return "unknown"
}

// place returns where a voice is heard that the table puts at pan.
func (v View) place(voice passage.Voice, pan float32) float32 {
	if f := voice.Family(); v == Drummer && (f == passage.Cymbals || f == passage.Drums) {
		return -pan
	}
	return pan
}

// graces are how long before the stroke its grace notes come, in milliseconds.
// Common practice plays a flam's grace note just before the stroke, near enough
// to be one thick stroke, and a drag as two separate light ones; the numbers
// are our choice. Where the stroke before of the same voice is near, grace
// notes keep to the second half of the gap.
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
