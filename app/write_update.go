package app

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"stampmill/app/draft"
	"stampmill/app/shelf"
	"stampmill/exercises"
	"stampmill/exercises/change"
	"stampmill/exercises/complexity"
	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// Work that waits for a pause in writing, in ms; our choice: short enough to
// follow the hand, long enough not to stand in its way.
const (
	offersAfter  = 180
	measureAfter = 250
	relistAfter  = 150
	drawAfter    = 5    // the strip follows the text when the letter that was typed can be seen
	offersSlice  = 1500 // strokes times changes tried at a time, so that a slice stays under 50 ms
	limbsSlice   = 2    // limbs and hands whose speed is measured at a time
	offersShown  = 12   // changes that are tried before the list is drawn again
)

// The works that are put off.
const (
	tryOffers  = "offers"
	measureAll = "measure"
	relistAll  = "relist"

	drawStripNow = "draw"

	rateBeats = "rate beats"
	rateSpeed = "rate speed"
	rateNew   = "rate new"
)

// followUps are the works that an edit or a move of the cursor puts off.
func followUps() []Effect {
	return []Effect{Later{tryOffers, offersAfter}, Later{measureAll, measureAfter}}
}

// wentToWrite prepares the page: the exercise in hand, or the latest.
func wentToWrite(s State) (State, []Effect) {
	s.Write.Refused, s.Write.Menu, s.Write.Link = "", false, ""
	s.Loop, s.Turned, s.Verdict = Range{}, nil, nil
	switch {
	case s.Write.ID != "":
		s = anewDrawing(followed(s))
		return s, append([]Effect{Fill{}}, followUps()...)
	case len(s.readable()) > 0:
		return s, []Effect{Fetch{ID: s.readable()[0].ID}}
	}
	return s, nil
}

// readable are the exercises of the shelf that can be opened.
func (s State) readable() []shelf.Entry {
	return slices.DeleteFunc(slices.Clone(s.Write.Shelf), func(e shelf.Entry) bool { return e.Problem != nil })
}

// leftWrite puts the climb of the other pages back, as it is written now where
// it is the one in hand.
func leftWrite(s State) State {
	s.Write.Trying = ""
	notice, lesser := s.Notice, s.Lesser
	if s.entry().Name == ownName(s.Write.ID) {
		if t, ok := withOwn(s, s.Write.ID, s.Write.Draft.Text()); ok {
			s = t
		}
	}
	s = s.on(s.Climb, s.Step)
	s.Notice, s.Lesser = notice, lesser
	return s
}

// taken is an exercise that came off the shelf.
func taken(s State, m Taken) (State, []Effect) {
	if m.Practise {
		return practiseOwn(s, m)
	}
	text := asField(m.Text)
	d := draft.New(fileOf(text), text, change.Catalogue()).Saved()
	s.Write.ID, s.Write.Draft = m.ID, d.GoTo(0)
	s.Write.Refused, s.Write.Said, s.Write.Link, s.Write.Unkept = "", "", "", false
	s.Write.Chosen, s.Write.Trying, s.Write.Search = "", "", ""
	s.Bar = 1
	s.Write.Measured = false
	s, effects := measuredStep(otherText(s))
	effects = append(effects, Fill{}, Later{tryOffers, offersAfter})
	if s.Phase != Idle && s.Page == writePath {
		s.Phase, s.Pass = Idle, -1
		effects = append(effects, Halt{})
	}
	if m.New && s.Page == writePath {
		effects = append(effects, Focus{"write-strip"})
	}
	return s, effects
}

// asField writes the ends of lines as text fields have them.
func asField(text string) string {
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
}

// adopted takes over what another window made of the exercise in hand, as an
// edit that can be undone.
func adopted(s State, m Adopted) (State, []Effect) {
	d, text := s.Write.Draft, asField(m.Text)
	if m.ID != s.Write.ID || s.Write.Unkept || text == d.Text() {
		return s, []Effect{Same{}}
	}
	at := time.Duration(m.At * float64(time.Millisecond))
	s.Write.Draft = d.SetText(text, d.Caret(), at).Saved()
	s.Write.Refused, s.Write.Said = "", ""
	s.Lesser = say(s.Lesser, otherWrote)
	if !s.writing() {
		return s, nil
	}
	s = otherText(s)
	return s, append([]Effect{Fill{}}, followUps()...)
}

var otherWrote = Notice{Fact: "Another window changed this exercise;", Mend: "this is what it wrote. Undo brings back what was here."}

