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
	Cents   float64 // how far it is out of tune
	Place   float64 // times the place where it is picked
	Amp     Amp
}

// A Technique is how a string is touched.
type Technique struct {
	Sustain float64   // seconds in which the fundamental falls by 60 dB, before the amplifier
	Loss    float64   // hertz: corner of the string's losses; the lower, the sooner the highs die
	Pick    float64   // hertz: how hard the pick is; the corner of the pulse it gives
	Sharp   float64   // cents by which the pitch starts too high
	Round   float64   // overtone above which the pulse is rounded off; 0: by the pick alone
	Place   float64   // where it picks, as a share of the string from the bridge
	Scratch float64   // noise of the pick on the winding, against a pulse of 1
	Drive   float64   // how hard it is picked: level into the amplifier
	Level   float64   // after the amplifier
	Cut     float64   // seconds after which the hand has stopped the string; 0: it rings
	Nodes   float64   // parts into which a touch divides the string, about; the pickup stays where it is. 0: one
	Strum   []float64 // semitones above the note of further strings that one pick strikes
	Motion  Motion
}

// A Motion is what happens to the string while it sounds.
type Motion uint8

// The motions.
const (
	Still       Motion = iota
	Bending            // the pitch rises to the note plus the bend
	Picking            // picked again and again
	ScrapedUp          // the pick runs along the winding, towards the bridge
	ScrapedDown        // and away from it
)

// A Note is what is played.
type Note struct {
	Hertz   float64
	Bend    float64 // semitones up, for Bending
	Seconds float64 // written length, for motions
	Turned  bool    // one of two players: the phases of its overtones are its own
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
	plucks []pluck
	amp    *stage
	bent   dsp.Chain // phases turned before the amplifier
	turns  dsp.Chain // and after it
	level  float64
	cut    cut
	gaps   gaps
	ahead  [dsp.BlockSize - dsp.Latency]float64 // samples already made
}

// Play returns the sound of one stroke.
func (i Instrument) Play(t Technique, n Note, rate int) dsp.Source {
	rnd := dsp.NewNoise(n.Seed)
	v := &voice{
		plucks: strum(i, t, n, rate, rnd),
		amp:    newStage(i.Amp, rate, dsp.NewNoise(n.Seed^0x415C)),
		level:  rnd.Vary(t.Level, .04),
		cut:    newCut(t.Cut, rate),
	}
	if n.Turned {
		v.bent, v.turns = phases(t, rnd, rate), phases(t, rnd, rate)
	}
	v.gaps = gaps{at: -dsp.Latency, interval: v.plucks[0].interval, rate: rate}
	v.Fill(&dsp.Block{}) // only what comes after the amplifier's delay is left ahead
	return v
}

// Fill implements dsp.Source, with samples between -1 and 1. The amplifier's
// delay is taken off.
func (v *voice) Fill(dst *dsp.Block) {
	const ahead = dsp.BlockSize - dsp.Latency
	copy(dst[:], v.ahead[:])
	var x dsp.Block
	for i := range v.plucks {
		v.plucks[i].addTo(&x)
	}
	v.bent.Run(&x)
	v.amp.run(&x)
	v.turns.Run(&x)
	for i, y := range x {
		x[i] = dsp.Saturate(y * v.level * v.cut.next() * v.gaps.next())
	}
	copy(dst[ahead:], x[:])
	copy(v.ahead[:], x[dsp.Latency:])
}

// strum returns the strings that one stroke sets sounding, the lowest first.
func strum(i Instrument, t Technique, n Note, rate int, rnd *dsp.Noise) []pluck {
	all := []pluck{newPluck(i, t, n, rate, rnd)}
	for k, semitones := range t.Strum {
		above := n
		above.Hertz *= math.Exp2(semitones / 12)
		above.Seed += uint64(k) + 1
		p := newPluck(i, t, above, rate, rnd)
		p.wait = int(rnd.Vary(strumSeconds*float64(k+1), .3) * float64(rate))
		all = append(all, p)
	}
	return all
}

// strumSeconds is how long a pick takes from string to string in a power
// chord; our choice, heard as one stroke.
const strumSeconds = .002

// How the phases of a player's low overtones differ from stroke to stroke; our
// choice. Two players never meet in phase; were ours to, left and right would
// melt into one guitar in the middle.
const (
	turns               = 2        // of a muted stroke, whose lows must stay together
	ringTurns           = 4        // of one that rings: few overtones are strong, and long
	turnsLow, turnsHigh = 50, 1800 // hertz
	turnsWide           = .6       // Q, from
	turnsNarrow         = 1.6
	ringNarrow          = 3.0
)

// phases returns all-passes that turn the low overtones at random. They change
// no level and delay no edge.
func phases(t Technique, rnd *dsp.Noise, rate int) dsp.Chain {
	n, narrow := turns, turnsNarrow
	if t.Cut == 0 {
		n, narrow = ringTurns, ringNarrow
	}
	var c dsp.Chain
	for range n {
		hertz := turnsLow * math.Pow(turnsHigh/turnsLow, rnd.Between(0, 1))
		c = append(c, dsp.AllPass(hertz, rnd.Between(turnsWide, narrow), rate))
	}
	return c
}

// A cut is the hand that stops the string: from closes, at to it lies on the
// string, and at end what is left under it is gone.
type cut struct{ at, from, to, end int }

// When the hand begins to close and lies on the string, as shares of the whole,
// and what is left then; our choice.
const (
	cutFrom  = .3
	cutTo    = .56
	cutLevel = .03
)

func newCut(seconds float64, rate int) cut {
	if seconds == 0 {
		return cut{from: math.MaxInt}
	}
	n := seconds * float64(rate)
	return cut{from: int(n * cutFrom), to: int(n * cutTo), end: int(n)}
}

func (c *cut) next() float64 {
	c.at++
	switch {
	case c.at <= c.from:
		return 1
	case c.at >= c.end:
		return 0
	case c.at >= c.to:
		return cutLevel * float64(c.end-c.at) / float64(c.end-c.to)
	}
	x := 1 - float64(c.at-c.from)/float64(c.to-c.from)
	return cutLevel + (1-cutLevel)*x*x*(3-2*x) // smooth at both ends
}

// gaps are what is heard of the pick that lies on the string before each
// further stroke of a tremolo. The amplifier compresses, and would fill them.
type gaps struct{ at, interval, rate int }

// How long a gap closes and opens, and what is left in it; our choice: each
// stroke is heard, and they still are one line.
const (
	gapCloses = .024
	gapOpens  = .002
	gapLevel  = .22
)

func (g *gaps) next() float64 {
	g.at++
	if g.interval == 0 || g.at <= 0 {
		return 1
	}
	into := float64(g.at%g.interval) / float64(g.rate)
	left := float64(g.interval)/float64(g.rate) - into
	x := min(1, left/gapCloses)
	if g.at >= g.interval {
		x = min(x, into/gapOpens)
	}
	return gapLevel + (1-gapLevel)*x*x*(3-2*x) // smooth at both ends
}
