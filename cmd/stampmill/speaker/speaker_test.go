package speaker

import (
	"encoding/binary"
	"io"
	"math"
	"testing"
)

// counting is a source of n frames: left 1, 2, 3 ... thousandths, right their
// negatives.
func counting(n int) Source {
	at := 0
	return func(dst []float32) int {
		made := min(len(dst)/2, n-at)
		for i := range made {
			at++
			dst[2*i], dst[2*i+1] = float32(at)/1000, -float32(at)/1000
		}
		return made
	}
}

// All frames come out in order as little-endian floats, then the silence, then
// the end, whatever the sizes asked for: also sizes that are no whole frames.
func TestStreamIsTheSourceThenSilence(t *testing.T) {
	for _, size := range []int{8, 13, 64, 800, 1 << 16} {
		s := &stream{source: counting(100), silence: 7}
		var got []float32
		p := make([]byte, size)
		for ended := false; !ended; {
			n, err := s.Read(p)
			if err != nil && err != io.EOF {
				t.Fatal(err)
			}
			ended = err == io.EOF
			for i := 0; i < n; i += 4 {
				got = append(got, math.Float32frombits(binary.LittleEndian.Uint32(p[i:])))
			}
		}
		if len(got) != 2*107 {
			t.Fatalf("in pieces of %d bytes: %d samples, want 214", size, len(got))
		}
		for i, x := range got {
			want := float32(0)
			if frame := i / 2; frame < 100 {
				want = float32(frame+1) / 1000 * float32(1-2*(i%2))
			}
			if x != want {
				t.Fatalf("in pieces of %d bytes: sample %d is %g, want %g", size, i, x, want)
			}
		}
	}
}