// fileOf is the name of an exercise in problems and of its file.
func fileOf(text string) string {
	title := titleOf(text)
	clean := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		case r == ' ' || r == '-' || r == '_':
			return '-'
		}
		return -1
	}, title)
	if clean = strings.Trim(clean, "-"); clean == "" {
		clean = "exercise"
	}
	return clean + ".drill"
}

// titleOf returns the title that a text gives itself.
func titleOf(text string) string {
	title, _ := shelf.Summary(text)
	return title
}

// ownName is the name of an own exercise among the climbs and in takes.
func ownName(id string) string { return ownPrefix + id }

const ownPrefix = "own-"

// own returns the id of the own exercise that has a name among the climbs.
func own(name string) (id string, ok bool) { return strings.CutPrefix(name, ownPrefix) }

// withOwn puts an own exercise behind the climbs of the library, in place of
// the one that was there: there is one at a time, the others are on the shelf.
// ok is false when it cannot be practised as it is.
func withOwn(s State, id, text string) (State, bool) {
	climb, problems := drill.Parse(fileOf(text), []byte(asField(text)), change.Catalogue())
	if len(problems) > 0 {
		return s, false
	}
	s.Library = append(s.builtIn(), exercises.Entry{Name: ownName(id), Climb: climb})
	return s, true
}

// builtIn are the climbs of the library without an own one; a new slice.
func (s State) builtIn() []exercises.Entry {
	return slices.DeleteFunc(slices.Clone(s.Library), func(e exercises.Entry) bool { _, mine := own(e.Name); return mine })
}

// withoutOwn takes an exercise away that is deleted.
func withoutOwn(s State, id string) State {
	if s.entry().Name == ownName(id) {
		s = s.on(0, 0)
	}
	s.Library = slices.DeleteFunc(slices.Clone(s.Library), func(e exercises.Entry) bool { return e.Name == ownName(id) })
	return s
}

// practiseOwn opens an own exercise on the Practise page.
func practiseOwn(s State, m Taken) (State, []Effect) {
	s, ok := withOwn(s, m.ID, m.Text)
	if !ok {
		_, problems := drill.Parse(fileOf(m.Text), []byte(asField(m.Text)), change.Catalogue())
		s.Notice = Notice{
			Fact: "This exercise cannot be practised yet.", Mend: "Line " + strconv.Itoa(problems[0].Line) + ": " + problems[0].What + ".",
			Act: "write-mend", Arg: m.ID, Label: "Open it in Write",
		}
		return s, nil
	}
	s.Write.Trying = ""
	at := len(s.Library) - 1
	s, effects := toStep(s, at, m.Step)
	return s, append(effects, Go{"/practise/"})
}

// otherText is the state after the text changed in any way.
func otherText(s State) State {
	s.Write.Clashes, s.Write.ClashLines = nil, nil
	return elsewhere(s)
}

// elsewhere is the state after the cursor, the selection or the step changed:
// other changes fit.
func elsewhere(s State) State {
	s.Write.Offers, s.Write.rest, s.Write.begun, s.Write.Chosen = nil, draft.Offers{}, false, ""
	return anewDrawing(followed(s))
}

// anewDrawing lets the strip be drawn again.
func anewDrawing(s State) State {
	s.Write.Edits++
	return s
}

// followed lets the strip show the bar of the cursor, and the tempo be that of
// the step.
func followed(s State) State {
	s.Tempo = goal(s.step())
	if c := s.Write.Draft.Cursor(); c.Voice.Valid() && (s.Phase == Idle || s.Page != writePath) {
		s.Bar = s.Write.Draft.Passage().Place(c.At).Bar
	}
	return s
}

// edited takes over what an edit made of the draft, or says why it was not
// made. Its text is on the shelf before anything else happens.
func edited(s State, d draft.Draft, err error) (State, []Effect) {
	if err != nil {
		s.Write.Refused = sentence(err.Error())
		return s, nil
	}
	old := s.Write.Draft
	var effects []Effect
	if d.Step() != old.Step() {
		effects = s.revealStep(d)
	}
	s.Write.Draft, s.Write.Refused, s.Write.Link, s.Write.Said = d, "", "", ""
	switch {
	case d.Text() != old.Text():
		s.Write.Said = d.Said()
		if s.Notice.Act == "" { // what was said of a file or link was read
			s.Notice = Notice{}
		}
		s.Lesser = slices.DeleteFunc(slices.Clone(s.Lesser), func(n Notice) bool { return n == otherWrote })
		s = otherText(s)
		return s, append(append([]Effect{Shelve{s.Write.ID, d.Text()}, Fill{}}, followUps()...), effects...)
	case d.Step() != old.Step():
		s.Write.Clashes, s.Write.ClashLines, s.Write.Measured = nil, nil, false
	case sameSpan(d.Selection(), old.Selection()) && d.Cursor() == old.Cursor():
		if d.Caret() == old.Caret() {
			return s, nil
		}
		return anewDrawing(s), []Effect{Fill{}}
	}
	s = elsewhere(s)
	return s, append(append([]Effect{Fill{}}, followUps()...), effects...)
}

