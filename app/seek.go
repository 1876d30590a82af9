package app

import (
	"slices"

	"stampmill/app/logbook"
	"stampmill/exercises/grade"
)

// Seek looks on for the misreading of a take that was judged without, in
// slices: the page answers meanwhile.
type Seek struct {
	Verdict Verdict // as it was judged first
	Search  *grade.Search
}

// Sought is the end of looking for a misreading: the verdict as it was judged
// first, and what was found; nil for none.
type Sought struct {
	Verdict    Verdict
	Misreading *grade.Misreading
}

func (Seek) effect() {}
func (Sought) msg()  {}

// How much of a search is done at a time, in the units of [grade.Search.Next].
// Our choice: the first look, while the verdict is made, is enough for a take
// in which nothing was misread; a later one is some milliseconds in a browser.
const (
	firstLook = 10
	seekWork  = 20
	seekMS    = 12 // how long the page looks before it answers, well under 50 ms
)

// looked judges a take but for what takes long: then the search that is still
// to be done is returned, too.
func looked(s State, t grade.Take) (grade.Verdict, *grade.Search, error) {
	o := s.grading()
	o.NoSearch = true
	v, err := grade.Grade(s.written(), t, o)
	if err != nil {
		return v, nil, err
	}
	search, err := grade.NewSearch(s.written(), t, o)
	if err != nil || !search.Next(firstLook) {
		return v, search, err
	}
	if m := search.Misreading(); m != nil {
		v = v.With(m)
	}
	return v, nil, nil
}

// sought takes over what a search has found, also when the player has gone on.
func sought(s State, m Sought) (State, []Effect) {
	v := m.Verdict
	if !slices.ContainsFunc(s.Book, func(e logbook.Entry) bool { return e.Name == v.Name }) {
		return s, []Effect{Same{}} // deleted meanwhile
	}
	v.Verdict = v.Verdict.With(m.Misreading)
	e := v.entry()
	s = booked(s, e)
	if s.Verdict != nil && s.Verdict.Name == v.Name {
		now := *s.Verdict // it may have been judged by other marks meanwhile
		now.Verdict, now.Open = now.Verdict.With(m.Misreading), false
		s.Verdict = &now
		v = now
	}
	s, effects := passed(s, v)
	effects = append(effects, Rebook{e})
	if s.Phase == Playing {
		effects = append(effects, Same{})
	}
	return s, effects
}

// entry is what the book holds of a verdict.
func (v Verdict) entry() logbook.Entry { return logbook.EntryOf(v.Name, v.Record, v.Step, v.Verdict) }

// seek looks for a misreading until that is known.
func (p *Program) seek(e Seek) {
	begun := p.ports.Clock.Now()
	for p.ports.Clock.Now()-begun < seekMS {
		if e.Search.Next(seekWork) {
			p.Dispatch(Sought{e.Verdict, e.Search.Misreading()})
			return
		}
	}
	if p.state.Phase != Idle { // what plays comes first
		p.ports.Clock.After(seekLater, func() { p.seek(e) })
		return
	}
	p.ports.Clock.Yield(func() { p.seek(e) })
}

// seekLater is how long the search waits while something plays; our choice.
const seekLater = 300 // ms
