package synth

import "stampmill/synth/dsp"

// tail is the fade at the end of every one-shot, in seconds, so that it ends
// in silence; our choice.
const tail = .03

// A shot is a generator: a source cut to a length, its last part faded.
type shot struct {
	source dsp.Source
	block  dsp.Block
	ready  []float64 // part of block not yet read
	at     int
	length int
	fade   int
}

func newShot(source dsp.Source, seconds float64, rate int) *shot {
	n := max(0, int(seconds*float64(rate)))
	return &shot{source: source, length: n, fade: min(n, int(tail*float64(rate)))}
}

// Read implements Generator.
func (s *shot) Read(dst []float32) int {
	dst = dst[:min(len(dst), s.length-s.at)]
	n := 0
	for n < len(dst) {
		if len(s.ready) == 0 {
			s.source.Fill(&s.block)
			s.ready = s.block[:]
		}
		part := s.ready[:min(len(dst)-n, len(s.ready))]
		for i, y := range part {
			dst[n+i] = float32(y * s.gain(s.at+i))
		}
		n, s.at, s.ready = n+len(part), s.at+len(part), s.ready[len(part):]
	}
	return n
}

// gain is how much of sample i the fade leaves.
func (s *shot) gain(i int) float64 {
	left := s.length - 1 - i
	if left >= s.fade {
		return 1
	}
	g := float64(left) / float64(s.fade)
	return g * g
}
