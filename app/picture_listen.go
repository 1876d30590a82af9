package app

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"stampmill/app/strip"
	"stampmill/exercises/ear"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// A listenPicture is what the Listen page draws: a strip for each sound, the
// small strips of the answers, and the strip of a dictation.
type listenPicture struct {
	Sounds []strip.Layout // of each sound; the slow ones are drawn there too
	SVG    []string
	Minis  [][2]string // of the first choices: from, to; "" for none
	Write  string      // the dictation
	Paper  strip.Layout

	look  listenLook
	wrote wroteLook
}

// A listenLook is everything that those strips depend on, but for a dictation.
type listenLook struct {
	stage         ListenStage
	number        int
	made          bool // the question is there
	task          string
	seed          uint64
	width, height int
}

// A wroteLook is what the strip of a dictation depends on besides.
type wroteLook struct {
	listenLook
	text   string
	cursor strip.Cursor
}

func (s State) listenLook() listenLook {
	l := s.Listen
	return listenLook{l.Stage, l.Number, len(l.Trial.Asks) > 0, l.Trial.Task.Name, l.Trial.Seed, s.Width, s.Height}
}

// listenPictureOf makes the picture anew as far as it changed.
func listenPictureOf(old listenPicture, s State) listenPicture {
	if s.Page != listenPath {
		return listenPicture{}
	}
	pic := old
	if look := s.listenLook(); look != old.look {
		pic = listenPicture{look: look}
		if look.made && s.trialShows() {
			pic.draw(s)
		}
	}
	if ask, ok := s.Listen.ask(ear.Strip); ok && s.Listen.Stage == ListenAsking {
		d := s.Listen.Draft
		if wrote := (wroteLook{pic.look, d.Text(), strip.CursorOn(d.Cursor())}); wrote != pic.wrote {
			sheet := s.paper(ask)
			pic.wrote, pic.Write, pic.Paper = wrote, sheet.SVG(), sheet.Layout()
		}
	}
	return pic
}

// trialShows reports whether the page shows a question.
func (s State) trialShows() bool {
	return s.Listen.Stage == ListenAsking || s.Listen.Stage == ListenAnswered
}

// draw draws the sounds and the choices of the question.
func (pic *listenPicture) draw(s State) {
	sheets := s.coveredSheets()
	if s.Listen.Stage == ListenAnswered {
		sheets = s.heardSheets()
	}
	for _, sheet := range sheets {
		pic.Sounds = append(pic.Sounds, sheet.Layout())
		pic.SVG = append(pic.SVG, sheet.SVG())
	}
	if ask, ok := s.Listen.ask(ear.Choose); ok {
		for _, c := range ask.Choices {
			var two [2]string
			if c.From != nil && c.To != nil {
				two[0], two[1] = strip.Minis(*c.From, *c.To, s.miniWidth())
			}
			pic.Minis = append(pic.Minis, two)
		}
	}
}

// Sizes of the page as the style lays it out, in CSS pixels.
const (
	listenEdge     = 48  // left and right of all
	listenGap      = 16  // between two sounds
	listenFrame    = 2   // border of a sound, both sides
	listenNarrow   = 520 // strips narrower than this have the narrow column of names
	listenPhone    = 24  // left and right of all on a phone
	phoneCoverLess = 138 // what stands beside a cover there
)

// soundWidth is how wide the strip of one of so many sounds is.
func (s State) soundWidth(sounds int) float64 {
	width := float64(s.Width)
	switch {
	case s.Width <= 0:
		width = 1280
	case s.phone():
		return width - listenPhone
	}
	n := float64(max(sounds, 1))
	return (width-listenEdge-listenGap*(n-1))/n - listenFrame
}

// miniWidth is how wide the small strips of an answer are.
func (s State) miniWidth() float64 {
	if s.phone() {
		return 118
	}
	return 150
}

// heardRow is the height of a row of so many: as high as three rows have room.
func (s State) heardRow(rows int) float64 {
	switch low := s.Height > 0 && s.Height < lowHeight; {
	case s.phone() || low || rows > 3:
		return lowRow
	}
	return 46
}

// covered is what covers a strip.
const covered = "covered until you answer"

// coveredSheets are the strips before the answer. All have the bars and the
// voices of the first sound, and none has strokes: what B has may not be known
// by the eye.
func (s State) coveredSheets() []strip.Sheet {
	var all []strip.Sheet
	sounds := s.Listen.Trial.Sounds
	for i := range sounds {
		p := sounds[0].Strip
		lines := make([]passage.Line, len(p.Lines))
		for j, l := range p.Lines {
			lines[j] = passage.Line{Voice: l.Voice}
		}
		p.Lines = lines
		sheet := s.soundSheet(i, p, len(sounds))
		sheet.Playhead = s.headShows()
		sheet.Heard = &strip.Heard{Cover: covered}
		if s.phone() {
			sheet.Compact, sheet.Small, sheet.Labels, sheet.Row = false, true, strip.LabelsNone, 0
			sheet.Width = float64(s.Width) - phoneCoverLess
			sheet.Passage.Lines = lines[:min(len(lines), 1)]
		}
		all = append(all, sheet)
	}
	return all
}

