// Package wav writes and reads WAVE files (Microsoft and IBM, Multimedia
// Programming Interface and Data Specifications 1.0, 1991; float samples as in
// the 1994 revision): whole-number samples of 16 or 24 bits and 32 bit float.
//
// Samples are interleaved float32, 1 is full scale; what is beyond is held
// there in whole numbers, rounded to the nearest. [Encode] and [Decode] work
// on whole files in memory; [NewWriter] writes one of any length.
package wav

import (
	"encoding/binary"
	"fmt"
	"math"
)

// An Encoding says how samples are stored.
type Encoding uint8

// The encodings.
const (
	PCM16 Encoding = iota
	PCM24
	Float32
)

// bytes returns the size of a sample; 0 if the encoding is unknown.
func (e Encoding) bytes() int {
	switch e {
	case PCM16:
		return 2
	case PCM24:
		return 3
	case Float32:
		return 4
	}
	return 0
}

// String returns the name for people.
func (e Encoding) String() string {
	switch e {
	case PCM16:
		return "16 bit"
	case PCM24:
		return "24 bit"
	case Float32:
		return "32 bit float"
	}
	return "unknown"
}

// A Format describes a file.
type Format struct {
	Rate     int // frames a second
	Channels int
	Encoding Encoding
}

// Limits of a format: MaxRate and MaxChannels are our choice, far beyond what
// is used.
const (
	MaxRate     = 768000
	MaxChannels = 64
)

func (f Format) check() error {
	if f.Rate < 1 || f.Rate > MaxRate {
		return fmt.Errorf("a rate of %d Hz; use 1 to %d", f.Rate, MaxRate)
	}
	if f.Channels < 1 || f.Channels > MaxChannels {
		return fmt.Errorf("%d channels; use 1 to %d", f.Channels, MaxChannels)
	}
	if f.Encoding.bytes() == 0 {
		return fmt.Errorf("encoding %d is unknown; use 16 or 24 bit or float", f.Encoding)
	}
	return nil
}

// The codes of the fmt chunk.
const (
	codePCM        = 1
	codeFloat      = 3
	codeExtensible = 0xFFFE
)

const (
	headerSize = 44
	maxData    = math.MaxUint32 - headerSize // bytes: the sizes in the header have 32 bits
)

// header returns the 44 bytes before size bytes of samples.
func (f Format) header(size int64) []byte {
	code, bytes := uint16(codePCM), f.Encoding.bytes()
	if f.Encoding == Float32 {
		code = codeFloat
	}
	le := binary.LittleEndian
	h := append(make([]byte, 0, headerSize), "RIFF"...)
	h = le.AppendUint32(h, uint32(size+size%2+headerSize-8))
	h = append(h, "WAVEfmt "...)
	h = le.AppendUint32(h, 16)
	h = le.AppendUint16(h, code)
	h = le.AppendUint16(h, uint16(f.Channels))
	h = le.AppendUint32(h, uint32(f.Rate))
	h = le.AppendUint32(h, uint32(f.Rate*f.Channels*bytes))
	h = le.AppendUint16(h, uint16(f.Channels*bytes))
	h = le.AppendUint16(h, uint16(8*bytes))
	h = append(h, "data"...)
	return le.AppendUint32(h, uint32(size))
}

// append encodes samples behind dst.
func (e Encoding) append(dst []byte, samples []float32) []byte {
	for _, x := range samples {
		switch e {
		case PCM16:
			dst = binary.LittleEndian.AppendUint16(dst, uint16(whole(x, 15)))
		case PCM24:
			v := whole(x, 23)
			dst = append(dst, byte(v), byte(v>>8), byte(v>>16))
		case Float32:
			dst = binary.LittleEndian.AppendUint32(dst, math.Float32bits(x))
		}
	}
	return dst
}

// whole rounds a sample to a whole number of bits+1 bits; NaN becomes 0.
func whole(x float32, bits int) int32 {
	scale := float64(int(1) << bits)
	y := math.Round(float64(x) * scale)
	if math.IsNaN(y) {
		return 0
	}
	return int32(min(max(y, -scale), scale-1))
}

// Encode returns a whole file.
func Encode(f Format, samples []float32) ([]byte, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	if len(samples)%f.Channels != 0 {
		return nil, fmt.Errorf("%d samples do not fill frames of %d channels; add or leave out some", len(samples), f.Channels)
	}
	size := int64(len(samples)) * int64(f.Encoding.bytes())
	if size > maxData {
		return nil, tooLong(f)
	}
	file := f.Encoding.append(f.header(size), samples)
	if size%2 == 1 {
		file = append(file, 0) // chunks have even sizes
	}
	return file, nil
}

func tooLong(f Format) error {
	return fmt.Errorf("the file would pass the 4 GiB of a WAVE file; write fewer passes than %d s of sound", maxData/int64(f.Rate*f.Channels*f.Encoding.bytes()))
}
