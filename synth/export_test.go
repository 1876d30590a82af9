package synth

// Frames returns how long a sound is, in frames, without making it where its
// generator knows.
func Frames(key Key, rate int) int {
	g := Begin(key, rate, 1)
	if s, ok := g.(*shot); ok {
		return s.length
	}
	n, part := 0, make([]float32, 1<<14)
	for {
		got := g.Read(part)
		if n += got; got < len(part) {
			return n
		}
	}
}
