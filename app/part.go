package app

import (
	"slices"
	"strings"

	"stampmill/exercises/passage"
)

// A Part is what the player takes over of a step.
type Part struct {
	Voices string // names joined by "+", in printing order; comparable
	OneKey bool   // any key plays: strokes of several voices at one place are one
}

// allOnOneKey is the part of every voice, tapped on one key.
var allOnOneKey = Part{"all", true}

// String returns the part as it is stored, such as "kick", "snare+kick" or
// "kick+guitar one key".
func (p Part) String() string {
	if p.OneKey && p != allOnOneKey {
		return p.Voices + " one key"
	}
	return p.Voices
}

// partNamed reads what [Part.String] wrote; whether a step has the voices is
// for [partIn] to say.
func partNamed(s string) Part {
	if s == allOnOneKey.Voices {
		return allOnOneKey
	}
	voices, oneKey := strings.CutSuffix(s, " one key")
	return Part{voices, oneKey}
}

// Label returns the part for people, such as "Kick and guitar, one key".
func (p Part) Label() string {
	if p == allOnOneKey {
		return "All on one key"
	}
	label := capital(joinWords(strings.Split(p.Voices, "+")))
	if p.OneKey {
		label += ", one key"
	}
	return label
}

// said returns the part inside a sentence: "the kick", "everything".
func (p Part) said() string {
	if p == allOnOneKey {
		return "everything on one key"
	}
	return "the " + joinWords(strings.Split(p.Voices, "+"))
}

func joinWords(words []string) string {
	words = slices.Clone(words)
	for i, w := range words {
		if v, ok := passage.VoiceNamed(w); ok {
			words[i] = strings.ToLower(v.Label())
		}
	}
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
}

// voices returns the voices of the part in passage p.
func (p Part) voices(in passage.Passage) []passage.Voice {
	var all []passage.Voice
	for _, v := range playable(in) {
		if p == allOnOneKey || slices.Contains(strings.Split(p.Voices, "+"), v.String()) {
			all = append(all, v)
		}
	}
	return all
}

// playable returns the voices of a step that a player can take over: those
// that sound and are not its click, in printing order.
func playable(p passage.Passage) []passage.Voice {
	var all []passage.Voice
	for _, v := range passage.Voices() {
		l, ok := p.Line(v)
		if ok && v != passage.Click && slices.ContainsFunc(l.Strokes, passage.Stroke.Sounds) {
			all = append(all, v)
		}
	}
	return all
}

// parts returns the parts that a step offers: each voice alone, the drums of
// two hands or of hand and foot by their own keys, kick and guitar as one
// machine on one key, and all on one key.
func parts(p passage.Passage) []Part {
	have := playable(p)
	var all []Part
	for _, v := range have {
		all = append(all, Part{v.String(), false})
	}
	has := func(v passage.Voice) bool { return slices.Contains(have, v) }
	if has(passage.Snare) && has(passage.Kick) {
		all = append(all, Part{"snare+kick", false})
	}
	if has(passage.Kick) && has(passage.Guitar) {
		all = append(all, Part{"kick+guitar", true})
	}
	if len(have) > 1 {
		all = append(all, allOnOneKey)
	}
	return all
}

// playedIn reports whether a step has every voice of the part, as takes from
// elsewhere may have parts that are not offered.
func (p Part) playedIn(in passage.Passage) bool {
	voices := p.voices(in)
	return p != allOnOneKey && len(voices) > 0 && (len(voices) > 1 || !p.OneKey) && partOf(voices, p.OneKey) == p
}

// partOf is the part of some voices, in printing order.
func partOf(voices []passage.Voice, oneKey bool) Part {
	names := make([]string, len(voices))
	for i, v := range voices {
		names[i] = v.String()
	}
	return Part{strings.Join(names, "+"), oneKey}
}

// partIn returns the part if the step has it, else the one nearest to the job:
// the kick, then the first voice.
func partIn(p passage.Passage, want Part) Part {
	offered := parts(p)
	if want.playedIn(p) {
		return want
	}
	for _, try := range []Part{want, {"kick", false}} {
		if slices.Contains(offered, try) {
			return try
		}
	}
	if len(offered) == 0 {
		return allOnOneKey
	}
	return offered[0]
}

// voiceFor returns the voice that a press plays in a part, and whether it is a
// hit at all. NoVoice is a hit on one key.
func voiceFor(press Press, part Part, in passage.Passage, s Settings) (passage.Voice, bool) {
	voices := part.voices(in)
	if len(voices) == 0 {
		return passage.NoVoice, false
	}
	if press.Source != Keyboard {
		return areaVoice(press.Area, part, voices)
	}
	hand, assigned := s.handWith(press.Code)
	switch {
	case part.OneKey && (assigned || isLetter(press)):
		return passage.NoVoice, true
	case len(voices) == 1 && (assigned || isLetter(press)):
		return voices[0], true
	case !assigned:
		return passage.NoVoice, false
	}
	for _, v := range voices {
		if handOf(v) == hand {
			return v, true
		}
	}
	return passage.NoVoice, false
}

func areaVoice(area string, part Part, voices []passage.Voice) (passage.Voice, bool) {
	if len(area) != 1 || area[0] < '0' || area[0] > '3' {
		return passage.NoVoice, false
	}
	if part.OneKey {
		return passage.NoVoice, true
	}
	return voices[int(area[0]-'0')%len(voices)], true
}
