package ear

import (
	"encoding/json"
	"fmt"
	"hash/fnv"
	"io"
	"math"
	"strconv"
	"time"

	"stampmill/exercises/passage"
)

// Marker is the version of the marking, raised whenever an answer may be marked
// otherwise. What is kept of a mark is made anew where this has grown.
const Marker = 1

// A Done is an answered trial as it is kept: what makes the trial again, what
// was answered, and when. All of it is raw but Tried, which follows from the
// rest; see [Done.Again].
type Done struct {
	Task  string // name
	Climb string // of the source
	Step  string // title of the source
	Text  string // names the text of the source, for whoever keeps texts
	Seed  uint64
	D     float64 // difficulty asked for
	Sum   string  // of the trial, see [Trial.Sum]

	Answer Answer
	At     time.Time     // of the answer
	Took   time.Duration // from the first sound to the answer
	Heard  []int         // how often each sound was played

	Tried Tried
	By    int // the [Marker] that made Tried
}

// Done returns what is kept of a trial with an answer and its result. Text, At,
// Took and Heard are the caller's to fill in.
func (t Trial) Done(a Answer, r Result) Done {
	return Done{
		Task: t.Task.Name, Climb: t.Source.Climb, Step: t.Source.Title, Seed: t.Seed, D: t.D, Sum: t.Sum(),
		Answer: a, Tried: t.Tried(r), By: Marker,
	}
}

// Trial makes the trial again from its source. It is an error where another one
// comes out than was asked, because the source or the making has changed.
func (d Done) Trial(s Source) (Trial, error) {
	task, ok := Named(d.Task)
	if !ok {
		return Trial{}, fmt.Errorf("there is no task %.40q; its answers are kept as they are", d.Task)
	}
	trial, err := task.Trial(s, d.D, d.Seed)
	if err == nil && trial.Sum() != d.Sum {
		err = fmt.Errorf("another question is made today than was asked; the answer is kept as it is")
	}
	return trial, err
}

// Again marks the answer anew, by the [Marker] of today. False, and all as it
// was, where the trial cannot be made again.
func (d Done) Again(s Source) (Done, bool) {
	trial, err := d.Trial(s)
	if err != nil {
		return d, false
	}
	r, err := trial.Mark(d.Answer)
	if err != nil {
		return d, false
	}
	d.Tried, d.By = trial.Tried(r), Marker
	return d, true
}

// Sum returns 16 digits that tell a trial from others: what sounds, what is
// asked and what is right. Two trials with one sum are marked alike.
func (t Trial) Sum() string {
	h := fnv.New64a()
	for _, s := range t.Sounds {
		fmt.Fprintln(h, s.Label, s.CountIn, s.Passes, s.Click, s.Silence, s.Mute)
		sumPassage(h, s.Passage)
	}
	for _, a := range t.Asks {
		fmt.Fprintln(h, a.Kind, a.Places, a.Voices, a.Kinds)
		for _, c := range a.Choices {
			fmt.Fprintln(h, c.Words)
		}
		sumPassage(h, a.Passage)
	}
	fmt.Fprintln(h, t.truth.choice, t.truth.from, t.truth.to)
	return strconv.FormatUint(h.Sum64()|1<<63, 16)
}

// DoneVersion is the number in the field "heard" of a Done as JSON.
const DoneVersion = 1

// Limits of a Done as JSON. Our choice: more than any is.
const (
	MaxDoneBytes = MaxAnswerBytes + 1<<14
	maxNameBytes = 256
	maxSounds    = 8
	maxHeard     = 1_000_000
	maxTook      = 24 * time.Hour
)

// The JSON of a Done: {"heard":1,"task":"same","climb":"headframe","step":
// "One triplet","text":"...","seed":"17","d":8,"sum":"...","answer":{...},
// "at":"2026-01-31T18:00:00Z","took_ms":12000,"times":[2,3],
// "tried":{"d":8,"made":7.5,"chance":0.5,"yes":true,"right":true},"by":1}.
// The seed is a string because it has more digits than numbers elsewhere keep.
type doneJSON struct {
	Version int       `json:"heard"`
	Task    string    `json:"task"`
	Climb   string    `json:"climb,omitempty"`
	Step    string    `json:"step,omitempty"`
	Text    string    `json:"text,omitempty"`
	Seed    uint64    `json:"seed,string"`
	D       float64   `json:"d"`
	Sum     string    `json:"sum,omitempty"`
	Answer  Answer    `json:"answer"`
	At      time.Time `json:"at"`
	TookMS  int64     `json:"took_ms,omitempty"`
	Times   []int     `json:"times,omitempty"`
	Tried   triedJSON `json:"tried"`
	By      int       `json:"by"`
}

