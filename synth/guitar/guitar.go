// Package guitar makes the sounds of plucked strings through an amplifier:
// guitar, bass and lead.
//
// The one idea: a stroke is a pick that excites a digital waveguide (Karplus &
// Strong 1983; Jaffe & Smith 1983), the hand that damps it, and one amplifier
// with its loudspeaker for all of them. What differs between a muted chug, a
// ringing note, a harmonic and a bend is how the string is touched: a
// [Technique]. Frequencies are in hertz, times in seconds, levels linear.
//
// Take an [Instrument] and a [Technique] from the tables in rig.go and call
// [Instrument.Play].
package guitar

import (
	"math"

	"stampmill/synth/dsp"
)

// An Instrument is a string set, a pickup and an amplifier.
type Instrument struct {
	Pickup  float64 // where the pickup sits, as a share of the string from the bridge
	Sustain float64 // times the sustain of the technique
	Amp     Amp
}

// A Technique is how a string is touched.
type Technique struct {
	Sustain float64 // seconds in which the fundamental falls by 60 dB, before the amplifier
	Loss    float64 // hertz: corner of the string's losses; the lower, the sooner the highs die
	Pick    float64 // hertz: how hard the pick is; the corner of the pulse it gives
	Round   float64 // overtone above which the pulse is rounded off; 0: by the pick alone
	Place   float64 // where it picks, as a share of the string from the bridge
	Scratch float64 // noise of the pick on the winding, against a pulse of 1
	Drive   float64 // how hard it is picked: level into the amplifier
	Level   float64 // after the amplifier
	Cut     float64 // seconds after which the hand has stopped the string; 0: it rings
	Motion  Motion
}

// A Motion is what happens to the string while it sounds.
type Motion uint8

// The motions.
const (
	Still   Motion = iota
	Bending        // the pitch rises to the note plus the bend
	Picking        // picked again and again
	Scraped        // the pick runs along the winding
)

// A Note is what is played.
type Note struct {
	Hertz   float64
	Bend    float64 // semitones up, for Bending
	Seconds float64 // written length, for motions
	Side    int     // -1, 0 or 1: which player
	Seed    uint64
}

// The motions' times, our choice after common practice: a bend takes 60 % of
// the note, at most .35 s; the picking hand makes eleven strokes a second.
const (
	bendShare   = .6
	bendSeconds = .35
	pickRate    = 11
)

// A voice is one sound of an instrument.
type voice struct {
	pluck pluck
	amp   *stage
	turns dsp.Chain
	level float64
	cut   cut
}

// Play returns the sound of one stroke.
func (i Instrument) Play(t Technique, n Note, rate int) dsp.Source {
	rnd := dsp.NewNoise(n.Seed)
	v := &voice{
		pluck: newPluck(i, t, n, rate, rnd),
		amp:   newStage(i.Amp, n.Side, rate),
		level: rnd.Vary(t.Level, .04),
		cut:   newCut(t.Cut, rate),
	}
	if n.Side != 0 {
		v.turns = phases(rnd, rate)
	}
	for range dsp.Latency {
		v.Next() // the oversampler's delay
	}
	return v
}

// Next returns the next sample, between -1 and 1.
func (v *voice) Next() float64 {
	return dsp.Saturate(v.turns.Filter(v.amp.next(v.pluck.next())) * v.level * v.cut.next())
}

// How the phases of a player's low overtones differ from stroke to stroke; our
// choice. Two players never meet in phase; were ours to, left and right would
// melt into one guitar in the middle.
const (
	turns               = 6
	turnsLow, turnsHigh = 55, 1100 // hertz
)

// phases returns all-passes that turn the low overtones at random. They change
// no level and delay no edge.
func phases(rnd *dsp.Noise, rate int) dsp.Chain {
	var c dsp.Chain
	for range turns {
		hertz := turnsLow * math.Pow(turnsHigh/turnsLow, rnd.Between(0, 1))
		c = append(c, dsp.AllPass(hertz, rnd.Between(.6, 1.6), rate))
	}
	return c
}

// A cut is the hand that stops the string: what is left after it is nothing.
type cut struct{ at, from, to int }

// cutShare is when the hand begins to close, as a share of the whole; our
// choice.
const cutShare = .55

func newCut(seconds float64, rate int) cut {
	if seconds == 0 {
		return cut{to: math.MaxInt, from: math.MaxInt}
	}
	n := seconds * float64(rate)
	return cut{from: int(n * cutShare), to: int(n)}
}

func (c *cut) next() float64 {
	c.at++
	switch {
	case c.at <= c.from:
		return 1
	case c.at >= c.to:
		return 0
	}
	x := 1 - float64(c.at-c.from)/float64(c.to-c.from)
	return x * x * (3 - 2*x) // smooth at both ends
}
