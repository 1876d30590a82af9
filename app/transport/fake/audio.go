package fake

import (
	"fmt"
	"math"
	"math/rand/v2"

	"stampmill/app/transport"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// An Audio is a simulated sound device. Set its fields before Open.
type Audio struct {
	Device     int     // frames a second of the device itself
	Opening    float64 // ms from Open to Running
	Refuses    bool    // there is no output
	Holds      bool    // the browser waits for a press that never comes
	Latency    float64 // ms from a frame handed over to the frame heard
	Jitter     float64 // ms, standard deviation of the pairs
	Slope      float64 // parts in a million by which the device is fast
	NoPairs    bool    // the browser gives no measured pairs
	ZeroPairs  bool    // it gives pairs of zeros
	Played     []Play
	Faded      []Fade
	Silenced   []Silence
	Levels     map[passage.Voice]float32
	Loudness   float32
	Held       map[synth.Key]int // frames of each sound the device holds
	Problems   []string          // what no device should be asked
	clock      *Clock
	rng        *rand.Rand
	rate       int
	state      transport.DeviceState
	onState    func(transport.DeviceState, string)
	onOutputs  func()
	origin     float64 // ms at which frame 0 was handed over
	stopped    float64 // ms at which the frames stood still; 0 while they run
	lastPair   [2]float64
	pairsMoved float64
}

// A Play is one start of a sound, and the frame that was being handed over when
// it was asked for.
type Play struct {
	Frame, Asked int64
	Key          synth.Key
	Gain, Pan    float32
}

// A Fade is one fade of a voice.
type Fade struct {
	Frame, Asked int64
	Voice        passage.Voice
	Length       int32
}

// A Silence is one end of everything.
type Silence struct {
	Frame, Asked int64
	Length       int32
	Played       int // how many plays came before it
}

// block is how many frames the device takes at a time: 10 ms at 48 kHz.
const block = 480

// NewAudio returns a device at 48 kHz that opens in 20 ms and is heard 30 ms
// later, with the jitter and slope that were measured in a browser.
func NewAudio(c *Clock) *Audio {
	return &Audio{
		Device: 48000, Opening: 20, Latency: 30, Jitter: 0.05, Slope: 1.3,
		Levels: map[passage.Voice]float32{}, Held: map[synth.Key]int{}, Loudness: 1,
		clock: c, rng: rand.New(rand.NewPCG(1, 2)),
		onState: func(transport.DeviceState, string) {}, onOutputs: func() {},
	}
}

// Open brings the device to Running after Opening.
func (a *Audio) Open(rate int) {
	if a.state == transport.Running && (rate == 0 || rate == a.rate) {
		return
	}
	if rate == 0 {
		rate = a.Device
	}
	if a.state != transport.Paused || a.rate != rate {
		a.rate, a.origin, a.stopped = rate, 0, 0
	}
	switch {
	case a.Refuses:
		a.rate = 0
		a.Become(transport.Refused)
		return
	case a.Holds:
		a.state = transport.Waiting
		return
	}
	a.state = transport.Waiting
	a.clock.After(a.Opening, a.opened)
}

func (a *Audio) opened() {
	now := a.clock.Time()
	switch {
	case a.origin == 0:
		a.origin = now
	case a.stopped > 0:
		a.origin += now - a.stopped
	}
	a.stopped = 0
	a.Become(transport.Running)
}

// Rest lets a running device sleep.
func (a *Audio) Rest() {
	if a.state == transport.Running {
		a.Become(transport.Paused)
	}
}

// Close gives the device back.
func (a *Audio) Close() { a.Become(transport.Closed) }

// Become changes the state, as the system would.
func (a *Audio) Become(s transport.DeviceState) {
	if s != transport.Running && a.state == transport.Running {
		a.Freeze()
	}
	a.state = s
	a.onState(s, "fake")
}

// Freeze lets the frames stand still without a word.
func (a *Audio) Freeze() { a.stopped = a.clock.Time() }

// Jump moves the device's clock by ms against the clock of events.
func (a *Audio) Jump(ms float64) { a.origin += ms }

// Plug tells of a change of the sound devices.
func (a *Audio) Plug() { a.onOutputs() }

// OnState sets the function told of changes of state.
func (a *Audio) OnState(f func(transport.DeviceState, string)) { a.onState = f }

// OnOutputs sets the function that Plug tells.
func (a *Audio) OnOutputs(f func()) { a.onOutputs = f }

// State returns the state.
func (a *Audio) State() transport.DeviceState { return a.state }

// Rate returns frames a second.
func (a *Audio) Rate() int { return a.rate }

// Now returns the frame being handed over, in whole blocks.
func (a *Audio) Now() int64 { return int64(a.frame(a.clock.Time())) / block * block }

// frame returns the frame handed over at ms.
func (a *Audio) frame(ms float64) float64 {
	if a.origin == 0 {
		return 0
	}
	if a.stopped > 0 {
		ms = min(ms, a.stopped)
	}
	return (ms - a.origin) * (1 + a.Slope/1e6) / 1000 * float64(a.rate)
}

// Heard returns the exact frame heard at ms: what a press is measured against.
func (a *Audio) Heard(ms float64) float64 { return a.frame(ms - a.Latency) }

// EventOf returns the ms at which a frame is heard.
func (a *Audio) EventOf(frame float64) float64 {
	return frame*1000/float64(a.rate)/(1+a.Slope/1e6) + a.origin + a.Latency
}

// OutputPair returns a pair that is renewed every 10 ms.
func (a *Audio) OutputPair() (device, event float64, ok bool) {
	switch {
	case a.NoPairs || a.state != transport.Running:
		return 0, 0, false
	case a.ZeroPairs:
		return 0, 0, true
	}
	now := a.clock.Time()
	if now-a.pairsMoved >= 10 {
		a.pairsMoved = now
		a.lastPair = [2]float64{a.Heard(now)/float64(a.rate) + a.rng.NormFloat64()*a.Jitter/1000, now}
	}
	return a.lastPair[0], a.lastPair[1], true
}

// RoughPair returns the block being handed over less the latency.
func (a *Audio) RoughPair() (device, event float64, ok bool) {
	return float64(a.Now())/float64(a.rate) - a.Latency/1000, a.clock.Time(), a.state == transport.Running
}

// Load keeps the length of a sound.
func (a *Audio) Load(k synth.Key, rate int, pcm []float32) {
	if a.rate != 0 && rate != a.rate {
		a.problem("sound of %v at %d on a device at %d", k, rate, a.rate)
	}
	a.Held[k] = len(pcm)
}

// Drop forgets a sound.
func (a *Audio) Drop(k synth.Key) { delete(a.Held, k) }

// Play writes down a start.
func (a *Audio) Play(frame int64, k synth.Key, gain, pan float32) {
	if _, held := a.Held[k]; !held {
		a.problem("%v played but not loaded", k)
	}
	if frame < a.Now() {
		a.problem("%v at frame %d, when %d had gone", k, frame, a.Now())
	}
	if gain < 0 || math.Abs(float64(pan)) > 1 {
		a.problem("%v with gain %g, pan %g", k, gain, pan)
	}
	a.Played = append(a.Played, Play{frame, a.Now(), k, gain, pan})
}

// Fade writes down a fade.
func (a *Audio) Fade(frame int64, v passage.Voice, fade int32) {
	a.Faded = append(a.Faded, Fade{frame, a.Now(), v, fade})
}

// Silence writes down an end of everything.
func (a *Audio) Silence(frame int64, fade int32) {
	a.Silenced = append(a.Silenced, Silence{frame, a.Now(), fade, len(a.Played)})
}

// Level writes down a level.
func (a *Audio) Level(v passage.Voice, gain float32) { a.Levels[v] = gain }

// Master writes down the loudness of all.
func (a *Audio) Master(gain float32) { a.Loudness = gain }

func (a *Audio) problem(format string, args ...any) {
	a.Problems = append(a.Problems, fmt.Sprintf(format, args...))
}
