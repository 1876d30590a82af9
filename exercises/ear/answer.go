package ear

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"

	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// An Answer is what the player answered to the asks of a trial. What a trial
// does not ask for is left empty. Its JSON is versioned; see [ReadAnswer].
type Answer struct {
	Choice []int         // index of the choice, one for each Choose in order; -1 for none
	Place  passage.Place // Bar 0 for none
	Line   passage.Line  // what was written
	Taps   []grade.Tap   // seconds from the first downbeat of the sound, latency included
	// LatencyMS is that of device and input, to be subtracted from the taps.
	LatencyMS float64
}

// AnswerVersion is the number in an answer's field "answer".
const AnswerVersion = 1

// Limits of an answer as JSON. Our choice: more than anybody answers.
const (
	MaxAnswerBytes   = 1 << 20
	MaxAnswerChoices = 8
	MaxAnswerStrokes = 10_000
	maxChoice        = 1000
)

// The JSON of an answer: {"answer":1,"choice":[2],"place":{"bar":2,"beat":3},
// "line":{"voice":"kick","strokes":[{"at":"7/4","length":"1/4","kind":"hit"}]},
// "taps":[{"voice":"kick","seconds":0.5,"strength":0.8,"release":0.6}],
// "latency_ms":38.5}; all but the first may be missing.
type answerJSON struct {
	Answer    int        `json:"answer"`
	Choice    []int      `json:"choice,omitempty"`
	Place     *placeJSON `json:"place,omitempty"`
	Line      *lineJSON  `json:"line,omitempty"`
	Taps      []tapJSON  `json:"taps,omitempty"`
	LatencyMS float64    `json:"latency_ms,omitempty"`
}

type placeJSON struct {
	Bar  int        `json:"bar"`
	Beat int        `json:"beat"`
	Into *meter.Rat `json:"into,omitempty"`
}

type lineJSON struct {
	Voice   string       `json:"voice"`
	Strokes []strokeJSON `json:"strokes"`
}

type strokeJSON struct {
	At     meter.Rat `json:"at"`
	Length meter.Rat `json:"length"`
	Kind   string    `json:"kind"`
	Fret   uint8     `json:"fret,omitempty"`
	Bend   uint8     `json:"bend,omitempty"`
}

type tapJSON struct {
	Voice    string   `json:"voice,omitempty"`
	Seconds  float64  `json:"seconds"`
	Strength *float64 `json:"strength,omitempty"`
	Release  *float64 `json:"release,omitempty"`
}

// MarshalJSON writes what [ReadAnswer] reads. How a line is written in cells is
// left out: strokes are what was answered.
func (a Answer) MarshalJSON() ([]byte, error) {
	j := answerJSON{Answer: AnswerVersion, Choice: a.Choice, LatencyMS: a.LatencyMS}
	if a.Place.Bar != 0 {
		j.Place = &placeJSON{Bar: a.Place.Bar, Beat: a.Place.Beat}
		if into := a.Place.Into; into.Sign() != 0 {
			j.Place.Into = &into
		}
	}
	if a.Line.Voice.Valid() {
		j.Line = &lineJSON{Voice: a.Line.Voice.String(), Strokes: []strokeJSON{}}
		for _, s := range a.Line.Strokes {
			j.Line.Strokes = append(j.Line.Strokes, strokeJSON{s.At, s.Length, s.Kind.String(), s.Fret, s.Bend})
		}
	}
	for _, t := range a.Taps {
		j.Taps = append(j.Taps, tapJSON{voiceName(t.Voice), t.Seconds, pointer(t.Strength), pointer(t.Release)})
	}
	return json.Marshal(j)
}

func voiceName(v passage.Voice) string {
	if !v.Valid() {
		return ""
	}
	return v.String()
}

func pointer(o grade.Optional) *float64 {
	if !o.OK {
		return nil
	}
	return &o.Value
}

func optional(p *float64) grade.Optional {
	if p == nil {
		return grade.Optional{}
	}
	return grade.Some(*p)
}

// UnmarshalJSON reads what [ReadAnswer] reads.
func (a *Answer) UnmarshalJSON(text []byte) error {
	read, err := ReadAnswer(text)
	if err == nil {
		*a = read
	}
	return err
}

