//go:build js && wasm

package browser

import (
	"syscall/js"
	"unsafe"

	"stampmill/exercises/passage"
	"stampmill/synth"
)

// sounds are the one-shots as AudioBuffers, which belong to no context and so
// outlive one.
type sounds struct {
	buffers map[synth.Key]sound
	bytes   js.Value // constructor of byte views
}

type sound struct {
	buffer js.Value
	frames int64
}

func newSounds() sounds {
	return sounds{map[synth.Key]sound{}, global.Get("Uint8Array")}
}

// Load makes an AudioBuffer of a sound, in one copy.
func (a *audio) Load(key synth.Key, rate int, pcm []float32) {
	if len(pcm) == 0 {
		pcm = []float32{0} // a buffer has at least one frame
	}
	buffer := global.Get("AudioBuffer").New(map[string]any{
		"length": len(pcm), "numberOfChannels": 1, "sampleRate": rate,
	})
	channel := buffer.Call("getChannelData", 0)
	view := a.sounds.bytes.New(channel.Get("buffer"), channel.Get("byteOffset"), channel.Get("byteLength"))
	js.CopyBytesToJS(view, bytesOf(pcm))
	a.sounds.buffers[key] = sound{buffer, int64(len(pcm))}
}

// bytesOf returns the memory of s, which a Float32Array reads as it stands:
// WebAssembly and every browser are little-endian.
func bytesOf(s []float32) []byte {
	return unsafe.Slice((*byte)(unsafe.Pointer(unsafe.SliceData(s))), 4*len(s))
}

// Drop forgets a sound.
func (a *audio) Drop(key synth.Key) { delete(a.sounds.buffers, key) }

// A shot is one sound that was started and may still be heard.
type shot struct {
	source, gain js.Value
	loudness     float32
	start, end   int64 // frames; end is where it is silent, by itself or by a fade
}

// Play starts a loaded sound at an exact frame. The time is a whole frame over
// the rate: a fraction of a frame would be interpolated and blunt the stroke.
func (a *audio) Play(frame int64, key synth.Key, gain, pan float32) {
	s, ok := a.sounds.buffers[key]
	if !ok || !a.context.Truthy() {
		return
	}
	bus := a.desk.bus(key.Voice)
	source := a.context.Call("createBufferSource")
	source.Set("buffer", s.buffer)
	level := a.context.Call("createGain")
	level.Get("gain").Set("value", gain)
	source.Call("connect", level)
	level.Call("connect", bus.panner(pan))
	source.Call("start", a.time(frame))
	bus.sounding = append(bus.still(a.Now()), shot{source, level, gain, frame, frame + s.frames})
}

// time returns the second at which a frame begins.
func (a *audio) time(frame int64) float64 { return float64(frame) / float64(a.rate) }

// Fade lets everything of a voice that began before frame end by frame+fade.
func (a *audio) Fade(frame int64, voice passage.Voice, fade int32) {
	if !a.context.Truthy() {
		return
	}
	bus, end := a.desk.bus(voice), frame+int64(fade)
	for i := range bus.sounding {
		s := &bus.sounding[i]
		if s.start >= frame || s.end <= frame {
			continue
		}
		level := s.gain.Get("gain")
		level.Call("setValueAtTime", s.loudness, a.time(frame))
		level.Call("linearRampToValueAtTime", 0, a.time(end))
		s.source.Call("stop", a.time(end))
		s.end = end
	}
}

// Silence ends everything that sounds or is scheduled by frame+fade. What is
// played later goes through a new desk, so it need not wait for the fade.
func (a *audio) Silence(frame int64, fade int32) {
	if !a.context.Truthy() {
		return
	}
	begin, end := a.time(frame), a.time(frame+int64(fade))
	a.desk.fade(begin, end)
	for _, bus := range a.desk.buses {
		for _, s := range bus.still(frame) {
			s.source.Call("stop", end)
		}
	}
	a.desk.renew()
}
