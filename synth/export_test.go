package synth

// Frames returns how long a sound is, in frames, without making it.
func Frames(key Key, rate int) int { return begin(key, rate, 1).length }