// revealStep scrolls the text to the step that is now the current one; on a
// phone the row of steps, too.
func (s State) revealStep(d draft.Draft) []Effect {
	if d.Step() >= len(d.Steps()) {
		return nil
	}
	r := Reveal{"", d.Current().Line}
	if s.phone() {
		r.ID = "write-step-now"
	}
	return []Effect{r}
}

func sameSpan(a, b passage.Span) bool {
	return a.From == b.From && a.To == b.To && slices.Equal(a.Voices, b.Voices)
}

// sentence makes a refusal, "what; what to do", two sentences.
func sentence(refusal string) string {
	what, do, two := strings.Cut(refusal, "; ")
	if !two {
		return capital(what) + "."
	}
	return capital(what) + ". " + capital(do) + "."
}

// typedText is the text field after the player changed it.
func typedText(s State, m Typed) (State, []Effect) {
	if m.Field != textField || s.Write.ID == "" {
		return s, []Effect{Same{}}
	}
	at := time.Duration(m.At * float64(time.Millisecond))
	d := s.Write.Draft.SetText(m.Value, draft.CaretOfUnits(m.Value, m.To), at)
	drawn := s.Write.Edits
	s, effects := edited(s, d, nil)
	s.Write.Edits = drawn // the letter first, then the strip
	return s, append(unfilled(effects), Later{drawStripNow, drawAfter})
}

// caretted is a caret that moved in the text field.
func caretted(s State, m Caretted) (State, []Effect) {
	if m.Field != textField || s.Write.ID == "" {
		return s, []Effect{Same{}}
	}
	d := s.Write.Draft
	moved := d.SetCaret(draft.CaretOfUnits(d.Text(), m.To))
	if moved.Caret() == d.Caret() {
		return s, []Effect{Same{}}
	}
	s, effects := edited(s, moved, nil)
	return s, unfilled(effects) // it would lose what is selected in the field
}

// unfilled leaves the text field alone, which has the text already and shows
// where the caret is.
func unfilled(effects []Effect) []Effect {
	return slices.DeleteFunc(effects, func(e Effect) bool {
		switch e.(type) {
		case Fill, Reveal:
			return true
		}
		return false
	})
}

// pointed is a pointer on the strip: a press goes to a cell, a drag selects.
func pointed(s State, m Pointed) (State, []Effect) {
	if m.On == listenPaper {
		return paperPointed(s, m)
	}
	if !s.writing() || m.On != "strip" && m.On != "bar-text" {
		return s, []Effect{Same{}}
	}
	extend := m.Shift
	switch m.Stage {
	case portBegan:
		s.Write.Drawing = true
	case portMoved:
		if !s.Write.Drawing {
			return s, []Effect{Same{}}
		}
		extend = true
	default:
		s.Write.Drawing = false
		return s, []Effect{Same{}}
	}
	layout := s.writeSheet().Layout()
	y := m.Y * layout.Height
	if row := int(m.Y * float64(len(layout.Rows))); m.On == "bar-text" && row >= 0 && row < len(layout.Rows) {
		y = layout.Rows[row].Y
	}
	cell, ok := layout.CellAt(s.Write.Draft.Passage(), m.X*layout.Width, y)
	if !ok {
		return s, []Effect{Same{}}
	}
	d := s.Write.Draft.Put(cell.Voice, cell.At, extend)
	if m.Stage == portMoved && d.Cursor() == s.Write.Draft.Cursor() {
		return s, []Effect{Same{}}
	}
	s, effects := edited(s, d, nil)
	effects = append(effects, Used{})
	if m.Stage == portBegan {
		effects = append(effects, Focus{"write-strip"})
	}
	return s, effects
}

// due does work that was put off.
func due(s State, m Due) (State, []Effect) {
	switch {
	case m.Work == relistAll:
		return s, []Effect{Same{}, Relist{}}
	case m.Work == askAnyway:
		return askedAnyway(s)
	case !s.writing():
		return s, []Effect{Same{}}
	case m.Work == drawStripNow:
		return anewDrawing(s), nil
	case m.Work == measureAll:
		return measuredStep(s)
	case slices.Contains(ratings, m.Work):
		return rated(s, m.Work)
	case m.Work == tryOffers:
		return tried(s)
	}
	return s, []Effect{Same{}}
}

