package change

import "testing"

// Every entry that has an inverse is undone here once, by a change that one
// can read; entries without one have no case.
func TestEveryInverseUndoes(t *testing.T) {
	tried := map[string]bool{}
	for _, u := range []undoing{
		{"4/4", "china | x . x . |", "half-time china", "double-time china"},
		{"4/4", "china | x . x . |", "double-time china", "half-time china"},
		{"4/4", "china | x x . . |", "dotted china", "squeeze china at 1 by 3/2"},
		{"4/4", "china | x x x . |", "displace china by 1/16", "displace china by -1/16"},
		{"4/4", "kick | x . x . |", "add kick at 1.2", "drop kick at 1.2"},
		{"4/4", "kick | x . x . |", "fill kick by 1/4", "drop kick at 1.2 1.4"},
		{"4/4", "kick | x . x . |", "drop kick at 1.3", "add kick at 1.3"},
		{"4/4", "kick | x . x xxxx |", "retime kick at 1.4 as 3", "retime kick at 1.4 as 4"},
		{"4/4", "kick | x . x xxx |", "even kick at 1.4", "retime kick at 1.4 as 3"},
		{"4/4", "kick | xx x .x x |", "swing kick at 1.1-1.3", "even kick at 1.1-1.3"},
		{"4/4", "kick | x . x . |", "squeeze kick at 1 by 2", "stretch kick at 1 by 2"},
		{"4/4", "kick | xx . . . |", "stretch kick at 1 by 2", "squeeze kick at 1 by 2"},
		{"4/4", "kick | x . xx . |", "rotate kick by 1/8", "rotate kick by -1/8"},
		{"4/4", "kick | x.xx . xx . |", "reverse kick at 1.1", "reverse kick at 1.1"},
		{"4/4", "snare | . . X . |", "offbeat snare at 1.3", "shift snare at 1.3+1/8 by -1/8"},
		{"4/4", "snare | . . X . |", "shift snare at 1.3 by 1/8", "shift snare at 1.3+1/8 by -1/8"},
		{"4/4", "snare | . . X . | / kick | x.x. . . . |", "swap snare kick", "swap snare kick"},
		{"4/4", "snare | . . f . |", "accent snare at 1.3", "flam snare at 1.3"},
		{"4/4", "snare | . X . X |", "ghost snare", "accent snare at 1.2 1.4"},
		{"4/4", "guitar | x . h . |", "ring guitar at 1.3 for 1/4", "noise guitar at 1.3 as harmonic"},
		{"4/4", "china | x . x . |", "choke china at 1.4", "drop china at 1.4"},
		{"4/4", "guitar | x . h x |", "bend guitar at 1.3 by 1", "noise guitar at 1.3 as harmonic"},
		{"4/4", "snare | . . d . |", "flam snare at 1.3", "drag snare at 1.3"},
		{"4/4", "snare | . . f . |", "drag snare at 1.3", "flam snare at 1.3"},
		{"4/4", "guitar | x . b(3+1) x |", "noise guitar at 1.3 as scrape", "bend guitar at 1.3 by 1"},
		{"4/4", "guitar | x . h(7)- x |", "chord guitar at 1.3", "noise guitar at 1.3 as harmonic"},
		{"7/8 (2+2+3)", "snare | . . X.. |", "half-time all", "double-time all"},
		{"3/4", "snare | . . X | . X . |", "double-time all", "half-time all"},
		{"4/4", "kick | x x x x | x x x x |", "tempo by 5/4 at 2", "tempo by 4/5 at 2"},
		{"4/4", "kick | x x x xxxx |", "move kick to tom-floor at 1.4", "move tom-floor to kick at 1.4"},
		{"4/4", "kick | x x x x |", "sub at 1.1", "drop sub at 1.1"},
		{"4/4", "guitar | o - - - |", "lead as held", "drop lead at 1.1"},
	} {
		u.check(t)
		if c, err := Parse(u.change); err == nil && u.back != "" {
			tried[c.Entry.Name] = true
		}
	}
	for _, e := range Entries() {
		if has := e.inverse != nil; has != tried[e.Name] {
			t.Errorf("%s has an inverse: %v, and a case here: %v", e.Name, has, tried[e.Name])
		}
	}
}
