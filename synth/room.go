package synth

import (
	"math"

	"stampmill/exercises/passage"
	"stampmill/synth/dsp"
)

// The room around the band: a small one with soft walls. What each of its two
// sides gives back of a stroke is a one-shot of its own, made once by the bank
// and started with the stroke, so it costs a player no filter, sounds the same
// in the browser and the renderer, and ends with its voice: a choke, a stop and
// a new stroke end the room as well, as a gate would, so that stops stay tight.
// A room as a filter on the sum would ring on after them, and costs the renderer
// more than everything else together (measured).
//
// Method: first reflections of a rectangular room by image sources (Allen &
// Berkley, "Image method for efficiently simulating small-room acoustics",
// 1979), then a network of delays with feedback through a Householder matrix
// (Jot & Chaigne, "Digital delay networks for designing artificial
// reverberators", 1991), whose losses rise with frequency. All numbers are our
// choice: a practice room of about 5 by 4 by 2.7 metres with carpets.
const (
	roomFeed    = .2   // seconds of a stroke that the room hears, the second half of it fading
	roomSeconds = .42  // length of the one-shots
	roomT60     = .24  // seconds, at low frequencies
	roomHighT60 = .15  // at the top
	roomLow     = 160  // hertz: the walls give back nothing below
	roomHigh    = 9000 // hertz: and less and less above, 6 dB an octave
	roomLate    = .55  // amplitude of what comes after the first reflections
)

// reflections are the first reflections on the walls, floor and ceiling that
// reach each side, in milliseconds after the stroke, and their strengths: one
// over the length of the path, less what the wall takes.
var reflections = [2][]struct{ ms, gain float64 }{
	{{3.1, .62}, {4.7, -.45}, {7.9, .41}, {9.2, .33}, {12.6, -.27}, {15.8, .2}},
	{{3.7, .58}, {5.3, .47}, {7.1, -.42}, {10.3, .32}, {13.4, .24}, {16.9, -.19}},
}

// walls are the delays of the network for each side in milliseconds: paths
// between the walls, without a common measure.
var walls = [2][roomLines]float64{
	{5.21, 6.13, 6.97, 7.83, 8.69, 9.91, 11.3, 12.7},
	{5.47, 5.93, 7.19, 8.07, 9.13, 9.67, 10.9, 13.1},
}

// roomLines is how many delays the network has.
const roomLines = 8

// roomed reports whether a stroke is heard in the room: a ghost is too soft,
// and so are the grace notes made of it.
func roomed(k Key) bool {
	return desk[k.Voice].room < 0 && k.Kind != passage.Ghost
}

// roomOf returns the key of what one side of the room gives back of a stroke:
// one take serves for all, and the beginning of an open string for everything
// that rings.
func roomOf(k Key, side int8) Key {
	if shaped(k.Voice, k.Kind) {
		k.Kind = passage.Open
	}
	if k.Millis > 0 {
		k.Millis = RingMillis[0]
	}
	k.Take, k.Bend, k.Room = 0, 0, side
	return k
}

// A room is one side of the room, fed by a stroke.
type room struct {
	dry    Generator
	at     int // frame of the feed
	from   int // frame from which the feed fades
	to     int // frame at which it is over
	low    dsp.Biquad
	high   dsp.OnePole
	early  delayLine
	taps   [6]int
	gains  [6]float64
	lines  [roomLines]delayLine
	decay  [roomLines]float64 // what is left of a sample after its way
	loss   [roomLines]float64 // of a low-pass of first order: how far it follows
	damped [roomLines]float64 // where it stands
}

// A delayLine is a ring of samples.
type delayLine struct {
	ring []float64
	at   int
}

// put takes in a sample and lets go of the oldest place.
func (d *delayLine) put(x float64) {
	d.ring[d.at] = x
	if d.at++; d.at == len(d.ring) {
		d.at = 0
	}
}

// oldest returns the sample put in so long ago as the line is long.
func (d *delayLine) oldest() float64 { return d.ring[d.at] }

// ago returns the sample put in n samples before the last, less than the
// length.
func (d *delayLine) ago(n int) float64 {
	if n = d.at - 1 - n; n < 0 {
		n += len(d.ring)
	}
	return d.ring[n]
}

func newRoom(key Key, rate int, dry Generator) *room {
	side := 0
	if key.Room > 0 {
		side = 1
	}
	frames := func(ms float64) int { return int(ms * float64(rate) / 1000) }
	r := &room{
		dry:  dry,
		from: frames(500 * roomFeed), to: frames(1000 * roomFeed),
		low: dsp.HighPass(roomLow, math.Sqrt2/2, rate), high: dsp.NewOnePole(roomHigh, rate),
	}
	for i, e := range reflections[side] {
		r.taps[i], r.gains[i] = frames(e.ms), e.gain
	}
	r.early.ring = make([]float64, r.taps[len(r.taps)-1]+1)
	for i, ms := range walls[side] {
		n := frames(ms)
		r.lines[i].ring = make([]float64, n)
		r.decay[i] = math.Pow(10, -3*float64(n)/(roomT60*float64(rate)))
		top := math.Pow(10, -3*float64(n)*(1/roomHighT60-1/roomT60)/float64(rate)) // its gain at the top
		r.loss[i] = 2 * top / (1 + top)
	}
	return r
}

// feed fills dst with what the room hears.
func (r *room) feed(dst *dsp.Block) {
	*dst = dsp.Block{}
	if r.at >= r.to {
		return
	}
	var dry [dsp.BlockSize]float32
	for i, x := range dry[:r.dry.Read(dry[:])] {
		r.at++
		dst[i] = float64(x) * min(max(float64(r.to-r.at)/float64(r.to-r.from), 0), 1)
	}
}

// Fill implements dsp.Source, with samples between -1 and 1.
func (r *room) Fill(dst *dsp.Block) {
	r.feed(dst)
	for i, x := range dst {
		dst[i] = r.next(r.high.Low(r.low.Filter(x)))
	}
}

// next takes a sample of the feed, filtered, and returns what comes back.
func (r *room) next(x float64) float64 {
	r.early.put(x)
	early := 0.0
	for i, n := range r.taps {
		early += r.gains[i] * r.early.ago(n)
	}
	var out [roomLines]float64
	sum, late := 0.0, 0.0
	for i := range r.lines {
		r.damped[i] += r.loss[i] * (r.lines[i].oldest() - r.damped[i])
		out[i] = r.damped[i] * r.decay[i]
		sum += out[i]
		if late += out[i]; i%2 == 1 {
			late -= 2 * out[i]
		}
	}
	sum *= 2.0 / roomLines
	into := r.early.oldest() // after the last reflection
	for i := range r.lines {
		r.lines[i].put(into + out[i] - sum)
	}
	return dsp.Saturate(early + roomLate*late)
}
