// Package passage holds what is played: voices, strokes, passages of bars, and
// climbs of steps, with their limits. All times are exact quarter notes.
//
// The one idea: a [Passage] is a list of bars and a list of lines, a line is
// one voice's strokes in order of time, and everything else (strip, sound,
// grading) is derived from it. Read one with the drill package, look places up
// with [Passage.Place], and call [Check] after making or changing one: it
// reports everything that is outside the limits, each with its place.
package passage

import "strings"

// A Voice is one instrument line. Voices are ordered as they are printed, from
// cymbals down to the click.
type Voice uint8

// The voices. NoVoice is the zero value and never valid in a passage.
const (
	NoVoice Voice = iota
	China
	CrashLeft
	CrashRight
	Ride
	Hat
	Snare
	Kick
	TomHigh
	TomMid
	TomFloor
	Guitar
	Bass
	Lead
	Sub
	Click
	numVoices
)

// A Family groups voices that are drawn and choked alike.
type Family uint8

// The families.
const (
	Cymbals Family = iota // china to hat: ring until choked
	Drums                 // snare to floor tom: decay by themselves
	Strings               // guitar, bass, lead: sound as long as written
	Lows                  // sub: sounds as long as written
	Clicks                // click
)

// voices is the one table of voices: name in text, label for people, family,
// and the strokes each can play.
var voices = [numVoices]struct {
	name, label string
	family      Family
	letters     string
}{
	NoVoice:    {"", "", Clicks, ""},
	China:      {"china", "China", Cymbals, "xXg!"},
	CrashLeft:  {"crash-left", "Crash left", Cymbals, "xXg!"},
	CrashRight: {"crash-right", "Crash right", Cymbals, "xXg!"},
	Ride:       {"ride", "Ride", Cymbals, "xXg!"},
	Hat:        {"hat", "Hat", Cymbals, "xXgo!"},
	Snare:      {"snare", "Snare", Drums, "xXgfdr"},
	Kick:       {"kick", "Kick", Drums, "xXgfd"},
	TomHigh:    {"tom-high", "High tom", Drums, "xXgfd"},
	TomMid:     {"tom-mid", "Mid tom", Drums, "xXgfd"},
	TomFloor:   {"tom-floor", "Floor tom", Drums, "xXgfd"},
	Guitar:     {"guitar", "Guitar", Strings, "xXgoc!hsSbtp"},
	Bass:       {"bass", "Bass", Strings, "xXgo!hsSbtp"},
	Lead:       {"lead", "Lead", Strings, "xXgo!hsSbtp"},
	Sub:        {"sub", "Sub", Lows, "xXo!"},
	Click:      {"click", "Click", Clicks, "xXg"},
}

// Voices returns every voice in printing order.
func Voices() []Voice {
	all := make([]Voice, 0, numVoices-1)
	for v := China; v < numVoices; v++ {
		all = append(all, v)
	}
	return all
}

// VoiceNamed returns the voice with the given name in text, such as
// "crash-left".
func VoiceNamed(name string) (Voice, bool) {
	for v := China; v < numVoices; v++ {
		if voices[v].name == name {
			return v, true
		}
	}
	return NoVoice, false
}

// Valid reports whether v is one of the voices.
func (v Voice) Valid() bool { return v > NoVoice && v < numVoices }

// String returns the name in text, such as "crash-left"; "none" if not valid.
func (v Voice) String() string {
	if !v.Valid() {
		return "none"
	}
	return voices[v].name
}

// MarshalText writes the name, so that a voice is a plain word in JSON.
func (v Voice) MarshalText() ([]byte, error) {
	if !v.Valid() {
		return nil, nil
	}
	return []byte(v.String()), nil
}

// Label returns the name for people, such as "Crash left".
func (v Voice) Label() string {
	if !v.Valid() {
		return "None"
	}
	return voices[v].label
}

// Spoken returns the name as players say it in a sentence: "snare", "left
// crash".
func (v Voice) Spoken() string {
	name := strings.ToLower(v.Label())
	for _, side := range []string{"left", "right"} {
		if what, ok := strings.CutSuffix(name, " "+side); ok {
			return side + " " + what
		}
	}
	return name
}

// Family returns the family of the voice.
func (v Voice) Family() Family {
	if !v.Valid() {
		return Clicks
	}
	return voices[v].family
}

// Sustained reports whether the voice sounds as long as its strokes are
// written; the others ring or decay by themselves.
func (v Voice) Sustained() bool { return v.Family() == Strings || v.Family() == Lows }

// Kinds returns the strokes that the voice can play, in the order of the table.
func (v Voice) Kinds() []Kind {
	if !v.Valid() {
		return nil
	}
	var all []Kind
	for _, c := range voices[v].letters {
		k, _ := KindOf(c)
		all = append(all, k)
	}
	return all
}

// plays has one bit for each kind of stroke of each voice.
var plays = func() (bits [numVoices]uint32) {
	for v := China; v < numVoices; v++ {
		for _, k := range v.Kinds() {
			bits[v] |= 1 << k
		}
	}
	return bits
}()

// Plays reports whether the voice can play strokes of kind k.
func (v Voice) Plays(k Kind) bool { return v.Valid() && k.Valid() && plays[v]&(1<<k) != 0 }
