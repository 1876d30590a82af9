package app

import (
	"strings"

	"stampmill/app/strip"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Picture is the strip as it is shown: its drawing and its geometry.
type Picture struct {
	SVG    string
	Layout strip.Layout
	Tabs   []string          // the dots of each bar
	Pair   strip.PairPicture // a change beside what it changes
	Marks  string            // what lies under the text field
	Bar    string            // on a phone, the text of the bar that the strip shows
	Parts  benchParts

	Progress progressPicture
	Listen   listenPicture

	look look
	tabs tabsLook
	pair pairLook
}

// before returns the passage that the step was made from, and whether there is
// one: the step it names, or the one before it.
func (s State) before() (passage.Passage, bool) {
	steps := s.entry().Climb.Steps
	if from := s.step().From; from != "" {
		for _, st := range steps {
			if st.Title == from {
				return st.Passage, true
			}
		}
	}
	if s.Step < 1 || s.Step > len(steps) {
		return passage.Passage{}, false
	}
	return steps[s.Step-1].Passage, true
}

// fresh returns what the step changed.
func (s State) fresh() []passage.Span {
	before, ok := s.before()
	if !ok {
		return nil
	}
	return passage.Diff(before, s.written())
}

// newBars returns the bars that the step changed, as a range; zero for none.
func (s State) newBars() Range {
	var r Range
	for _, span := range s.fresh() {
		bar := s.written().Place(span.From).Bar
		if r.First == 0 {
			r.First = bar
		}
		r.Last = bar
	}
	return r
}

// With many voices, or in a low window, the rows stand closer, so that the
// words under the strip stay in the window; our choice.
const (
	manyRows = 6
	lowRow   = 28

	// CSS pixels, as in the style. In a narrow window the settings take another
	// line.
	lowHeight    = 760
	narrowWidth  = 1180
	narrowHeight = 900
)

// row returns the height of a row of the strip; 0 for the usual one.
func (s State) row() float64 {
	low := s.Height > 0 && (s.Height < lowHeight || s.Width < narrowWidth && s.Height < narrowHeight)
	if !s.phone() && (low || len(s.written().Lines) >= manyRows) {
		return lowRow
	}
	return 0
}

// drawn returns the whole passage of the step for drawing: a verdict at the
// tempo that was played, else at the chosen one. Where a bar would be outside
// of the tempi it is as written.
func (s State) drawn() passage.Passage {
	tempo := s.Tempo
	if s.showsVerdict() {
		tempo = s.Verdict.Tempo
	}
	p, err := s.written().AtTempo(meter.Int(int64(tempo)))
	if err != nil {
		return s.written()
	}
	return p
}

// sheet says what the strip shows on the Practise page.
func (s State) sheet() strip.Sheet {
	first, last := s.window()
	sheet := strip.Sheet{
		Passage: s.drawn(), First: first, Last: last, Width: s.stripWidth(), Compact: s.phone(),
		Labels: strip.LabelsMute, Muted: s.silent(), Counts: true, New: s.fresh(),
		Playhead: true, Lane: true, Part: s.part().voices(s.written()), Row: s.row(),
	}
	if s.Sticking {
		sheet.Sticking = signsOf(sheet.Passage, s.Settings.pedals())
	}
	from, to := s.bars()
	sheet.Loop = [2]int{from, to}
	starts := sheet.Passage.Starts()
	if first >= 1 && first <= len(starts) {
		sheet.HeadAt = starts[first-1].Float()
	}
	switch {
	case s.showsVerdict():
		s.Verdict.mark(&sheet)
	case s.Phase == Idle:
		sheet.Message = "Your hits land here, each leaning the way you lean"
		if s.stripWidth() < 620 { // the sentence needs about 360 beside the names
			sheet.Message = "Your hits land here"
		}
	}
	return sheet
}

// mark puts the hits of a take into the sheet. Without a known delay they are
// drawn about their own middle: how they differ is then known, but not how
// early or late they are.
func (v *Verdict) mark(sheet *strip.Sheet) {
	sheet.Part, sheet.OneKey = v.Take.Part, v.Part.OneKey
	sheet.Plain = !v.Take.Known
	middle := 0.0
	if sheet.Plain {
		middle = v.middle()
	}
	sheet.Playhead = false
	for _, pos := range v.Positions {
		hit := strip.Hit{Voice: firstVoice(pos.Voices.Voices()), At: pos.At, Missed: pos.Passes - len(pos.Hits)}
		for _, h := range pos.Hits {
			hit.Errors = append(hit.Errors, h.ErrorMS-middle)
		}
		sheet.Hits = append(sheet.Hits, hit)
	}
	for _, stray := range v.Strays {
		at := stray.At
		if sheet.Plain {
			at = v.Take.quarters(v.Take.Taps[stray.Tap].Seconds - middle/1000)
		}
		sheet.Extras = append(sheet.Extras, strip.Extra{Voice: stray.Voice, At: at})
	}
}

// middle returns the mean error of all hits, in ms.
func (v *Verdict) middle() float64 {
	sum, n := 0.0, 0
	for _, pos := range v.Positions {
		for _, h := range pos.Hits {
			sum, n = sum+h.ErrorMS, n+1
		}
	}
	return sum / float64(max(n, 1))
}

func firstVoice(voices []passage.Voice) passage.Voice {
	if len(voices) == 0 {
		return passage.NoVoice
	}
	return voices[0]
}

// front is the strip of the first visit: two bars of the first step, names
// only.
func (s State) front() strip.Sheet {
	p := s.written()
	width := float64(1144)
	if s.Width > 0 {
		width = float64(min(s.Width, 1280)) - 136
	}
	if s.phone() {
		width = float64(s.Width) - 32
	}
	last := min(2, len(p.Bars))
	if s.phone() {
		last = 1
	}
	return strip.Sheet{
		Passage: p, First: 1, Last: last, Width: width, Compact: s.phone(), Row: 46, Labels: strip.LabelsPlain,
		Playhead: s.Phase == Hearing,
	}
}

// draw makes the picture of the page shown.
func draw(s State) Picture { return redraw(Picture{}, s) }

// redraw makes the picture anew as far as it changed.
func redraw(old Picture, s State) Picture {
	pic := old
	if l := lookOf(s); l != old.look {
		pic = drawStrip(old, s)
		pic.look = l
	}
	pic.Parts = partsOf(old.Parts, s, pic)
	pic.Progress = progressPictureOf(old.Progress, s)
	pic.Listen = listenPictureOf(old.Listen, s)
	return pic
}

func drawStrip(old Picture, s State) Picture {
	if s.Page == "/setup/" || s.Page == progressPath || s.Page == listenPath || len(s.Library) == 0 || s.Page == writePath && s.Write.ID == "" {
		return Picture{}
	}
	sheet := s.front()
	switch s.Page {
	case "/practise/":
		sheet = s.sheet()
	case writePath:
		sheet = s.writeSheet()
	}
	pic := Picture{SVG: sheet.SVG(), Layout: sheet.Layout(), Tabs: old.Tabs, tabs: s.tabsLook(), Pair: old.Pair, pair: s.pairLook()}
	if pic.tabs != old.tabs {
		pic.Tabs = nil
		for bar := range s.written().Bars {
			pic.Tabs = append(pic.Tabs, strip.Overview(s.written(), bar+1, s.overviewWidth(), s.part().voices(s.written())...))
		}
	}
	if pic.pair != old.pair {
		pic.Pair = s.pair()
	}
	if s.writing() {
		pic.Marks = underText(s)
		if s.phone() {
			pic.Bar = barText(s.Write.Draft.Passage(), pic.Layout.First, pic.Layout, s.Write.Draft.Scope())
		}
	}
	return pic
}

// A tabsLook is what the dots of all bars depend on. On the Write page they
// follow when the writing pauses.
type tabsLook struct {
	page, climb, part string
	step, bars        int
	settled           int
	width             float64
}

func (s State) tabsLook() tabsLook {
	l := tabsLook{page: s.Page, step: s.Step, bars: len(s.written().Bars), width: s.overviewWidth()}
	if s.writing() {
		l.climb, l.step, l.settled = s.Write.ID, s.Write.Draft.Step(), s.Write.Settled
		return l
	}
	l.climb, l.part = s.entry().Name, s.part().String()
	return l
}

// A pairLook is what a change beside the bar as it is depends on. When the text
// changes no change is chosen any more.
type pairLook struct {
	id, chosen string
	width      float64
}

func (s State) pairLook() pairLook {
	if !s.writing() || s.Write.Chosen == "" {
		return pairLook{}
	}
	return pairLook{s.Write.ID, s.Write.Chosen, s.stripWidth()}
}

// overviewWidth is how wide the dots of a bar are in its tab, beside or under
// the bar's name.
func (s State) overviewWidth() float64 {
	n := float64(max(len(s.written().Bars), 1))
	if s.phone() {
		return max((s.stripWidth()-24-4*(n-1))/n, 68) - 18
	}
	return min(max((s.stripWidth()-112-4*(n-1))/n-90, 50), 320)
}

// A look is everything that the picture depends on: two states with the same
// look have the same picture.
type look struct {
	page, climb   string
	step, tempo   int
	loop          Range
	first, last   int
	width, row    float64
	part, silent  string
	idle, hearing bool
	verdict       *Verdict
	edits         int // of the draft, on the Write page
	pair          pairLook
	sticking      int // 1 and the pedals
}

func lookOf(s State) look {
	l := look{page: s.Page, width: s.stripWidth(), row: s.row(), idle: s.Phase == Idle, hearing: s.Phase == Hearing}
	l.first, l.last = s.window()
	if s.Sticking {
		l.sticking = 1 + int(s.Settings.pedals())
	}
	if s.Page == writePath {
		l.climb, l.edits, l.pair = s.Write.ID, s.Write.Edits, s.pairLook()
		return l
	}
	l.climb, l.step, l.tempo, l.loop, l.part, l.verdict = s.entry().Name, s.Step, s.Tempo, s.Loop, s.part().String(), s.Verdict
	var silent []string
	for _, v := range s.silent() {
		silent = append(silent, v.String())
	}
	l.silent = strings.Join(silent, " ")
	return l
}
