// Package speaker is the sound output of the machine that a command runs on.
//
// The one idea: an [Output] takes frames from a [Source] as fast as they are
// heard, so whoever plays needs no clock, and a test plays into memory. Samples
// are linear, interleaved left and right, -1 to 1; rates are frames a second.
// Outside tests the output is the library oto: on macOS and Windows always, on
// Linux and other systems with ALSA in builds with the tag "alsa", which need
// C and the headers of ALSA; without the tag, [Open] says so. Call [Open],
// then [Output.Play].
package speaker

import (
	"encoding/binary"
	"io"
	"math"
)

// A Source fills dst with interleaved left and right samples and returns how
// many frames it made: fewer than len(dst)/2 is the end.
type Source func(dst []float32) (frames int)

// An Output plays one source at a time.
type Output interface {
	// Play returns when the end of the source was heard, or when the device
	// fails. It calls the source from one goroutine at a time, not after its end
	// and not after Play returned.
	Play(Source) error
	// Behind returns about how many frames are asked for before they are heard.
	Behind() int
}

const frameBytes = 2 * 4 // left and right, 32 bits each

// A stream gives a source as the bytes of 32-bit floats, little-endian, and
// then some silence, so that the end was heard when the stream is over.
type stream struct {
	source  Source
	silence int // frames still to come after the end
	ended   bool
	frames  []float32
}

// Read implements io.Reader in whole frames.
func (s *stream) Read(p []byte) (int, error) {
	n := len(p) / frameBytes
	if n == 0 {
		return 0, nil
	}
	if s.ended {
		return s.rest(p[:n*frameBytes])
	}
	if cap(s.frames) < 2*n {
		s.frames = make([]float32, 2*n)
	}
	made := s.source(s.frames[:2*n])
	s.ended = made < n
	for i, x := range s.frames[:2*made] {
		binary.LittleEndian.PutUint32(p[4*i:], math.Float32bits(x))
	}
	return made * frameBytes, nil
}

func (s *stream) rest(p []byte) (int, error) {
	n := min(len(p)/frameBytes, s.silence)
	s.silence -= n
	clear(p[:n*frameBytes])
	if s.silence == 0 {
		return n * frameBytes, io.EOF
	}
	return n * frameBytes, nil
}
