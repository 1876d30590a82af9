package synth

import "stampmill/exercises/passage"

// Takes is how many different recordings there are of a stroke that is played
// often, so that repeats do not sound like a machine.
const Takes = 4

// takes returns how many takes a key has: the click is a machine, and strokes
// as long as a bend, a scrape or a drop come too seldom to need several.
func takes(k Key) uint8 {
	switch {
	case k.Voice == passage.Click || k.Room != 0 || shaped(k.Voice, k.Kind):
		return 1
	case ringing(k.Voice, k.Kind):
		return 2
	}
	return Takes
}

// A robin is where the round of one stroke's takes stands.
type robin struct {
	last  uint8
	count uint64
}

// take returns the next take of a stroke: never the same twice running, in an
// order that depends on the seed, the stroke and how often it came before.
func (s *Sequence) take(k Key) uint8 {
	n := takes(k)
	k.Millis = 0 // a new tempo does not start the round again
	r := s.robins[k]
	if n > 1 {
		step := 1 + uint8(mixBits(keySeed(k, s.plan.Seed)+r.count)%uint64(n-1))
		r.last = (r.last + step) % n
	}
	r.count++
	s.robins[k] = r
	return min(r.last, n-1)
}

// keySeed makes one number of a key and a seed.
func keySeed(k Key, seed uint64) uint64 {
	h := mixBits(seed + 0x9E3779B97F4A7C15)
	for _, part := range [...]uint64{uint64(k.Voice), uint64(k.Kind), uint64(k.Pitch), uint64(k.Bend),
		uint64(k.Take), uint64(k.Side + 1), uint64(k.Millis)} {
		h = mixBits(h ^ part + 0x9E3779B97F4A7C15)
	}
	return h
}

// mixBits is the finaliser of splitmix64 (Steele, Lea & Flood, "Fast splittable
// pseudorandom number generators", 2014).
func mixBits(z uint64) uint64 {
	z = (z ^ z>>30) * 0xBF58476D1CE4E5B9
	z = (z ^ z>>27) * 0x94D049BB133111EB
	return z ^ z>>31
}
