package synth

import "stampmill/synth/dsp"

// tail is the fade at the end of every one-shot, in seconds, so that it ends
// in silence; our choice.
const tail = .03

// A shot is a generator: a source cut to a length, its last part faded.
type shot struct {
	source dsp.Source
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
	n := min(len(dst), s.length-s.at)
	for i := range n {
		y := s.source.Next()
		if left := s.length - 1 - s.at; left < s.fade {
			g := float64(left) / float64(s.fade)
			y *= g * g
		}
		s.at++
		dst[i] = float32(y)
	}
	return n
}
