package synth

import "stampmill/exercises/passage"

// Lengths of the sounds in a repertoire, in milliseconds, where they depend on
// what is written; our choice: long enough to hear what is meant.
const (
	repertoireRing   = 2000
	repertoireShaped = 1000
)

// Repertoire returns the key of every sound there is when the lowest string is
// tuned to tuning, in the order of the tables: each voice and each of its
// strokes on the open string, in every take and on both sides, bends by one
// and by two semitones, ringing strokes of two seconds, others that are as long
// as they are written of one. Flams and drags are made of hits and ghosts, and
// a choke is silence: they have none.
func Repertoire(tuning passage.Pitch) []Key {
	var keys []Key
	for _, v := range passage.Voices() {
		for _, kind := range v.Kinds() {
			for _, k := range examples(v, kind, tuning) {
				for take := range takes(k) {
					k.Take = take
					keys = append(keys, k)
				}
			}
		}
	}
	return keys
}

// examples returns the first take of a stroke's sounds.
func examples(v passage.Voice, kind passage.Kind, tuning passage.Pitch) []Key {
	k := soundOf(v, kind, Sounding(v, tuning, passage.Stroke{Kind: kind}))
	switch {
	case kind == passage.Choke || k.Kind != kind:
		return nil
	case ringing(v, kind):
		k.Millis = repertoireRing
	case shaped(v, kind):
		k.Millis = repertoireShaped
	}
	keys := []Key{k}
	if kind == passage.Bend {
		keys[0].Bend = 1
		k.Bend = 2
		keys = append(keys, k)
	}
	if desk[v].wide == 0 {
		return keys
	}
	var sides []Key
	for _, side := range []int8{-1, 1} {
		for _, k := range keys {
			k.Side = side
			sides = append(sides, k)
		}
	}
	return sides
}
