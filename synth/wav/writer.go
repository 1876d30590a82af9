package wav

import (
	"errors"
	"io"
)

// A Writer writes a file piece by piece.
type Writer struct {
	w      io.WriteSeeker
	format Format
	size   int64 // bytes of samples written
	buffer []byte
	closed bool
}

// NewWriter writes a header to w, which must stand at its start; Close puts
// the right sizes into it.
func NewWriter(w io.WriteSeeker, f Format) (*Writer, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	if _, err := w.Write(f.header(0)); err != nil {
		return nil, err
	}
	return &Writer{w: w, format: f}, nil
}

// Write appends samples.
func (w *Writer) Write(samples []float32) error {
	if w.closed {
		return errors.New("the file is closed; write before Close")
	}
	w.buffer = w.format.Encoding.append(w.buffer[:0], samples)
	if w.size+int64(len(w.buffer)) > maxData {
		return tooLong(w.format)
	}
	n, err := w.w.Write(w.buffer)
	w.size += int64(n)
	return err
}

// Close completes the header. It does not close the file under it. The samples
// must fill whole frames, else it returns an error.
func (w *Writer) Close() error {
	if w.closed {
		return nil
	}
	w.closed = true
	if w.size%2 == 1 {
		if _, err := w.w.Write([]byte{0}); err != nil {
			return err
		}
	}
	if _, err := w.w.Seek(0, io.SeekStart); err != nil {
		return err
	}
	if _, err := w.w.Write(w.format.header(w.size)); err != nil {
		return err
	}
	if w.size%int64(w.format.Channels*w.format.Encoding.bytes()) != 0 {
		return errors.New("the last frame lacks channels; write whole frames")
	}
	_, err := w.w.Seek(0, io.SeekEnd)
	return err
}
