package grade

import (
	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Grader is the version of the grading, raised whenever the verdict of some
// take may change. What is kept of a verdict is made anew where this has grown.
const Grader = 2

// A Verdict is what grading says of a take. Errors are milliseconds, early
// negative. Counts, F-measures, voices, bars and positions go by the written
// places; where a drift or a lean took strokes from their places, Leaning,
// Spread, Drift and Tuplets rest on the taps followed along it, which may be
// more than those matched. Its JSON is told at [Verdict.MarshalJSON].
type Verdict struct {
	Counts
	F25, F50  float64 // F-measure by maximum matching within 25 and 50 ms, each voice with its own taps, 0 to 1
	Leaning   Figure  // ms, mean signed error
	Spread    Figure  // ms, standard deviation after drift is removed
	Drift     Figure  // BPM won (positive, faster) or lost against the tempo of the take
	Lag1      Figure  // autocorrelation of successive errors after drift is removed, -1 to 1
	Clock     Figure  // ms, standard deviation of the timekeeper on steady runs; N counts intervals
	Motor     Figure  // ms, that of the movement
	Violated  bool    // the model of clock and motor does not hold on this take: neither can be told
	ByVoice   []VoiceFigures
	ByLimb    []LimbFigures  // in the order of limbs; nil where the part has no drums or limbs cannot play the step
	ByPlace   []PlaceFigures // places in the beat, by length of the beat, then in order of time
	ByBar     []BarFigures
	ByPass    []PassFigures
	Positions []PositionFigures // every written stroke of one pass, in order of time
	Strays    []Stray           // the extra taps, in order of time
	Tuplets   []TupletFigures   // in order of place
	Accents   Accents
	Lengths   []LengthFigures // in order of place; only where taps carry releases
	Graces    []GraceFigures  // flams and drags, in order of place
	Flam      Figure          // ms by which the grace stroke of all flams comes before the main one
	Drag      Figure          // ms by which the first grace stroke of all drags does
	// Misreading is the change that explains the take better than the part as
	// written; nil where there is none. No change is searched yet.
	Misreading *Misreading
	Sentences  []string // one to three, the most important first
	AnyDelay   []string // what of it holds also where the delay of the input is not known: none says how early or late
	Next       Next     // what to do next
	Passed     bool

	report *report // what it was made by, see With
}

// Counts says how many strokes were written, played and left out.
type Counts struct {
	Expected, Matched, Missed int // written strokes; Expected = Matched + Missed
	Extra                     int // taps that match no written stroke
}

// A Figure is a measured number with its 95 % confidence interval and the
// number of strokes it rests on. OK is false where these are not enough; then
// only N means something.
type Figure struct {
	Value, Low, High float64
	N                int
	OK               bool
	Unfit            bool // not OK though the strokes would be enough: what is asked cannot be told from them
}

// Why says why a figure is not OK: "not enough strokes", or "not estimable"
// where more of the same would not help. It is empty where the figure is OK.
func (f Figure) Why() string {
	switch {
	case f.OK:
		return ""
	case f.Unfit:
		return "not estimable"
	}
	return "not enough strokes"
}

// VoiceFigures are the figures of one voice of the part. On a single key a
// stroke counts for every voice that has it; extra taps then count for none.
type VoiceFigures struct {
	Voice passage.Voice
	Counts
	Leaning, Spread Figure // ms
}

// LimbFigures are the figures of what one limb plays, by the sticking of the
// whole step. On a single key a stroke counts for every limb that it takes.
// Extra taps count for none.
type LimbFigures struct {
	Limb limbs.Limb
	Counts
	Leaning, Spread Figure // ms
}

// PlaceFigures are the figures of one place in the beat, over all beats of
// one length. Extra taps count for none.
type PlaceFigures struct {
	Into meter.Rat // quarter notes after the beat
	Beat meter.Rat // length of the beat in quarter notes
	Word string    // as players count it: "on the beat", "e", "&", "a", "2nd of 3", ...
	Counts
	Leaning, Spread Figure // ms
}

// PassFigures are the figures of one pass.
type PassFigures struct {
	Pass int // from 1
	Counts
	Leaning, Spread Figure // ms
}

// Accents say how strongly accents, plain hits and ghosts were struck, 0 to 1,
// and whether the accents stand out.
type Accents struct {
	Accent, Hit, Ghost Figure // mean strength
	Louder             Figure // how much stronger accents are than hits
	StandOut           Figure // share of the accents that are stronger than the hits about them, 0 to 1
	OK                 bool   // the input tells strength, and accents were written and played
}

// LengthFigures say how long a written stroke was held that a player has to
// end: one held by a string voice, or one whose cymbal is choked or damped at
// a stop.
type LengthFigures struct {
	Voice     passage.Voice
	At        meter.Rat // quarter notes from the first downbeat of the whole passage
	Place     passage.Place
	WrittenMS float64
	Played    Figure // ms, over the passes
}

// GraceFigures say how the grace strokes before one written flam or drag came
// out, over the passes in which its main stroke was played.
type GraceFigures struct {
	Voice   passage.Voice
	At      meter.Rat // quarter notes from the first downbeat of the whole passage
	Place   passage.Place
	Kind    passage.Kind // Flam or Drag
	GraceMS Figure       // how long before its main stroke the first grace stroke came; of N of the figure passes
	Missing int          // passes without all of the grace strokes: it was played as a plain stroke, or a drag with one
	N       int          // passes with the main stroke
}

// BarFigures are the figures of one bar over all passes.
type BarFigures struct {
	Bar int // from 1, as in the whole passage
	Counts
	Leaning, Spread Figure // ms
}

// PositionFigures are the errors of one written stroke over all passes.
type PositionFigures struct {
	Position
	Hits   []Hit // in order of passes; a pass without one missed the stroke
	Passes int   // in how many passes the stroke was expected
	Mean   Figure
}

// A Hit is a written stroke that was played.
type Hit struct {
	Pass    int     // from 1
	ErrorMS float64 // early negative
	Tap     int     // index in the take's taps
}

// A Stray is a tap that matches no written stroke.
type Stray struct {
	Tap   int           // index in the take's taps
	Voice passage.Voice // as tapped
	Pass  int           // from 1; the first or last for taps before or after
	Bar   int           // from 1, as in the whole passage
	At    float64       // quarter notes from the first downbeat of the whole passage, for drawing
}

// TupletFigures say how one written tuplet came out, over all passes in which
// all its strokes were played.
type TupletFigures struct {
	Voice   passage.Voice
	At, End meter.Rat // quarter notes from the first downbeat of the whole passage
	Place   passage.Place
	Written meter.Tuplet
	Split   []int     // the written split between its strokes, such as 1 1 1
	Played  []float64 // mean shares of the span, adding up to 1; nil if never complete
	Nearest []int     // the nearest simple ratio, such as 3 3 2; nil with Played
	SpanMS  float64   // written length from its first stroke to its end
	AwayMS  float64   // root mean square distance of the played strokes from the written split
	N       int       // passes measured
}

// WrittenShares returns the written split as shares of the span, to be held
// against Played.
func (t TupletFigures) WrittenShares() []float64 {
	sum := 0
	for _, n := range t.Split {
		sum += n
	}
	out := make([]float64, len(t.Split))
	for i, n := range t.Split {
		out[i] = float64(n) / float64(sum)
	}
	return out
}

// Options of [Grade]. The zero value takes the latency of the take and
// [DefaultPassing], looks for a misreading and knows nothing of other steps.
type Options struct {
	LatencyMS Optional // instead of the take's
	Passing   *Passing
	Pedals    limbs.Pedals   // of the player's kick
	Steps     []passage.Step // the steps of the climb: those before Step may have been played instead
	Step      int            // the step that was to be played, from 1
	NoSearch  bool           // look for no misreading: the caller does so with NewSearch
}
