package wav

import (
	"bytes"
	"encoding/hex"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The header by hand, after the 1991 specification: sizes, code 1, channels,
// rate, bytes a second, bytes a frame, bits.
func TestEncodeByHand(t *testing.T) {
	got, err := Encode(Format{Rate: 48000, Channels: 2, Encoding: PCM16}, []float32{0, 1, -1, .5})
	if err != nil {
		t.Fatal(err)
	}
	want := hex.EncodeToString([]byte("RIFF")) + "2c000000" + hex.EncodeToString([]byte("WAVEfmt ")) +
		"10000000" + "0100" + "0200" + "80bb0000" + "00ee0200" + "0400" + "1000" +
		hex.EncodeToString([]byte("data")) + "08000000" + "0000" + "ff7f" + "0080" + "0040"
	if h := hex.EncodeToString(got); h != want {
		t.Errorf("got  %s\nwant %s", h, want)
	}
}

func TestRoundTrip(t *testing.T) {
	half := map[Encoding]float64{PCM16: 1. / (1 << 16), PCM24: 1. / (1 << 24), Float32: 0} // half a step
	rapid.Check(t, func(rt *rapid.T) {
		f := Format{
			Rate:     rapid.SampledFrom([]int{8000, 44100, 48000, 96000}).Draw(rt, "rate"),
			Channels: rapid.IntRange(1, 3).Draw(rt, "channels"),
			Encoding: Encoding(rapid.IntRange(0, 2).Draw(rt, "encoding")),
		}
		frames := rapid.IntRange(0, 40).Draw(rt, "frames")
		samples := make([]float32, frames*f.Channels)
		for i := range samples {
			samples[i] = rapid.Float32Range(-1, .9999).Draw(rt, "sample")
		}
		file, err := Encode(f, samples)
		if err != nil {
			rt.Fatal(err)
		}
		got, back, err := Decode(file)
		if err != nil || got != f || len(back) != len(samples) {
			rt.Fatalf("%v, %d samples, error %v; want %v, %d", got, len(back), err, f, len(samples))
		}
		for i := range back {
			if d := math.Abs(float64(back[i] - samples[i])); d > half[f.Encoding]+1e-9 {
				rt.Fatalf("sample %d: %g, want %g", i, back[i], samples[i])
			}
		}
	})
}

// A file written piece by piece is the file written at once.
func TestWriterWritesWhatEncodeDoes(t *testing.T) {
	f := Format{Rate: 44100, Channels: 1, Encoding: PCM24}
	samples := []float32{.1, -.2, .3}
	path := filepath.Join(t.TempDir(), "x.wav")
	out, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	w, err := NewWriter(out, f)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range samples {
		if err := w.Write([]float32{x}); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if err := w.Write(samples); err == nil {
		t.Error("a closed file was written to")
	}
	out.Close()
	got, _ := os.ReadFile(path)
	want, _ := Encode(f, samples)
	if !bytes.Equal(got, want) {
		t.Errorf("got\n%x, want\n%x", got, want)
	}
}

func TestLevelsBeyondFullScaleAreHeld(t *testing.T) {
	file, err := Encode(Format{Rate: 48000, Channels: 1, Encoding: PCM16}, []float32{7, -7, float32(math.NaN()), float32(math.Inf(1))})
	if err != nil {
		t.Fatal(err)
	}
	_, got, _ := Decode(file)
	want := []float32{32767. / 32768, -1, 0, 32767. / 32768}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("sample %d is %g, want %g", i, got[i], want[i])
		}
	}
}

func TestBadFiles(t *testing.T) {
	good, _ := Encode(Format{Rate: 48000, Channels: 2, Encoding: PCM16}, []float32{0, 1, -1, .5})
	cut := func(n int) []byte { return good[:n] }
	set := func(at int, b ...byte) []byte {
		c := bytes.Clone(good)
		copy(c[at:], b)
		return c
	}
	tests := []struct {
		name string
		file []byte
		want string
	}{
		{"empty", nil, "byte 0: this is not a WAVE file"},
		{"other", []byte("MThd\x00\x00\x00\x06\x00\x00\x00\x00"), "byte 0: this is not a WAVE file"},
		{"cut in the sound", cut(50), "byte 40: the chunk \"data\" has 8 bytes, but 6 are left"},
		{"cut in a head", cut(39), "byte 36: the file ends within the head of a chunk"},
		{"no sound", cut(36), "no data chunk"},
		{"8 bit", set(34, 8), "samples of 8 bits in code 1"},
		{"no channels", set(22, 0), "0 channels"},
		{"rate 0", set(24, 0, 0, 0, 0), "a rate of 0 Hz"},
		{"frame size", set(32, 3), "frames of 3 bytes where 4 are needed"},
		{"half a frame", set(40, 6), "6 bytes do not fill frames of 4"},
	}
	for _, test := range tests {
		if _, _, err := Decode(test.file); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: error %v, want %q", test.name, err, test.want)
		}
	}
	if _, err := Encode(Format{Rate: 48000, Channels: 2}, make([]float32, 3)); err == nil {
		t.Error("half a frame was written")
	}
	if _, err := NewWriter(nopSeeker{}, Format{}); err == nil {
		t.Error("a format without rate was taken")
	}
}

type nopSeeker struct{ io.Writer }

func (nopSeeker) Seek(int64, int) (int64, error) { return 0, nil }

// No panic on any bytes, and what is read can be written and read again.
func FuzzDecode(f *testing.F) {
	for _, e := range []Encoding{PCM16, PCM24, Float32} {
		file, _ := Encode(Format{Rate: 44100, Channels: 1, Encoding: e}, []float32{0, .25, -1})
		f.Add(file)
		f.Add(file[:len(file)-1])
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		format, samples, err := Decode(file)
		if err != nil {
			return
		}
		for i, x := range samples {
			if x != x || math.IsInf(float64(x), 0) {
				t.Fatalf("sample %d is %g", i, x)
			}
		}
		again, err := Encode(format, samples)
		if err != nil {
			t.Fatal(err)
		}
		if f2, s2, err := Decode(again); err != nil || f2 != format || len(s2) != len(samples) {
			t.Fatalf("read again: %v, %d samples, %v", f2, len(s2), err)
		}
	})
}
