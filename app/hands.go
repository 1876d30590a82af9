package app

import (
	"slices"
	"strings"
	"unicode"

	"stampmill/exercises/passage"
)

// A Hand is a row of Setup: voices that are played with the same keys and
// share a level.
type Hand uint8

// The hands, in the order of Setup.
const (
	KickHand Hand = iota
	SnareHand
	CymbalHand
	GuitarHand
	ClickHand // a level only
	numHands
)

// hands is the one table of hands: name in stored settings, label for people,
// and the keys a new player finds. The keys are our choice: under the fingers
// as they rest, one row of the keyboard a hand.
var hands = [numHands]struct{ name, label, keys string }{
	KickHand:   {"kick", "Kick", "ASDFG"},
	SnareHand:  {"snare", "Snare", "HJKL"},
	CymbalHand: {"cymbal", "Cymbal", "YUIO"},
	GuitarHand: {"guitar", "Guitar", "ZXCVB"},
	ClickHand:  {"click", "Click", ""},
}

// String returns the name in stored settings.
func (h Hand) String() string { return hands[h%numHands].name }

// Label returns the name for people.
func (h Hand) Label() string { return hands[h%numHands].label }

func handNamed(name string) (Hand, bool) {
	for h := range numHands {
		if hands[h].name == name {
			return h, true
		}
	}
	return 0, false
}

// keyHands are the hands that have keys, in the order of Setup.
func keyHands() []Hand { return []Hand{KickHand, SnareHand, CymbalHand, GuitarHand} }

// levelHands are the hands that have a level, in the order of Setup.
func levelHands() []Hand { return []Hand{CymbalHand, SnareHand, KickHand, GuitarHand, ClickHand} }

// handOf returns the hand that plays a voice.
func handOf(v passage.Voice) Hand {
	switch v.Family() {
	case passage.Cymbals:
		return CymbalHand
	case passage.Strings, passage.Lows:
		return GuitarHand
	case passage.Clicks:
		return ClickHand
	}
	if v == passage.Kick {
		return KickHand
	}
	return SnareHand
}

// A Key is one key of the keyboard: its place, and what stands on it here.
type Key struct {
	Code  string `json:"code"`
	Label string `json:"label"`
}

// startKeys are the keys of a hand before the player assigned any.
func startKeys(h Hand) []Key {
	var keys []Key
	for _, r := range hands[h].keys {
		keys = append(keys, Key{"Key" + string(r), string(r)})
	}
	return keys
}

// keyName is what is shown for a pressed key.
func keyName(code, label string) string {
	if n := []rune(label); len(n) == 1 && unicode.IsPrint(n[0]) && n[0] != ' ' {
		return strings.ToUpper(label)
	}
	return strings.TrimPrefix(strings.TrimPrefix(code, "Key"), "Digit")
}

// reserved keys keep their meaning during a take and cannot be assigned.
var reserved = []string{"Escape", "Tab", "Enter", "ShiftLeft", "ShiftRight", "ControlLeft", "ControlRight", "AltLeft", "AltRight", "MetaLeft", "MetaRight"}

func assignable(code string) bool {
	return code != "" && !slices.Contains(reserved, code) && !(len(code) > 1 && code[0] == 'F' && code[1] >= '1' && code[1] <= '9')
}

// isLetter reports whether a press is a letter key, of any alphabet.
func isLetter(p Press) bool {
	if len(p.Code) == 4 && strings.HasPrefix(p.Code, "Key") {
		return true
	}
	n := []rune(p.Label)
	return len(n) == 1 && unicode.IsLetter(n[0])
}