// measuredStep reads the whole text and measures the step as it is now, a part at a
// time: in a large exercise all of it would keep the page from answering.
func measuredStep(s State) (State, []Effect) {
	w := &s.Write
	w.Draft = w.Draft.Settled()
	w.Settled++
	w.Agree = draft.Agree(w.Draft.Passage(), passage.Kick, passage.Guitar)
	w.Clashes, w.ClashLines = w.Draft.Unplayable(s.Settings.pedals())
	w.rating, w.limbs = complexity.Rating{}, nil
	title := titleOf(w.Draft.Text())
	if i := slices.IndexFunc(w.Shelf, func(e shelf.Entry) bool { return e.ID == w.ID }); i >= 0 && w.Shelf[i].Title != title {
		w.Shelf = slices.Clone(w.Shelf)
		w.Shelf[i].Title = title
	}
	return anewDrawing(s), []Effect{Later{rateBeats, 0}}
}

// ratings are the parts of the measures, in their order.
var ratings = []string{rateBeats, rateSpeed, rateNew}

// rated makes one part of the measures, and asks for the next one.
func rated(s State, work string) (State, []Effect) {
	w := &s.Write
	d, r := w.Draft, &w.rating
	p := d.Passage()
	switch work {
	case rateBeats:
		r.Bars = complexity.Syncopation(p)
		for i, degree := range r.Bars {
			if degree > r.Syncopation || i == 0 {
				r.Syncopation, r.Hardest = degree, i+1
			}
		}
	case rateSpeed:
		if w.limbs == nil {
			w.limbs = complexity.Parts(p, s.Settings.pedals())
			break
		}
		for _, part := range w.limbs[:min(len(w.limbs), limbsSlice)] {
			if peak := complexity.Fastest(p, part.Moves); peak.PerSecond > r.PeakRate {
				r.PeakRate, r.Fastest = peak.PerSecond, part.Name
			}
		}
		w.limbs = w.limbs[min(len(w.limbs), limbsSlice):]
	case rateNew:
		if n := d.Step(); n > 0 && n < len(d.Steps()) {
			r.New = complexity.New(d.Steps()[n-1].Passage, p)
		}
		w.Rating, w.Measured = *r, true
		w.Rated++
		return s, []Effect{Explain{d, w.Rated}}
	}
	if work == rateSpeed && len(w.limbs) > 0 {
		return s, []Effect{Same{}, Later{work, 0}}
	}
	next := ratings[slices.Index(ratings, work)+1]
	return s, []Effect{Same{}, Later{next, 0}}
}

// tried tries some more changes on the selection, and asks to go on.
func tried(s State) (State, []Effect) {
	w, p := &s.Write, s.Write.Draft.Passage()
	if !w.begun && w.Draft.Current().Good {
		w.rest, w.Offers, w.begun = w.Draft.Offers(), nil, true
	}
	if w.rest.Left() == 0 {
		return s, []Effect{Same{}}
	}
	before := len(w.Offers)
	some, rest := w.rest.Next(max(1, offersSlice/max(strokes(p), 1)))
	w.rest, w.Offers = rest, slices.Clip(w.Offers)
	for _, o := range some {
		w.Offers = append(w.Offers, offeredAs(o, p))
	}
	effects := []Effect{Later{tryOffers, 0}}
	if rest.Left() > 0 && before/offersShown == len(w.Offers)/offersShown {
		effects = append(effects, Same{})
	}
	return s, effects
}

func offeredAs(o change.Offer, p passage.Passage) offered {
	of := offered{text: o.Change.String(), words: o.Change.Sentence(p)}
	if o.Reason != "" {
		of.why = sentence(o.Reason)
	}
	of.find = strings.ToLower(of.words + " " + of.text + " " + o.Change.Entry.About + " " + o.Change.Entry.Group)
	return of
}

func strokes(p passage.Passage) int {
	n := 0
	for _, l := range p.Lines {
		n += len(l.Strokes)
	}
	return n
}

// arrived is a text from a file or a link: a new exercise, never in place of
// another one.
func arrived(s State, m Arrived) (State, []Effect) {
	if m.Err != "" {
		what, do, _ := strings.Cut(m.Err, "; ")
		return unread(s, Notice{Fact: capital(what) + ".", Mend: sentence(do)})
	}
	if !utf8.ValidString(m.Text) || strings.ContainsRune(m.Text, 0) || strings.TrimSpace(m.Text) == "" || json.Valid([]byte(m.Text)) {
		return unread(s, Notice{Fact: m.Name + " is no exercise text.", Mend: "Open a file that ends in .drill, or any plain text in UTF-8."})
	}
	s, effects := toWrite(s)
	return s, append(effects, Shelve{"", m.Text})
}