type triedJSON struct {
	D      float64 `json:"d"`
	Made   float64 `json:"made,omitempty"`
	Chance float64 `json:"chance,omitempty"`
	Yes    bool    `json:"yes,omitempty"`
	Right  bool    `json:"right"`
}

// MarshalJSON writes what [ReadDone] reads.
func (d Done) MarshalJSON() ([]byte, error) {
	return json.Marshal(doneJSON{
		DoneVersion, d.Task, d.Climb, d.Step, d.Text, d.Seed, d.D, d.Sum, d.Answer, d.At,
		d.Took.Milliseconds(), d.Heard, triedJSON(d.Tried), d.By,
	})
}

// UnmarshalJSON reads what [ReadDone] reads.
func (d *Done) UnmarshalJSON(text []byte) error {
	read, err := ReadDone(text)
	if err == nil {
		*d = read
	}
	return err
}

// ReadDone reads an answered trial. Unknown fields and versions, and what
// leaves the limits, are refused; names of tasks need not be known.
func ReadDone(text []byte) (Done, error) {
	if len(text) > MaxDoneBytes {
		return Done{}, fmt.Errorf("the record is longer than %d bytes; it is not one of this program", MaxDoneBytes)
	}
	var version struct {
		Heard int `json:"heard"`
	}
	if err := json.Unmarshal(text, &version); err != nil {
		return Done{}, fmt.Errorf("the record cannot be read: %s; give it as it was written", err)
	}
	if version.Heard != DoneVersion {
		return Done{}, fmt.Errorf("version %d of an answered question is not known, this program reads version %d; load the program again", version.Heard, DoneVersion)
	}
	var j doneJSON
	if err := strictly(text, &j); err != nil {
		return Done{}, fmt.Errorf("the record cannot be read: %s; give it as it was written", err)
	}
	if err := j.check(); err != nil {
		return Done{}, err
	}
	return Done{
		j.Task, j.Climb, j.Step, j.Text, j.Seed, j.D, j.Sum, j.Answer, j.At,
		time.Duration(j.TookMS) * time.Millisecond, j.Times, Tried(j.Tried), j.By,
	}, nil
}

// check refuses what leaves the limits.
func (j doneJSON) check() error {
	for _, name := range []string{j.Task, j.Climb, j.Step, j.Text, j.Sum} {
		if len(name) > maxNameBytes {
			return fmt.Errorf("a name is longer than %d bytes; it is not one of this program", maxNameBytes)
		}
	}
	for _, x := range []float64{j.D, j.Tried.D, j.Tried.Made, j.Tried.Chance} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("%g is no difficulty; give a number", x)
		}
	}
	ok := j.Task != "" && j.By >= 0 && j.TookMS >= 0 && j.TookMS <= maxTook.Milliseconds() && len(j.Times) <= maxSounds
	for _, n := range j.Times {
		ok = ok && n >= 0 && n <= maxHeard
	}
	if !ok {
		return fmt.Errorf("the record lacks its task, or a number of it is out of range; give it as it was written")
	}
	return nil
}

// sumPassage writes what is heard of a passage, exactly.
func sumPassage(w io.Writer, p passage.Passage) {
	for _, b := range p.Bars {
		fmt.Fprintln(w, b.Metre, b.Tempo.BPM, b.Tempo.Unit)
	}
	fmt.Fprintln(w, int(p.Tuning))
	for _, l := range p.Lines {
		fmt.Fprint(w, l.Voice)
		for _, s := range l.Strokes {
			fmt.Fprint(w, " ", s.At, s.Length, s.Kind, s.Fret, s.Bend)
		}
		fmt.Fprintln(w)
	}
}
