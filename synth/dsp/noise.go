package dsp

// A Noise is white noise, evenly spread over -1 to 1: xorshift (Marsaglia,
// "Xorshift RNGs", 2003), 32 bits.
type Noise struct{ state uint32 }

// NewNoise returns noise that depends on nothing but the seed.
func NewNoise(seed uint64) *Noise {
	s := uint32(seed ^ seed>>32)
	if s == 0 {
		s = 0x9E3779B9 // xorshift must not start at 0
	}
	n := &Noise{s}
	for range 4 { // near seeds begin alike
		n.Next()
	}
	return n
}

// Next returns the next sample.
func (n *Noise) Next() float64 {
	n.state ^= n.state << 13
	n.state ^= n.state >> 17
	n.state ^= n.state << 5
	return float64(int32(n.state)) * (1.0 / (1 << 31))
}

// Between returns a number evenly spread between lo and hi.
func (n *Noise) Between(lo, hi float64) float64 {
	return lo + (hi-lo)*(n.Next()+1)/2
}

// Vary returns x times a factor evenly spread between 1-by and 1+by.
func (n *Noise) Vary(x, by float64) float64 { return x * (1 + by*n.Next()) }
