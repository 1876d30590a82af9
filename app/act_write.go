package app

import (
	"strconv"
	"strings"

	"stampmill/app/draft"
	"stampmill/app/shelf"
	"stampmill/exercises"
	"stampmill/exercises/change"
	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

func init() {
	for name, act := range map[string]func(State, Acted) (State, []Effect){
		"write-new":  func(s State, _ Acted) (State, []Effect) { return s, []Effect{Shelve{"", newText(s)}} },
		"write-copy": copyClimb,
		"write-open": func(s State, m Acted) (State, []Effect) {
			if m.Value == "" || m.Value == s.Write.ID {
				return s, nil
			}
			return s, []Effect{Fetch{ID: m.Value}}
		},
		"write-file": func(s State, _ Acted) (State, []Effect) {
			s.Notice = Notice{}
			return s, []Effect{OpenFile{}}
		},
		"write-mend": func(s State, m Acted) (State, []Effect) {
			return s, []Effect{Fetch{ID: m.Arg}, Go{writePath}}
		},
		"write-close":    func(s State, _ Acted) (State, []Effect) { s.Notice = Notice{}; return s, []Effect{Focus{"title"}} },
		"write-save":     saveText,
		"write-link":     inHand(func(s State, _ Acted) (State, []Effect) { return s, []Effect{CopyLink{s.Write.Draft.Text()}} }),
		"write-double":   inHand(func(s State, _ Acted) (State, []Effect) { return s, []Effect{Shelve{"", doubled(s)}} }),
		"write-delete":   inHand(func(s State, _ Acted) (State, []Effect) { return binned(s) }),
		"write-putback":  func(s State, m Acted) (State, []Effect) { s.Notice = Notice{}; return s, []Effect{Reshelve{m.Arg}} },
		"write-menu":     func(s State, _ Acted) (State, []Effect) { s.Write.Menu = !s.Write.Menu; return s, nil },
		"write-practise": inHand(practiseDraft),

		"write-hear":    hearFrom,
		"write-undo":    inHand(undo),
		"write-redo":    inHand(redo),
		"write-sign":    inHand(sign),
		"write-clear":   editing(func(d draft.Draft, _ string) (draft.Draft, error) { return d.Clear() }),
		"write-divide":  editing(divided),
		"write-over":    editing(dividedOver),
		"write-fret":    editing(fretted),
		"write-bend":    editing(bent),
		"write-voice":   editing(voiced),
		"write-unvoice": editing(unvoiced),
		"write-bar":     editing(func(d draft.Draft, _ string) (draft.Draft, error) { return d.AddBars(1, true) }),
		"write-unbar":   editing(unbarred),
		"write-out":     editing(func(d draft.Draft, _ string) (draft.Draft, error) { return d.WriteOut() }),
		"sticking":      func(s State, _ Acted) (State, []Effect) { s.Sticking = !s.Sticking; return s, nil },
		"pedals": func(s State, _ Acted) (State, []Effect) {
			return with(s, func(x *Settings) { x.OnePedal = !x.OnePedal })
		},

		"write-step":      inHand(toWrittenStep),
		"write-step-new":  editing(func(d draft.Draft, _ string) (draft.Draft, error) { return d.NewStep("New step") }),
		"write-step-copy": editing(func(d draft.Draft, _ string) (draft.Draft, error) { return d.CopyStep(d.Current().Title) }),
		"write-step-del":  editing(func(d draft.Draft, _ string) (draft.Draft, error) { return d.Delete() }),
		"write-step-up":   editing(func(d draft.Draft, _ string) (draft.Draft, error) { return d.MoveStep(-1) }),
		"write-step-down": editing(func(d draft.Draft, _ string) (draft.Draft, error) { return d.MoveStep(1) }),
		"write-step-name": editing(func(d draft.Draft, v string) (draft.Draft, error) { return d.Rename(v) }),
		"write-step-says": editing(func(d draft.Draft, v string) (draft.Draft, error) { return d.SetSays(v) }),
		"write-header":    inHand(setHeader),

		"write-search":  inHand(func(s State, m Acted) (State, []Effect) { s.Write.Search = m.Value; return s, nil }),
		"write-all":     inHand(func(s State, _ Acted) (State, []Effect) { s.Write.All = !s.Write.All; return s, nil }),
		"write-choose":  inHand(chooseChange),
		"write-leave":   inHand(func(s State, _ Acted) (State, []Effect) { return unchosen(s) }),
		"write-try":     inHand(hearChange),
		"write-apply":   inHand(applied(draft.Draft.ApplyHere)),
		"write-as-step": inHand(applied(draft.Draft.SaveAsStep)),
		"write-goto":    inHand(func(s State, m Acted) (State, []Effect) { return toProblem(s, s.Write.Draft.Problems(), m) }),
		"write-goclash": inHand(func(s State, m Acted) (State, []Effect) { return toProblem(s, s.Write.ClashLines, m) }),
		"write-linked":  func(s State, _ Acted) (State, []Effect) { return s, []Effect{Same{}} },
		"write-select":  inHand(func(s State, m Acted) (State, []Effect) { return selectBar(s, m.Arg) }),
	} {
		acts[name] = act
	}
}

// inHand lets an act be done only while an exercise is in hand.
func inHand(act func(State, Acted) (State, []Effect)) func(State, Acted) (State, []Effect) {
	return func(s State, m Acted) (State, []Effect) {
		if s.Write.ID == "" {
			return s, nil
		}
		return act(s, m)
	}
}

// editing makes an act of an edit; the value of a field or the argument of a
// button says how.
func editing(edit func(draft.Draft, string) (draft.Draft, error)) func(State, Acted) (State, []Effect) {
	return inHand(func(s State, m Acted) (State, []Effect) {
		how := m.Arg
		if m.Value != "" {
			how = m.Value
		}
		d, err := edit(s.Write.Draft, how)
		return edited(s, d, err)
	})
}

// newText is the text of a new exercise, with a title that is not taken.
func newText(s State) string {
	text, _ := drill.New(s.freeTitle("New exercise"), meter.CommonTime, meter.Tempo{BPM: meter.Int(100)}) // of known parts
	return string(text)
}

// freeTitle adds a number where an exercise of the shelf has the title.
func (s State) freeTitle(title string) string {
	taken := func(t string) bool {
		for _, item := range s.Write.Shelf {
			if strings.EqualFold(item.Title, t) {
				return true
			}
		}
		return false
	}
	free := title
	for n := 2; taken(free); n++ {
		free = title + " " + strconv.Itoa(n)
	}
	return free
}

// copyClimb begins an exercise as a copy of a climb of the library.
func copyClimb(s State, m Acted) (State, []Effect) {
	name := m.Value
	if name == "" {
		name = s.entry().Name
	}
	text := string(exercises.Source(name))
	if text == "" {
		return s, nil
	}
	if named, err := shelf.Retitle(text, s.freeTitle(titleOf(text))); err == nil {
		text = named
	}
	return s, []Effect{Shelve{"", text}}
}

// doubled is the text of the exercise in hand with another title.
func doubled(s State) string {
	d := s.Write.Draft
	if named, err := d.SetHeader("title", s.freeTitle(d.Header("title"))); err == nil {
		return named.Text()
	}
	return d.Text()
}

func saveText(s State, _ Acted) (State, []Effect) {
	if s.Write.ID == "" {
		return s, nil
	}
	text := s.Write.Draft.Text()
	return s, []Effect{Download{fileOf(text), text}}
}

// binned takes the exercise off the shelf; it can be put back at once.
func binned(s State) (State, []Effect) {
	id, title := s.Write.ID, titleOf(s.Write.Draft.Text())
	if title == "" {
		title = "The exercise"
	}
	if s.Write.Unkept { // it is nowhere else
		s.Notice.Mend = "Save it as a file before it is deleted."
		return s, []Effect{Focus{"notice-act"}}
	}
	s.Write.ID, s.Write.Draft, s.Write.Menu = "", draft.Draft{}, false
	s.Phase, s.Pass = Idle, -1
	s = withoutOwn(s, id)
	s.Notice = Notice{Fact: title + " was deleted.", Mend: "It can still be put back.", Act: "write-putback", Arg: id, Label: "Put it back"}
	return s, []Effect{Halt{}, keep(s), Unshelve{id}, Focus{"notice-act"}}
}

func practiseDraft(s State, _ Acted) (State, []Effect) {
	s.Write.Draft = s.Write.Draft.Settled()
	if ps := s.Write.Draft.Problems(); len(ps) > 0 {
		s, effects := toProblem(s, ps, Acted{Arg: "0"})
		s.Write.Refused = "The text has something to mend first: line " + strconv.Itoa(ps[0].Line) + "."
		return s, effects
	}
	return practiseOwn(s, Taken{ID: s.Write.ID, Text: s.Write.Draft.Text(), Step: s.Write.Draft.Step()})
}

func undo(s State, _ Acted) (State, []Effect) { return edited(s, s.Write.Draft.Undo(), nil) }
func redo(s State, _ Acted) (State, []Effect) { return edited(s, s.Write.Draft.Redo(), nil) }

func sign(s State, m Acted) (State, []Effect) {
	for _, letter := range m.Arg {
		d, err := s.Write.Draft.Type(letter)
		return edited(s, d, err)
	}
	return s, nil
}

func divided(d draft.Draft, how string) (draft.Draft, error) {
	n, err := strconv.Atoi(strings.TrimSpace(how))
	if err != nil {
		n = 0 // which the draft refuses in words
	}
	return d.Divide(n)
}

// dividedOver reads "3:2", three cells over two beats.
func dividedOver(d draft.Draft, how string) (draft.Draft, error) {
	cells, beats, _ := strings.Cut(how, ":")
	n, _ := strconv.Atoi(strings.TrimSpace(cells))
	b, _ := strconv.Atoi(strings.TrimSpace(beats))
	return d.DivideOver(n, b)
}

func fretted(d draft.Draft, how string) (draft.Draft, error) {
	_, bend, _ := d.Details()
	fret, err := strconv.Atoi(strings.TrimSpace(how))
	if err != nil {
		fret = -1
	}
	return d.SetDetails(fret, bend)
}

func bent(d draft.Draft, how string) (draft.Draft, error) {
	fret, _, _ := d.Details()
	bend, err := strconv.Atoi(strings.TrimSpace(how))
	if err != nil {
		bend = -1
	}
	return d.SetDetails(fret, bend)
}

func voiced(d draft.Draft, name string) (draft.Draft, error) {
	v, _ := passage.VoiceNamed(name)
	return d.AddVoice(v)
}

func unvoiced(d draft.Draft, name string) (draft.Draft, error) {
	v, ok := passage.VoiceNamed(name)
	if !ok {
		v = d.Cursor().Voice
	}
	return d.RemoveVoice(v)
}

func unbarred(d draft.Draft, _ string) (draft.Draft, error) {
	first, last := d.Passage().BarsOf(d.Selection())
	return d.RemoveBars(first, last)
}

func toWrittenStep(s State, m Acted) (State, []Effect) {
	n, err := strconv.Atoi(m.Arg)
	if err != nil {
		return s, nil
	}
	s, effects := edited(s, s.Write.Draft.GoTo(n-1), nil)
	if s.Phase != Idle {
		s.Phase, s.Pass = Idle, -1
		effects = append(effects, Halt{})
	}
	return s, effects
}

func setHeader(s State, m Acted) (State, []Effect) {
	d, err := s.Write.Draft.SetHeader(m.Arg, m.Value)
	return edited(s, d, err)
}

// chooseChange shows a change beside the bar as it is; chosen again, it is made.
func chooseChange(s State, m Acted) (State, []Effect) {
	if s.Write.Chosen == m.Arg {
		return applied(draft.Draft.ApplyHere)(s, m)
	}
	s.Write.Chosen = m.Arg
	return anewDrawing(s), nil
}

// unchosen puts the chosen change away.
func unchosen(s State) (State, []Effect) {
	s.Write.Chosen = ""
	return anewDrawing(s), []Effect{Focus{"write-strip"}}
}

// applied makes the chosen change.
func applied(make func(draft.Draft, change.Change) (draft.Draft, error)) func(State, Acted) (State, []Effect) {
	return func(s State, m Acted) (State, []Effect) {
		text := m.Arg
		if text == "" {
			text = s.Write.Chosen
		}
		c, err := change.Parse(text)
		if err != nil {
			return edited(s, s.Write.Draft, err)
		}
		d, err := make(s.Write.Draft, c)
		var effects []Effect
		if err == nil && s.Phase != Idle { // what sounds is no longer what stands there
			s, effects = stopped(s, m)
		}
		s, more := edited(s, d, err)
		return s, append(append(effects, more...), Focus{"write-strip"})
	}
}

// toProblem moves the caret to a problem of the text.
func toProblem(s State, ps drill.Problems, m Acted) (State, []Effect) {
	n, _ := strconv.Atoi(m.Arg)
	if n < 0 || n >= len(ps) {
		return s, nil
	}
	d := s.Write.Draft.SetCaret(draft.Caret{Line: ps[n].Line, Column: ps[n].Column})
	s, effects := edited(s, d, nil)
	return s, append(effects, Focus{textField}, Reveal{faultID(n), ps[n].Line})
}

// selectBar selects a whole bar in all voices.
func selectBar(s State, arg string) (State, []Effect) {
	bar, err := strconv.Atoi(arg)
	if err != nil {
		return s, nil
	}
	return selectBars(s, bar, bar)
}

// selectBars selects whole bars in all voices.
func selectBars(s State, first, last int) (State, []Effect) {
	p := s.Write.Draft.Passage()
	starts := p.Starts()
	if first < 1 || last < first || last >= len(starts) {
		return s, nil
	}
	return edited(s, s.Write.Draft.Select(passage.Span{From: starts[first-1], To: starts[last], Voices: p.Voices()}), nil)
}
