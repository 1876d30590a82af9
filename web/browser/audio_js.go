//go:build js && wasm

package browser

import (
	"math"
	"syscall/js"

	"stampmill/app/transport"
)

// audio is the sound device as an AudioContext. The files sounds_js.go and
// desk_js.go hold the rest of it.
type audio struct {
	context   js.Value
	rate      int
	state     transport.DeviceState
	onState   func(transport.DeviceState, string)
	onOutputs func()
	listeners []listener // of this context
	sounds    sounds
	desk      desk
}

type listener struct {
	name string
	call js.Func
}

func newAudio() *audio {
	a := &audio{
		onState:   func(transport.DeviceState, string) {},
		onOutputs: func() {},
		sounds:    newSounds(),
		desk:      newDesk(),
	}
	if devices := global.Get("navigator").Get("mediaDevices"); devices.Truthy() {
		on(devices, "devicechange", func(js.Value) { a.onOutputs() })
	}
	return a
}

// OnState sets the function told of changes of state.
func (a *audio) OnState(f func(transport.DeviceState, string)) { a.onState = f }

// OnOutputs sets the function told when a sound device comes or goes.
func (a *audio) OnOutputs(f func()) { a.onOutputs = f }

// State returns the present state.
func (a *audio) State() transport.DeviceState { return a.state }

// Rate returns frames a second; 0 until the device was opened.
func (a *audio) Rate() int { return a.rate }

// become notes a state and tells of it when it is new.
func (a *audio) become(s transport.DeviceState, reason string) {
	if s == a.state {
		return
	}
	a.state = s
	a.onState(s, reason)
}

// Open asks for the device, or resumes it.
func (a *audio) Open(rate int) {
	usable := a.state == transport.Waiting || a.state == transport.Running || a.state == transport.Paused
	if !usable || rate != 0 && rate != a.rate {
		a.forget()
		if err := try(func() { a.create(rate) }); err != nil {
			a.forget()
			a.become(transport.Refused, err.Error())
			return
		}
	}
	a.resume()
}

// Rest lets a running device sleep.
func (a *audio) Rest() {
	if a.state == transport.Running {
		a.quietly(a.context.Call("suspend"))
	}
}

// Close gives the device back.
func (a *audio) Close() {
	a.forget()
	a.become(transport.Closed, "closed by the program")
}

func (a *audio) create(rate int) {
	options := map[string]any{"latencyHint": "interactive"}
	if rate != 0 {
		options["sampleRate"] = rate
	}
	a.context = global.Get("AudioContext").New(options)
	a.rate = int(math.Round(a.context.Get("sampleRate").Float()))
	a.state = transport.Waiting
	a.desk.connect(a.context)
	a.listen("statechange", a.look)
	a.listen("error", func() { a.become(transport.Lost, "the context reported an error") })
	a.listen("sinkchange", func() { a.onOutputs() })
	a.look()
}

func (a *audio) listen(name string, f func()) {
	call := js.FuncOf(func(js.Value, []js.Value) any {
		f()
		return nil
	})
	a.listeners = append(a.listeners, listener{name, call})
	a.context.Call("addEventListener", name, call)
}

// forget lets go of the context and of everything in it but the sounds.
func (a *audio) forget() {
	old := a.context
	if !old.Truthy() {
		return
	}
	for _, l := range a.listeners {
		old.Call("removeEventListener", l.name, l.call)
		l.call.Release()
	}
	if old.Get("state").String() != "closed" {
		_ = try(func() { a.quietly(old.Call("close")) }) // a broken one may refuse; it is let go all the same
	}
	a.listeners, a.context = nil, js.Undefined()
	a.desk = a.desk.unconnected()
}

// look takes over the state of the context.
func (a *audio) look() {
	switch s := a.context.Get("state").String(); s {
	case "running":
		a.become(transport.Running, s)
	case "closed":
		a.become(transport.Lost, s)
	default: // suspended, or interrupted by a call
		if a.state == transport.Running {
			a.become(transport.Paused, s)
		}
	}
}

// resume asks the browser to let the context run. It answers by the event
// statechange; a refusal leaves the state as it is.
func (a *audio) resume() {
	if a.state == transport.Running {
		return
	}
	a.quietly(a.context.Call("resume"))
}

// quietly takes the answer of a promise, good or bad: what comes of it is told
// by the state.
func (a *audio) quietly(promise js.Value) {
	settle(promise, func(js.Value) {}, func() {})
}

// Now returns the frame that is being handed to the device.
func (a *audio) Now() int64 {
	if !a.context.Truthy() {
		return 0
	}
	return int64(math.Round(a.context.Get("currentTime").Float() * float64(a.rate)))
}

// OutputPair returns the pair that the browser measured.
func (a *audio) OutputPair() (device, event float64, ok bool) {
	if a.state != transport.Running || a.context.Get("getOutputTimestamp").Type() != js.TypeFunction {
		return 0, 0, false
	}
	pair := a.context.Call("getOutputTimestamp")
	return number(pair.Get("contextTime")), number(pair.Get("performanceTime")), true
}

// RoughPair returns the present frame less the stated latency.
func (a *audio) RoughPair() (device, event float64, ok bool) {
	if a.state != transport.Running {
		return 0, 0, false
	}
	latency := number(a.context.Get("outputLatency"))
	if latency == 0 {
		latency = number(a.context.Get("baseLatency"))
	}
	return a.context.Get("currentTime").Float() - latency, performance.Call("now").Float(), true
}

// number returns a JavaScript number, and 0 for what is none.
func number(v js.Value) float64 {
	if v.Type() != js.TypeNumber || math.IsNaN(v.Float()) {
		return 0
	}
	return v.Float()
}
