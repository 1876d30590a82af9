package transport

import (
	"math"

	"stampmill/app/clock"
)

// A Position is a place in what plays.
type Position struct {
	Pass     int     // from 0; -1 in the count-in
	Quarters float64 // within the pass; negative in the count-in
	CountIn  bool
	OK       bool // false when nothing plays, or nothing is known
}

// Where returns what is heard at this moment, for the playhead.
func (t *Transport) Where() Position {
	if t.stage != Playing {
		return Position{}
	}
	frame, ok := t.frameAt(t.clock.Now())
	if !ok {
		return Position{}
	}
	pass, quarters := t.run.seq.Where(frame)
	return Position{Pass: pass, Quarters: quarters, CountIn: pass < 0, OK: true}
}

// A Placed is where a press fell.
type Placed struct {
	Seconds  float64 // from the first written downbeat, on the device's clock; negative in the count-in
	Position Position
	Sure     clock.Certainty
	OK       bool // false when nothing played, or nothing is known
}

// Place returns what was heard when an event happened, from the event's own
// time in ms. The player's delay is not taken off.
func (t *Transport) Place(event float64) Placed {
	if t.stage != Playing {
		return Placed{}
	}
	t.listen()
	device, sure := t.heard.At(event)
	if sure.Quality == clock.None {
		return Placed{}
	}
	r := &t.run
	rate := float64(r.rate)
	frame := device*rate - float64(r.origin)
	pass, quarters := r.seq.Where(int64(math.Round(frame)))
	return Placed{
		Seconds:  (frame - float64(r.seq.FirstDownbeat())) / rate,
		Position: Position{Pass: pass, Quarters: quarters, CountIn: pass < 0, OK: true},
		Sure:     sure,
		OK:       true,
	}
}

// PassStart returns when pass k (from 0) begins, in seconds from the first
// downbeat; passes whose sounds were not given yet go by the tempo set now.
func (t *Transport) PassStart(k int) float64 {
	if t.run.seq == nil {
		return 0
	}
	frame, _ := t.run.seq.PassStart(k)
	return float64(frame-t.run.seq.FirstDownbeat()) / float64(t.run.rate)
}

// frameAt returns the frame of the sequence that is heard at an event time.
func (t *Transport) frameAt(event float64) (int64, bool) {
	device, sure := t.heard.At(event)
	if sure.Quality == clock.None {
		return 0, false
	}
	return int64(math.Floor(device*float64(t.run.rate))) - t.run.origin, true
}
