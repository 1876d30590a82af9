// Package strip draws a passage as people read it here: time to scale from
// left to right, one row a voice, and under it where the player's hits fell.
//
// The one idea: a [Sheet] says what is to be seen, and everything else is a
// pure function of it. [Sheet.Layout] gives the geometry, [Sheet.SVG] the
// picture, [Sheet.Describe] the same in words. [Layout.CellAt] finds what a
// finger points at, and [Speak] says it; [Pair.Draw] puts the same bars before
// and after a change beside each other, [Minis] the same in a few lines, and
// [Overview] draws one bar in a line of dots. With a [Heard] a sheet is covered
// until it may be seen. Only the shown bars are looked at. Lengths are user units of the
// SVG: CSS pixels when the picture is as wide as Sheet.Width. Time on the page
// is seconds as the passage's own tempi have them, so set the tempo that is
// played ([passage.Passage.AtTempo]) before drawing milliseconds.
//
// The picture holds no style and no colour: the page's CSS gives both by class.
//
//	sm-strip                 the svg element; with sm-compact: the phone's form
//	sm-name sm-more          "bar 3"; its metre and tempo where they change
//	sm-number sm-one         beat numbers; the first of the bar
//	sm-barline sm-beat       upright lines; sm-rowline the line of a row
//	sm-loop                  bracket over the bars that are looped
//	sm-label sm-square       voice name and its square; with sm-off: silent
//	sm-silent                the word
//	sm-ink sm-mark sm-ring   written marks: filled, drawn with a line, thin line
//	sm-hollow                written marks with the ground inside
//	sm-count sm-strong       counting words; those on a beat
//	sm-bracket sm-ratio      tuplet bracket and its ratio
//	sm-band sm-hatch sm-edge "new here", "selected": ground, hatching, outline
//	sm-tag sm-word           its tag: ground and word
//	sm-problem sm-leader     dashed box of a problem; dotted line to its tag
//	sm-fault                 its tag in the ruler
//	sm-cursor sm-gap         frame of the cell with the cursor; the gap around it
//	sm-stick                 letters of hands, feet and picking under the strokes
//	sm-you sm-hit            the player's row: name, upright marks
//	sm-scale                 dotted lines at both ends of the timing scale
//	sm-wash sm-true          tight band and its middle
//	sm-early sm-tight sm-late judgements: shapes and words are filled
//	sm-lean                  line from the written place to the mark (stroke)
//	sm-far                   chevron of a mark beyond the scale (stroke)
//	sm-plain                 with sm-lean or a dot: not judged
//	sm-each                  one small dot a pass
//	sm-ms sm-say             number and word at a mark
//	sm-miss sm-extra         dashed ring, open cross
//	sm-message               words in the empty lane
//	sm-head                  playhead
//	sm-cover sm-slant        stone over the rows and its lines; sm-covered its words
//	sm-tick                  beats over it
//	sm-was                   dashed ring where a stroke stood before
//	sm-heard sm-arrow        what was to be heard, under the rows; from old to new
//	sm-mini                  with sm-strip: svg of [Minis]
//	sm-overview              svg of [Overview]; inside it sm-rowline, sm-ink
package strip

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// The timing scale, in milliseconds.
const (
	TightMS = 10 // half the tight band; our choice
	ScaleMS = 40 // where the scale ends; marks beyond it are pinned there. Our choice
)

// Labels says where the names of the voices stand.
type Labels uint8

// The places of names.
const (
	LabelsNone  Labels = iota // the column stays empty
	LabelsPlain               // names only
	LabelsMute                // square and name, hollow and "silent" for muted voices
)

// A Sheet is what is to be seen. The zero value of each optional field leaves
// its part out.
type Sheet struct {
	ID          string // prefix of the ids inside the picture; "" means "strip". Unique on a page
	Passage     passage.Passage
	First, Last int     // bars shown, from 1; 0 means the first and the last of the passage
	Width       float64 // whole width; kept between MinWidth and MaxWidth
	Row         float64 // height of a row; 0 means 36, compact 32, with more than 8 rows 28, and 6 more for Sticking; kept between 28 and 112
	Compact     bool    // narrow column of names, tighter rows: phones
	Small       bool    // for a look beside others: no ruler, and without Labels no column of names
	Labels      Labels
	Muted       []passage.Voice
	Counts      bool           // counting words under the rows
	New         []passage.Span // cells that the step changed
	Loop        [2]int         // first and last bar of the loop; zero: none
	Playhead    bool           // with a playhead, at HeadAt
	HeadAt      float64

	Selected []passage.Span // cells that a change will take
	Cursor   Cursor         // the cell with the cursor
	Problems []Problem
	Sticking []Sign // who or what plays a stroke
	TagRoom  bool   // keeps room for a tag over the first row, so that nothing moves when one comes

	Lane    bool            // the player's row and the timing lane
	Part    []passage.Voice // what the player plays: the name of the row
	OneKey  bool            // all of it on one key: hits have no voice
	Hits    []Hit
	Extras  []Extra
	Plain   bool   // the delay is not known: Errors are from the player's own middle, drawn as dots, not judged
	Message string // words in the lane, such as "Your hits land here"

	Heard *Heard // what is asked about it by ear; nil for nothing

	seconds float64 // that the width holds at least, for pictures to one scale
}

// A Cursor is the cell that keys act on, in quarter notes; the zero value is
// none.
type Cursor struct {
	Voice    passage.Voice
	From, To meter.Rat
}

// CursorOn returns the cursor on a cell.
func CursorOn(c passage.Cell) Cursor { return Cursor{c.Voice, c.At, c.End()} }

// A Problem is a stretch that is boxed, in all rows where it names no voices;
// one without length is widened to its beat.
type Problem struct {
	passage.Span
	Tag string // in the ruler: "problem, line 3"; what is behind the comma stands alone where room is short
}

// A Sign is a word under a stroke, such as R, L, or ↓.
type Sign struct {
	Voice passage.Voice
	At    meter.Rat // of the stroke, in quarter notes
	Text  string    // one to three letters
}

// A Hit is how one written stroke was played, over all passes.
type Hit struct {
	Voice  passage.Voice
	At     meter.Rat // the written place, in quarter notes
	Errors []float64 // ms, early is negative; one for each pass in which it was played
	Missed int       // passes in which it was not
}

// An Extra is a tap that belongs to no written stroke.
type Extra struct {
	Voice passage.Voice // may be NoVoice
	At    float64       // where it fell, in quarter notes
}

// Mean returns the mean error in ms; false when the stroke was never played.
func (h Hit) Mean() (float64, bool) {
	sum, n := 0.0, 0
	for _, e := range h.Errors {
		if e-e == 0 { // neither infinite nor NaN
			sum, n = sum+e, n+1
		}
	}
	if n == 0 {
		return 0, false
	}
	return sum / float64(n), true
}

// A Judgement is what is said of an error.
type Judgement uint8

// The judgements.
const (
	Tight Judgement = iota
	Early
	Late
)

// Judge returns the judgement of an error in ms: tight within ±[TightMS].
func Judge(ms float64) Judgement {
	switch {
	case ms < -TightMS:
		return Early
	case ms > TightMS:
		return Late
	}
	return Tight
}

// String returns the word of the judgement.
func (j Judgement) String() string { return [...]string{"tight", "early", "late"}[j] }