// soundSheet is the strip of a passage in the place of a sound.
func (s State) soundSheet(i int, p passage.Passage, sounds int) strip.Sheet {
	width := s.soundWidth(sounds)
	return strip.Sheet{
		ID: soundID(i), Passage: p, Width: width, Compact: width < listenNarrow, Labels: strip.LabelsPlain, Row: s.heardRow(len(p.Lines)),
	}
}

// soundID names the strip of a sound; its playhead is soundID-playhead.
func soundID(i int) string { return "listen-" + strconv.Itoa(i) }

// headShows reports whether the playhead may be seen before the answer. Where
// the beat or the tempo is what is asked for, it would be a clue to the eye.
func (s State) headShows() bool {
	switch s.Listen.Trial.Task.Name {
	case "tempo", "beat", "silence":
		return false
	}
	return true
}

// heardSheets are the strips after the answer: the difference is marked, and
// its old place dashed.
func (s State) heardSheets() []strip.Sheet {
	l := s.Listen
	if len(l.Trial.Sounds) == 2 {
		a, b := l.Trial.Sounds[0].Strip, l.Trial.Sounds[1].Strip
		left, right := s.soundSheet(0, a, 2), s.soundSheet(1, b, 2)
		left.Heard = &strip.Heard{Spans: l.Result.SpansA, Word: "here in A"}
		right.Heard = &strip.Heard{Spans: l.Result.Spans, Word: s.differenceWord(), Was: &a}
		switch l.Trial.Task.Name {
		case "tempo": // all of it: the strips are to one scale
			left.Heard, right.Heard = &strip.Heard{}, &strip.Heard{}
		case "ahead": // A is as it should be
			left.Heard = &strip.Heard{}
		}
		for _, sheet := range []*strip.Sheet{&left, &right} {
			sheet.Playhead = true
			s.oneBar(sheet)
		}
		left, right = strip.Beside(left, right)
		left.Row = s.heardRow(len(left.Passage.Lines))
		right.Row = left.Row
		return []strip.Sheet{left, right}
	}
	var all []strip.Sheet
	for i, sound := range l.Trial.Sounds {
		sheet := s.soundSheet(i, sound.Strip, len(l.Trial.Sounds))
		if !s.drawTaps(&sheet) {
			sheet.Heard = &strip.Heard{Spans: l.Result.Spans, Word: s.differenceWord()}
			if everywhere(sheet.Passage, l.Result.Spans) {
				sheet.Heard = &strip.Heard{}
			}
		}
		s.oneBar(&sheet)
		sheet.Playhead = true
		all = append(all, sheet)
	}
	return s.withWritten(all)
}

// everywhere reports whether a difference is all there is, so that marking it
// tells nothing.
func everywhere(p passage.Passage, spans []passage.Span) bool {
	return len(spans) == 1 && spans[0].From.Sign() == 0 && !spans[0].To.Less(p.Length()) && len(spans[0].Voices) >= len(p.Lines)
}

// drawTaps shows how a phrase was tapped back, as after a take; false where
// none was asked for.
func (s State) drawTaps(sheet *strip.Sheet) bool {
	ask, ok := s.Listen.ask(ear.Taps)
	if !ok || ask.Under == nil || len(ask.Passage.Bars) == 0 {
		return false
	}
	a := s.Listen.Answer
	take := grade.Take{Tempo: ask.Passage.Bars[0].Tempo.BPM.Float(), Passes: 1, Part: ask.Voices, LatencyMS: a.LatencyMS}
	for _, tap := range a.Taps {
		take.Taps = append(take.Taps, grade.Tap{Seconds: tap.Seconds})
	}
	v, err := grade.Grade(ask.Passage, take, grade.Options{NoSearch: true})
	if err != nil {
		return false
	}
	placed, err := expecting(ask.Passage, take, true)
	if err != nil {
		return false
	}
	placed.Known = s.Listen.known
	judged := Verdict{Verdict: v, Take: placed, Part: Part{OneKey: true}}
	sheet.Lane = true
	judged.mark(sheet)
	for i, stray := range v.Strays { // after the end, not at the start of a pass that there is not
		if placed.Taps[stray.Tap].Seconds-a.LatencyMS/1000 >= placed.Expected.PassSeconds {
			sheet.Extras[i].At = ask.Passage.Length().Float()
		}
	}
	return true
}

