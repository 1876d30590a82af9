package grade

import (
	"encoding/json"
	"math"

	"stampmill/exercises/passage"
)

// MarshalJSON writes the verdict as one object:
//
//	expected, matched, missed, extra     counts of the whole take
//	f25, f50                             F-measures, 0 to 1
//	leaning_ms, spread_ms, drift_bpm     numbers, null where they cannot be told
//	tuplets     [{at, written, played, nearest}]; played is [] and nearest null where it was never complete
//	misreading  {change, sentence, odds, also} or null
//	sentences   one to three
//	passed      true or false
//	grader      version of the grading, a whole number
//	next        what to do next, in words
//	figures     {leaning_ms, spread_ms, drift_bpm, lag1, clock_ms, motor_ms, flam_ms, drag_ms}, each a figure
//	by_voice, by_limb, by_place, by_bar, by_pass
//	            [{voice | limb | word, into, beat | bar | pass, expected, matched, missed, extra, leaning_ms, spread_ms}],
//	            the last two figures; into and beat are quarter notes such as "1/3"
//	strokes     every written stroke of one pass: [{at, voices, passes, hits, mean_ms}], the last a figure
//	accents     {accent, hit, ghost, louder, stand_out}, each a figure, or null where strengths or accents are wanting
//	lengths     [{voice, at, written_ms, played_ms}], the last a figure
//	graces      [{voice, at, kind, n, missing, before_ms}], the last a figure
//
// A figure is {value, low, high, n} with its 95 % interval and the number of
// strokes (of clock_ms and motor_ms: intervals) it rests on, or {n, why}, where
// why is "not enough strokes" or "not estimable". Places are bar and beat, such
// as "2.3+1/8". Milliseconds are rounded to 0.001, all other numbers to 0.0001.
func (v Verdict) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Expected   int           `json:"expected"`
		Matched    int           `json:"matched"`
		Missed     int           `json:"missed"`
		Extra      int           `json:"extra"`
		F25        float64       `json:"f25"`
		F50        float64       `json:"f50"`
		LeaningMS  *float64      `json:"leaning_ms"`
		SpreadMS   *float64      `json:"spread_ms"`
		DriftBPM   *float64      `json:"drift_bpm"`
		Tuplets    []tupletJSON  `json:"tuplets"`
		Misreading *Misreading   `json:"misreading"`
		Sentences  []string      `json:"sentences"`
		Passed     bool          `json:"passed"`
		Grader     int           `json:"grader"`
		Next       string        `json:"next"`
		Figures    figuresJSON   `json:"figures"`
		ByVoice    []groupJSON   `json:"by_voice"`
		ByLimb     []groupJSON   `json:"by_limb"`
		ByPlace    []groupJSON   `json:"by_place"`
		ByBar      []groupJSON   `json:"by_bar"`
		ByPass     []groupJSON   `json:"by_pass"`
		Strokes    []strokeJSON  `json:"strokes"`
		Accents    *accentsJSON  `json:"accents"`
		Lengths    []lengthsJSON `json:"lengths"`
		Graces     []gracesJSON  `json:"graces"`
	}{
		v.Expected, v.Matched, v.Missed, v.Extra, v.F25, v.F50,
		v.Leaning.known(1e3), v.Spread.known(1e3), v.Drift.known(1e4),
		v.tupletsJSON(), v.Misreading, append([]string{}, v.Sentences...), v.Passed,
		Grader, v.Next.String(), v.figuresJSON(),
		v.voicesJSON(), v.limbsJSON(), v.placesJSON(), v.barsJSON(), v.passesJSON(),
		v.strokesJSON(), v.Accents.json(), v.lengthsJSON(), v.gracesJSON(),
	})
}

// known returns the rounded value, nil where it cannot be told.
func (f Figure) known(per float64) *float64 {
	if !f.OK {
		return nil
	}
	x := rounded(f.Value, per)
	return &x
}

// rounded returns x rounded to a whole multiple of 1/per, never minus zero.
func rounded(x, per float64) float64 { return math.Round(x*per)/per + 0 }

// A figureJSON is a figure as it is written.
type figureJSON struct {
	Value *float64 `json:"value,omitempty"`
	Low   *float64 `json:"low,omitempty"`
	High  *float64 `json:"high,omitempty"`
	N     int      `json:"n"`
	Why   string   `json:"why,omitempty"`
}

// json returns the figure rounded to a whole multiple of 1/per.
func (f Figure) json(per float64) figureJSON {
	if !f.OK {
		return figureJSON{N: f.N, Why: f.Why()}
	}
	value, low, high := rounded(f.Value, per), rounded(f.Low, per), rounded(f.High, per)
	return figureJSON{Value: &value, Low: &low, High: &high, N: f.N}
}

// ms returns a figure in milliseconds, to 0.001.
func (f Figure) ms() figureJSON { return f.json(1e3) }

type figuresJSON struct {
	Leaning figureJSON `json:"leaning_ms"`
	Spread  figureJSON `json:"spread_ms"`
	Drift   figureJSON `json:"drift_bpm"`
	Lag1    figureJSON `json:"lag1"`
	Clock   figureJSON `json:"clock_ms"`
	Motor   figureJSON `json:"motor_ms"`
	Flam    figureJSON `json:"flam_ms"`
	Drag    figureJSON `json:"drag_ms"`
}

func (v Verdict) figuresJSON() figuresJSON {
	return figuresJSON{
		v.Leaning.ms(), v.Spread.ms(), v.Drift.json(1e4), v.Lag1.json(1e4),
		v.Clock.ms(), v.Motor.ms(), v.Flam.ms(), v.Drag.ms(),
	}
}

