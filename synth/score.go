package synth

import (
	"math"
	"math/big"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// MillisStep is the step, in milliseconds, in which the lengths of bends,
// tremolos, scrapes and subs are rounded up; our choice, inaudible.
const MillisStep = 10

// MaxMillis is the longest a one-shot is asked to last; our choice, longer
// than any string of the style rings.
const MaxMillis = 8000

// RingMillis are the lengths in which ringing strings are made: a bank of
// short notes need not hold long ones.
var RingMillis = []int32{500, 1000, 2000, 4000, MaxMillis}

// An event is a command of one pass before its frame is known.
type event struct {
	at      *big.Rat // seconds from the start of the pass
	early   float64  // milliseconds that it comes before at
	command Command  // Key.Take and Frame not set
	takes   bool     // has a round robin
}

// score lists the events of one pass of a passage, voice by voice.
func score(p passage.Passage, rate int, dry bool) ([]event, error) {
	tempo, err := p.TempoMap()
	if err != nil {
		return nil, err
	}
	var out []event
	for _, l := range p.Lines {
		w := writer{tempo: tempo, rate: rate, dry: dry, voice: l.Voice, tuning: p.Tuning, rings: rings(l, p.Tuning, tempo)}
		for i, s := range l.Strokes {
			w.gap = math.Inf(1)
			if i > 0 {
				w.gap = 1000 * (tempo.Seconds(s.At) - tempo.Seconds(l.Strokes[i-1].At))
			}
			w.stroke(s)
		}
		out = append(out, w.out...)
	}
	return out, nil
}

// rings finds, for each ringing sound of a line, the length that serves all
// its strokes: one sound for long and short notes alike.
func rings(l passage.Line, tuning passage.Pitch, tempo meter.TempoMap) map[Key]int32 {
	longest := map[Key]int32{}
	for _, s := range l.Strokes {
		if !ringing(l.Voice, s.Kind) {
			continue
		}
		k := soundOf(l.Voice, s.Kind, Sounding(l.Voice, tuning, s))
		longest[k] = max(longest[k], nextRing(seconds(tempo, s)))
	}
	return longest
}

func ringing(v passage.Voice, k passage.Kind) bool {
	return v.Family() == passage.Strings && (k == passage.Open || k == passage.Chord || k == passage.Harmonic || k == passage.Tapped)
}

func shaped(v passage.Voice, k passage.Kind) bool {
	return v == passage.Sub || v.Family() == passage.Strings &&
		(k == passage.Bend || k == passage.Tremolo || k == passage.Scrape || k == passage.ScrapeDown)
}

func seconds(tempo meter.TempoMap, s passage.Stroke) float64 {
	return tempo.Seconds(s.End()) - tempo.Seconds(s.At)
}

func nextRing(seconds float64) int32 {
	for _, ms := range RingMillis {
		if seconds*1000 <= float64(ms) {
			return ms
		}
	}
	return MaxMillis
}

func roundUp(seconds float64) int32 {
	steps := math.Ceil(seconds*1000/MillisStep - 1e-6) // an exact step stays itself
	return int32(min(max(steps, 1)*MillisStep, MaxMillis))
}

// soundOf returns the key of a stroke without its take, side and length.
// Grace notes are made elsewhere: what is left of a flam or drag is a hit.
func soundOf(v passage.Voice, k passage.Kind, pitch passage.Pitch) Key {
	if k == passage.Flam || k == passage.Drag {
		k = passage.Hit
	}
	return Key{Voice: v, Kind: k, Pitch: pitch}
}

// A writer turns the strokes of one line into events.
type writer struct {
	tempo  meter.TempoMap
	rate   int
	voice  passage.Voice
	tuning passage.Pitch
	rings  map[Key]int32
	dry    bool    // no room
	gap    float64 // ms since the stroke before of the same line
	out    []event
}

func (w *writer) stroke(s passage.Stroke) {
	at := w.tempo.Exact(s.At)
	row := desk[w.voice]
	if s.Kind == passage.Choke {
		w.stop(at, row.stop)
		return
	}
	if row.restrike > 0 && !(w.voice == passage.Hat && s.Kind == passage.Open) {
		w.stop(at, row.restrike)
	}
	w.graces(at, s.Kind)
	w.start(at, 0, w.key(s))
	if ringing(w.voice, s.Kind) || shaped(w.voice, s.Kind) {
		w.stop(w.tempo.Exact(s.End()), row.stop)
	}
}

func (w *writer) key(s passage.Stroke) Key {
	k := soundOf(w.voice, s.Kind, Sounding(w.voice, w.tuning, s))
	if ms, ok := w.rings[k]; ok {
		k.Millis = ms
	}
	if shaped(w.voice, s.Kind) {
		k.Millis = roundUp(seconds(w.tempo, s))
		k.Bend = s.Bend
	}
	return k
}

func (w *writer) graces(at *big.Rat, kind passage.Kind) {
	notes := graces[kind]
	if len(notes) == 0 {
		return
	}
	squeeze := min(1, w.gap/2/notes[0])
	for _, millis := range notes {
		w.start(at, millis*squeeze, soundOf(w.voice, passage.Ghost, 0))
	}
}

func (w *writer) start(at *big.Rat, early float64, k Key) {
	row := desk[w.voice]
	c := Command{Voice: w.voice, Key: k, Gain: gains[w.voice], Pan: row.pan}
	if row.wide == 0 {
		w.out = append(w.out, event{at, early, c, true})
	} else {
		c.Key.Side = -1
		w.out = append(w.out, event{at, early, c, true})
		c.Key.Side, c.Pan = 1, row.wide
		w.out = append(w.out, event{at, early, c, true})
	}
	if !w.dry && roomed(k) {
		w.room(at, early, k)
	}
}

// room starts what the two sides of the room give back of a stroke; each side
// hears the guitar that is nearer to it.
func (w *writer) room(at *big.Rat, early float64, k Key) {
	row := desk[w.voice]
	for side := int8(-1); side <= 1; side += 2 {
		key := roomOf(k, side)
		if row.wide != 0 {
			key.Side = side
		}
		c := Command{Voice: w.voice, Key: key, Gain: roomGains[w.voice], Pan: float32(side)}
		w.out = append(w.out, event{at: at, early: early, command: c})
	}
}

func (w *writer) stop(at *big.Rat, millis float64) {
	fade := int32(millis*float64(w.rate)/1000 + .5)
	w.out = append(w.out, event{at: at, command: Command{Voice: w.voice, Stop: true, Fade: fade}})
}