// ReadAnswer reads an answer. Unknown fields and versions, and what leaves the
// limits, are refused.
func ReadAnswer(text []byte) (Answer, error) {
	if len(text) > MaxAnswerBytes {
		return Answer{}, fmt.Errorf("the answer is longer than %d bytes; it is not one of this program", MaxAnswerBytes)
	}
	var j answerJSON
	if err := strictly(text, &j); err != nil {
		return Answer{}, fmt.Errorf("the answer cannot be read: %s; give it as it was written", err)
	}
	if j.Answer == 0 {
		return Answer{}, fmt.Errorf("the field \"answer\" is missing, which tells the version; add \"answer\":%d", AnswerVersion)
	}
	if j.Answer != AnswerVersion {
		return Answer{}, fmt.Errorf("version %d of an answer is not known; this program reads version %d", j.Answer, AnswerVersion)
	}
	return j.answer()
}

// strictly reads one JSON value, and nothing after it; unknown fields are
// refused.
func strictly(text []byte, to any) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(to); err != nil {
		return err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return errors.New("something follows it")
	}
	return nil
}

// answer checks the limits.
func (j answerJSON) answer() (Answer, error) {
	a := Answer{Choice: j.Choice, LatencyMS: j.LatencyMS}
	if len(j.Choice) > MaxAnswerChoices || len(j.Taps) > MaxAnswerStrokes {
		return Answer{}, errors.New("the answer has too many choices or taps; it is not one of this program")
	}
	for _, c := range j.Choice {
		if c < -1 || c > maxChoice {
			return Answer{}, fmt.Errorf("choice %d is none; count from 0, or -1 for none", c)
		}
	}
	if !(math.Abs(j.LatencyMS) <= grade.MaxLatencyMS) {
		return Answer{}, fmt.Errorf("a latency of %g ms is outside %g; measure it again", j.LatencyMS, grade.MaxLatencyMS)
	}
	if p := j.Place; p != nil {
		a.Place = passage.Place{Bar: p.Bar, Beat: p.Beat}
		if p.Into != nil {
			a.Place.Into = *p.Into
		}
		if p.Bar < 1 || p.Bar > passage.MaxBars || p.Beat < 1 || p.Beat > meter.MaxBeats || a.Place.Into.Sign() < 0 {
			return Answer{}, errors.New("the place is in no bar; give bar and beat from 1")
		}
	}
	var err error
	if j.Line != nil {
		if a.Line, err = j.Line.line(); err != nil {
			return Answer{}, err
		}
	}
	for _, t := range j.Taps {
		tap, err := t.tap()
		if err != nil {
			return Answer{}, err
		}
		a.Taps = append(a.Taps, tap)
	}
	return a, nil
}

func (j lineJSON) line() (passage.Line, error) {
	v, ok := passage.VoiceNamed(j.Voice)
	if !ok || len(j.Strokes) > MaxAnswerStrokes {
		return passage.Line{}, fmt.Errorf("there is no voice %.40q, or it has too many strokes; give it as it was written", j.Voice)
	}
	l := passage.Line{Voice: v}
	for _, s := range j.Strokes {
		k, ok := kindNamed(s.Kind)
		if !ok || s.At.Sign() < 0 || s.Length.Sign() <= 0 {
			return passage.Line{}, fmt.Errorf("a stroke %.40q at %s is none; give kind, place and length", s.Kind, s.At)
		}
		l.Strokes = append(l.Strokes, passage.Stroke{At: s.At, Length: s.Length, Kind: k, Fret: s.Fret, Bend: s.Bend})
	}
	return l, nil
}

func kindNamed(name string) (passage.Kind, bool) {
	for _, k := range passage.Kinds() {
		if k.String() == name {
			return k, true
		}
	}
	return passage.NoKind, false
}

func (j tapJSON) tap() (grade.Tap, error) {
	t := grade.Tap{Seconds: j.Seconds, Strength: optional(j.Strength), Release: optional(j.Release)}
	if j.Voice != "" {
		v, ok := passage.VoiceNamed(j.Voice)
		if !ok {
			return t, fmt.Errorf("there is no voice %.40q; leave it out where the input cannot tell", j.Voice)
		}
		t.Voice = v
	}
	if !(math.Abs(t.Seconds) <= grade.MaxSeconds) {
		return t, fmt.Errorf("a tap at %g seconds is outside %g; give seconds from the first downbeat", t.Seconds, grade.MaxSeconds)
	}
	return t, nil
}
