// Package wav writes and reads WAVE files (Microsoft and IBM, Multimedia
// Programming Interface and Data Specifications 1.0, 1991; float samples as in
// the 1994 revision): whole-number samples of 16 or 24 bits and 32 bit float.
//
// Samples are interleaved float32, 1 is full scale. [Encode] and [Decode] work
// on whole files in memory; [NewWriter] writes one of any length.
package wav

import "io"

// An Encoding says how samples are stored.
type Encoding uint8

// The encodings.
const (
	PCM16 Encoding = iota
	PCM24
	Float32
)

// A Format describes a file.
type Format struct {
	Rate     int // frames a second
	Channels int
	Encoding Encoding
}

// Encode returns a whole file.
func Encode(f Format, samples []float32) ([]byte, error) { return nil, nil }

// Decode reads a whole file. Errors say at which byte and what.
func Decode(file []byte) (Format, []float32, error) { return Format{}, nil, nil }

// A Writer writes a file piece by piece.
type Writer struct{}

// NewWriter writes the header; Close puts the right sizes into it.
func NewWriter(w io.WriteSeeker, f Format) (*Writer, error) { return nil, nil }

// Write appends samples.
func (w *Writer) Write(samples []float32) error { return nil }

// Close completes the header. It does not close the file under it.
func (w *Writer) Close() error { return nil }