type tupletJSON struct {
	At      string    `json:"at"`
	Written string    `json:"written"`
	Played  []float64 `json:"played"`
	Nearest *string   `json:"nearest"`
}

func (v Verdict) tupletsJSON() []tupletJSON {
	out := make([]tupletJSON, len(v.Tuplets))
	for i, t := range v.Tuplets {
		out[i] = tupletJSON{At: t.Place.String(), Written: t.Written.String(), Played: make([]float64, len(t.Played))}
		for k, share := range t.Played {
			out[i].Played[k] = rounded(share, 1e4)
		}
		if t.N > 0 {
			nearest := ratio(t.Nearest)
			out[i].Nearest = &nearest
		}
	}
	return out
}

// A groupJSON is the figures of one voice, limb, place in the beat, bar or
// pass.
type groupJSON struct {
	Voice    string     `json:"voice,omitempty"`
	Limb     string     `json:"limb,omitempty"`
	Word     string     `json:"word,omitempty"`
	Into     string     `json:"into,omitempty"`
	Beat     string     `json:"beat,omitempty"`
	Bar      int        `json:"bar,omitempty"`
	Pass     int        `json:"pass,omitempty"`
	Expected int        `json:"expected"`
	Matched  int        `json:"matched"`
	Missed   int        `json:"missed"`
	Extra    *int       `json:"extra,omitempty"` // absent where extra taps belong to no group
	Leaning  figureJSON `json:"leaning_ms"`
	Spread   figureJSON `json:"spread_ms"`
}

func newGroupJSON(c Counts, leaning, spread Figure, extra bool) groupJSON {
	g := groupJSON{Expected: c.Expected, Matched: c.Matched, Missed: c.Missed, Leaning: leaning.ms(), Spread: spread.ms()}
	if extra {
		g.Extra = &c.Extra
	}
	return g
}

func (v Verdict) voicesJSON() []groupJSON {
	out := make([]groupJSON, len(v.ByVoice))
	for i, f := range v.ByVoice {
		out[i] = newGroupJSON(f.Counts, f.Leaning, f.Spread, true)
		out[i].Voice = f.Voice.String()
	}
	return out
}

func (v Verdict) limbsJSON() []groupJSON {
	out := make([]groupJSON, len(v.ByLimb))
	for i, f := range v.ByLimb {
		out[i] = newGroupJSON(f.Counts, f.Leaning, f.Spread, false)
		out[i].Limb = f.Limb.String()
	}
	return out
}

func (v Verdict) placesJSON() []groupJSON {
	out := make([]groupJSON, len(v.ByPlace))
	for i, f := range v.ByPlace {
		out[i] = newGroupJSON(f.Counts, f.Leaning, f.Spread, false)
		out[i].Word, out[i].Into, out[i].Beat = f.Word, f.Into.String(), f.Beat.String()
	}
	return out
}

func (v Verdict) barsJSON() []groupJSON {
	out := make([]groupJSON, len(v.ByBar))
	for i, f := range v.ByBar {
		out[i] = newGroupJSON(f.Counts, f.Leaning, f.Spread, true)
		out[i].Bar = f.Bar
	}
	return out
}

func (v Verdict) passesJSON() []groupJSON {
	out := make([]groupJSON, len(v.ByPass))
	for i, f := range v.ByPass {
		out[i] = newGroupJSON(f.Counts, f.Leaning, f.Spread, true)
		out[i].Pass = f.Pass
	}
	return out
}

type strokeJSON struct {
	At     string          `json:"at"`
	Voices []passage.Voice `json:"voices"`
	Passes int             `json:"passes"`
	Hits   int             `json:"hits"`
	Mean   figureJSON      `json:"mean_ms"`
}

func (v Verdict) strokesJSON() []strokeJSON {
	out := make([]strokeJSON, len(v.Positions))
	for i, p := range v.Positions {
		out[i] = strokeJSON{p.Place.String(), p.Voices.Voices(), p.Passes, len(p.Hits), p.Mean.ms()}
	}
	return out
}

type accentsJSON struct {
	Accent   figureJSON `json:"accent"`
	Hit      figureJSON `json:"hit"`
	Ghost    figureJSON `json:"ghost"`
	Louder   figureJSON `json:"louder"`
	StandOut figureJSON `json:"stand_out"`
}

func (a Accents) json() *accentsJSON {
	if !a.OK {
		return nil
	}
	return &accentsJSON{a.Accent.json(1e4), a.Hit.json(1e4), a.Ghost.json(1e4), a.Louder.json(1e4), a.StandOut.json(1e4)}
}

type lengthsJSON struct {
	Voice     string     `json:"voice"`
	At        string     `json:"at"`
	WrittenMS float64    `json:"written_ms"`
	Played    figureJSON `json:"played_ms"`
}

func (v Verdict) lengthsJSON() []lengthsJSON {
	out := make([]lengthsJSON, len(v.Lengths))
	for i, f := range v.Lengths {
		out[i] = lengthsJSON{f.Voice.String(), f.Place.String(), rounded(f.WrittenMS, 1e3), f.Played.ms()}
	}
	return out
}

type gracesJSON struct {
	Voice   string     `json:"voice"`
	At      string     `json:"at"`
	Kind    string     `json:"kind"`
	N       int        `json:"n"`
	Missing int        `json:"missing"`
	Before  figureJSON `json:"before_ms"`
}

func (v Verdict) gracesJSON() []gracesJSON {
	out := make([]gracesJSON, len(v.Graces))
	for i, f := range v.Graces {
		out[i] = gracesJSON{f.Voice.String(), f.Place.String(), f.Kind.String(), f.N, f.Missing, f.GraceMS.ms()}
	}
	return out
}