// withWritten adds what the player wrote under what was to be written: the
// beats in which strokes are missing or too many are marked in both.
func (s State) withWritten(all []strip.Sheet) []strip.Sheet {
	ask, ok := s.Listen.ask(ear.Strip)
	if !ok || len(all) != 1 {
		return all
	}
	l := s.Listen
	right := withLine(ask.Passage, l.Trial.Right().Line)
	under := s.soundSheet(1, withLine(ask.Passage, l.Answer.Line), 1)
	spans := onceEach(l.Result.Spans)
	all[0].Heard = &strip.Heard{Spans: spans, Word: "here"}
	under.Heard = &strip.Heard{Spans: spans, Word: "not as it was", Was: &right}
	all[0].Row, under.Row = lowRow, lowRow
	return append(all, under)
}

// onceEach leaves out stretches that are there already: two strokes of one beat
// mark it once.
func onceEach(spans []passage.Span) []passage.Span {
	var once []passage.Span
	for _, n := range spans {
		if k := len(once); k == 0 || once[k-1].From != n.From || once[k-1].To != n.To {
			once = append(once, n)
		}
	}
	return once
}

// withLine returns a passage with a line in the place of that of its voice.
func withLine(p passage.Passage, line passage.Line) passage.Passage {
	p = p.Clone()
	for i, l := range p.Lines {
		if l.Voice == line.Voice {
			p.Lines[i] = line
		}
	}
	return p
}

// oneBar shows, on a phone, the one bar that holds the difference.
func (s State) oneBar(sheet *strip.Sheet) {
	spans := s.Listen.Result.Spans
	if !s.phone() || len(spans) == 0 {
		return
	}
	first, last := sheet.Passage.BarsOf(spans[0])
	for _, n := range spans {
		_, to := sheet.Passage.BarsOf(n)
		last = max(last, to)
	}
	if first == last && first <= len(sheet.Passage.Bars) {
		sheet.First, sheet.Last = first, first
	}
}

// differenceWord says in a few words what is marked.
func (s State) differenceWord() string {
	t := s.Listen.Trial
	if len(t.Asks) == 0 || t.Asks[0].Kind != ear.Choose {
		return "here" + inB(t)
	}
	right := t.Right()
	if len(right.Choice) == 0 || right.Choice[0] < 0 || right.Choice[0] >= len(t.Asks[0].Choices) {
		return "here" + inB(t)
	}
	c := t.Asks[0].Choices[right.Choice[0]]
	words := c.Words
	if !strings.HasPrefix(c.Says, c.Words+":") {
		words = c.Says
	}
	if t.Task.Name == "ahead" {
		words = decimals(t.Made) + " ms " + strings.ToLower(words)
	}
	return midSentence(words)
}

func inB(t ear.Trial) string {
	if len(t.Sounds) == 2 {
		return " in B"
	}
	return ""
}

// midSentence returns words to stand in a sentence: a capital goes, but not
// that of a name of one letter.
func midSentence(words string) string {
	first, n := utf8.DecodeRuneInString(words)
	second, _ := utf8.DecodeRuneInString(words[n:])
	if !unicode.IsLower(second) && !strings.HasPrefix(words, "A ") {
		return words
	}
	return string(unicode.ToLower(first)) + words[n:]
}

// paper is the strip on which a dictation is written: the lines that are given,
// and that of the asked voice as it is so far.
func (s State) paper(ask ear.Ask) strip.Sheet {
	p := ask.Passage
	for _, l := range s.Listen.Draft.Passage().Lines {
		p = withLine(p, l)
	}
	sheet := s.soundSheet(0, p, 1)
	sheet.ID, sheet.Row, sheet.Cursor = "listen-paper", 46, strip.CursorOn(s.Listen.Draft.Cursor())
	if len(p.Lines) > 2 {
		sheet.Row = 36
	}
	if s.phone() {
		sheet.Row = 44
	}
	return sheet
}

// slowFrom returns the first bar, from 1, of the slow sounds.
func (s State) slowFrom() int {
	l := s.Listen
	if len(l.Result.Spans) == 0 || len(l.Trial.Sounds) == 0 {
		return 1
	}
	first, _ := l.Trial.Sounds[len(l.Trial.Sounds)-1].Strip.BarsOf(l.Result.Spans[0])
	return first
}

// listenHead is where the playhead of a sound stands: the element to move and
// its transform; "" for none. Quarters count from the first bar of the sound.
func listenHead(s State, pic Picture, quarters float64) (id, transform string) {
	l, n := s.Listen, len(s.Listen.Trial.Sounds)
	i := l.Sounding
	if i < 0 || n == 0 || l.Taking || l.Stage == ListenAsking && !s.headShows() {
		return "", ""
	}
	if i >= n {
		i -= n
		starts := l.Trial.Sounds[min(i, n-1)].Strip.Starts()
		if first := s.slowFrom(); first >= 1 && first <= len(starts) {
			quarters += starts[first-1].Float()
		}
	}
	if i >= len(pic.Listen.Sounds) {
		return "", ""
	}
	return soundID(i) + "-playhead", pic.Listen.Sounds[i].HeadTransform(quarters)
}