// unread says what is wrong with a file or link; of several the first is the
// notice, and the others follow it.
func unread(s State, n Notice) (State, []Effect) {
	if s.Notice.Fact != "" && s.Notice.Act == "" && s.Notice != n {
		n = Notice{Fact: s.Notice.Fact, Mend: s.Notice.Mend + " " + n.words()}
	}
	s.Notice = n
	return toWrite(s)
}

// toWrite opens the Write page unless a take runs.
func toWrite(s State) (State, []Effect) {
	if s.Page == writePath || s.taking() {
		return s, nil
	}
	return s, []Effect{Go{writePath}}
}

// copied tells what became of a link.
func copied(s State, m Copied) (State, []Effect) {
	s.Write.Link = ""
	if m.OK {
		s.Notice = Notice{Fact: "The link is copied.", Mend: "It holds the whole exercise; nothing is stored anywhere else."}
		return s, nil
	}
	s.Write.Link = m.Link
	return s, []Effect{Focus{"write-link"}}
}

// unkept is an exercise for which there was no room.
func unkept(s State, m Unkept) (State, []Effect) {
	s.Write.Unkept = true
	s.Lesser = slices.DeleteFunc(slices.Clone(s.Lesser), func(n Notice) bool { return n == otherWrote })
	s.Notice = Notice{
		Fact: "This exercise is not kept on this device.", Mend: sentence(m.Why) + " It stays here until the page is closed.",
		Act: "write-save", Label: "Save it as a file",
	}
	return s, []Effect{Held{true}}
}

// shelved is what the shelf holds now.
func shelved(s State, m Shelved) (State, []Effect) {
	s.Write.Shelf = m.Items
	var effects []Effect
	if m.ID != "" && m.ID == s.Write.ID {
		s.Write.ID = m.Now
		if s.Write.Unkept {
			s.Write.Unkept = false
			effects = []Effect{Held{false}}
		}
		if s.Notice.Act == "write-save" {
			s.Notice = Notice{}
		}
	}
	if m.Other != "" {
		s.Notice = Notice{Fact: "Another window wrote this exercise, too.", Mend: "What it wrote is kept beside yours, as a copy."}
	}
	if s.Page == writePath && s.Write.ID == "" && len(s.readable()) > 0 {
		effects = append(effects, Fetch{ID: s.readable()[0].ID})
	}
	return s, effects
}

// explained is what the step changes of the one before it.
func explained(s State, m Explained) (State, []Effect) {
	if m.Rated != s.Write.Rated {
		return s, []Effect{Same{}}
	}
	s.Write.Did, s.Write.DidOf = m.Words, m.Rated
	return s, nil
}

// heardBars are the bars that are heard on the Write page.
func (s State) heardBars() (first, last int) {
	bars := len(s.Write.Draft.Passage().Bars)
	first = min(max(s.Write.From, 1), max(bars, 1))
	last = min(max(s.Write.To, first), max(bars, 1))
	return first, last
}

// hearFrom hears from the bar of the cursor to the end, or the bars that are
// selected when there is more than a bar of them; round and round.
func hearFrom(s State, m Acted) (State, []Effect) {
	if s.Phase != Idle {
		return stopped(s, m)
	}
	if !s.writing() || len(s.Write.Draft.Passage().Bars) == 0 {
		return s, nil
	}
	p := s.Write.Draft.Passage()
	s.Write.Trying = ""
	s.Write.From, s.Write.To = p.BarsOf(s.Write.Draft.Selection())
	if s.Write.From == s.Write.To {
		s.Write.To = len(p.Bars)
	}
	return start(s, ForHearing)
}

// hearChange hears the bars of the selection with a change that is not made
// yet; a second press stops.
func hearChange(s State, m Acted) (State, []Effect) {
	if !s.writing() {
		return s, nil
	}
	again := s.Phase != Idle && s.Write.Trying == m.Arg
	var effects []Effect
	if s.Phase != Idle {
		s, effects = stopped(s, m)
	}
	if again {
		return s, effects
	}
	s.Write.Chosen, s.Write.Trying = m.Arg, m.Arg
	s = anewDrawing(s)
	s.Write.From, s.Write.To = s.Write.Draft.Passage().BarsOf(s.Write.Draft.Scope())
	s, more := start(s, ForHearing)
	return s, append(effects, more...)
}
