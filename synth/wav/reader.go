package wav

import (
	"encoding/binary"
	"fmt"
	"math"
)

// Decode reads a whole file. It reads what [Encode] writes, and files of other
// programs with further chunks or the extensible header. An error says at
// which byte and what is wrong.
func Decode(file []byte) (Format, []float32, error) {
	r := reader{file: file}
	if err := r.riff(); err != nil {
		return Format{}, nil, err
	}
	for r.at < len(file) && r.data == nil {
		if err := r.chunk(); err != nil {
			return Format{}, nil, err
		}
	}
	if r.data == nil {
		return Format{}, nil, r.wrong(len(file), "no data chunk", "the file holds no sound")
	}
	return r.format, r.samples(), nil
}

type reader struct {
	file   []byte
	at     int
	format Format
	data   []byte // nil until found
}

func (r *reader) wrong(at int, what, do string) error {
	return fmt.Errorf("byte %d: %s; %s", at, what, do)
}

func (r *reader) riff() error {
	if len(r.file) < 12 || string(r.file[:4]) != "RIFF" || string(r.file[8:12]) != "WAVE" {
		return r.wrong(0, "this is not a WAVE file", "choose a .wav file")
	}
	r.at = 12
	return nil
}

// chunk reads one chunk. A data chunk that claims more than the file holds is
// an error: the file was cut.
func (r *reader) chunk() error {
	if len(r.file)-r.at < 8 {
		return r.wrong(r.at, "the file ends within the head of a chunk", "it was cut; save it again")
	}
	name := string(r.file[r.at : r.at+4])
	size := int64(binary.LittleEndian.Uint32(r.file[r.at+4:]))
	body := r.file[r.at+8:]
	if size > int64(len(body)) {
		return r.wrong(r.at+4, fmt.Sprintf("the chunk %q has %d bytes, but %d are left", name, size, len(body)), "the file was cut; save it again")
	}
	body = body[:size]
	start := r.at + 8
	r.at = min(len(r.file), start+int(size)+int(size%2))
	switch name {
	case "fmt ":
		return r.fmt(start, body)
	case "data":
		return r.sound(start, body)
	}
	return nil
}

func (r *reader) fmt(at int, b []byte) error {
	if r.format.Channels != 0 {
		return r.wrong(at, "a second format", "save the file again with another program")
	}
	if len(b) < 16 {
		return r.wrong(at, "the format is cut short", "save the file again")
	}
	le := binary.LittleEndian
	code, bits := le.Uint16(b), le.Uint16(b[14:])
	if code == codeExtensible && len(b) >= 26 {
		code = le.Uint16(b[24:]) // the first two bytes of the sub-format say it
	}
	f := Format{Channels: int(le.Uint16(b[2:])), Rate: int(le.Uint32(b[4:]))}
	switch {
	case code == codePCM && bits == 16:
		f.Encoding = PCM16
	case code == codePCM && bits == 24:
		f.Encoding = PCM24
	case code == codeFloat && bits == 32:
		f.Encoding = Float32
	default:
		return r.wrong(at, fmt.Sprintf("samples of %d bits in code %d", bits, code), "save the file with 16 or 24 bit or 32 bit float")
	}
	if err := f.check(); err != nil {
		return r.wrong(at, "the format is not usable", err.Error())
	}
	if want := f.Channels * f.Encoding.bytes(); int(le.Uint16(b[12:])) != want {
		return r.wrong(at+12, fmt.Sprintf("frames of %d bytes where %d are needed", le.Uint16(b[12:]), want), "save the file again")
	}
	r.format = f
	return nil
}

func (r *reader) sound(at int, b []byte) error {
	if r.format.Channels == 0 {
		return r.wrong(at, "samples before the format", "save the file again with another program")
	}
	if frame := r.format.Channels * r.format.Encoding.bytes(); len(b)%frame != 0 {
		return r.wrong(at, fmt.Sprintf("%d bytes do not fill frames of %d", len(b), frame), "the file was cut; save it again")
	}
	r.data = b
	return nil
}

func (r *reader) samples() []float32 {
	size := r.format.Encoding.bytes()
	out := make([]float32, len(r.data)/size)
	for i := range out {
		b := r.data[i*size:]
		switch r.format.Encoding {
		case PCM16:
			out[i] = float32(int16(binary.LittleEndian.Uint16(b))) / (1 << 15)
		case PCM24:
			out[i] = float32(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)>>8) / (1 << 23)
		case Float32:
			out[i] = finite(math.Float32frombits(binary.LittleEndian.Uint32(b)))
		}
	}
	return out
}

// finite makes silence of what is no number, so that nothing behind has to
// look.
func finite(x float32) float32 {
	if x != x || x > math.MaxFloat32 || x < -math.MaxFloat32 {
		return 0
	}
	return x
}
