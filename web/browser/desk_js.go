//go:build js && wasm

package browser

import (
	"slices"
	"syscall/js"

	"stampmill/exercises/passage"
	"stampmill/synth"
)

// desk joins the sounds to the output:
//
//	sound → gain → panner ┐
//	sound → gain → panner ┴ voice's gain → gain of this run → glue → master → ceiling → output
//
// Nothing in it delays: a DynamicsCompressorNode would by 6 ms and raise what
// is soft. Glue and ceiling are the functions of package synth as curves.
type desk struct {
	context js.Value
	glue    js.Value // its input
	master  js.Value
	run     js.Value
	buses   map[passage.Voice]*bus

	levels   map[passage.Voice]float32
	loudness float32
}

// A bus is what all sounds of one voice go through.
type bus struct {
	desk     *desk
	gain     js.Value
	panners  map[float32]js.Value
	sounding []shot
}

// glide is the time constant in seconds of changes of level: without a click,
// and done within 50 ms. Our choice.
const glide = 0.01

func newDesk() desk {
	return desk{levels: map[passage.Voice]float32{}, loudness: 1}
}

// unconnected returns a desk with the same levels for a context to come.
func (d *desk) unconnected() desk { return desk{levels: d.levels, loudness: d.loudness} }

// connect builds the fixed part of the desk.
func (d *desk) connect(context js.Value) {
	d.context = context
	d.master = d.newGain(d.loudness, d.newShaper(synth.Ceiling, context.Get("destination")))
	d.glue = d.newShaper(synth.Glue, d.master)
	d.renew()
}

// renew lets go of the run's part of the desk: the next sounds get a new one.
func (d *desk) renew() {
	d.run = d.newGain(1, d.glue)
	d.buses = map[passage.Voice]*bus{}
}

func (d *desk) newGain(value float32, to js.Value) js.Value {
	node := d.context.Call("createGain")
	node.Get("gain").Set("value", value)
	node.Call("connect", to)
	return node
}

// fade ends the run between two seconds of the context.
func (d *desk) fade(begin, end float64) {
	gain := d.run.Get("gain")
	gain.Call("setValueAtTime", 1, begin)
	gain.Call("linearRampToValueAtTime", 0, end)
}

func (d *desk) bus(v passage.Voice) *bus {
	b := d.buses[v]
	if b == nil {
		level, set := d.levels[v]
		if !set {
			level = 1
		}
		b = &bus{desk: d, gain: d.newGain(level, d.run), panners: map[float32]js.Value{}}
		d.buses[v] = b
	}
	return b
}

// panner returns the node for a place from left to right.
func (b *bus) panner(pan float32) js.Value {
	p, ok := b.panners[pan]
	if !ok {
		p = b.desk.context.Call("createStereoPanner")
		p.Get("pan").Set("value", pan)
		p.Call("connect", b.gain)
		b.panners[pan] = p
	}
	return p
}

// still returns the sounds of the bus that are not over at a frame.
func (b *bus) still(frame int64) []shot {
	b.sounding = slices.DeleteFunc(b.sounding, func(s shot) bool { return s.end <= frame })
	return b.sounding
}

// Level sets how loud a voice is from now on.
func (a *audio) Level(voice passage.Voice, gain float32) {
	a.desk.levels[voice] = gain
	if b := a.desk.buses[voice]; b != nil {
		a.desk.move(b.gain, gain)
	}
}

// Master sets how loud all is from now on.
func (a *audio) Master(gain float32) {
	a.desk.loudness = gain
	if a.desk.master.Truthy() {
		a.desk.move(a.desk.master, gain)
	}
}

func (d *desk) move(node js.Value, gain float32) {
	node.Get("gain").Call("setTargetAtTime", gain, d.context.Get("currentTime"), glide)
}

// newShaper returns the input of a node that puts every sample through f.
func (d *desk) newShaper(f func(float64) float64, to js.Value) js.Value {
	curve := curveOf(f)
	values := global.Get("Float32Array").New(len(curve))
	js.CopyBytesToJS(global.Get("Uint8Array").New(values.Get("buffer")), bytesOf(curve))
	shaper := d.context.Call("createWaveShaper")
	shaper.Set("curve", values)
	shaper.Call("connect", to)
	return d.newGain(1.0/curveRange, shaper)
}
