package app

import (
	"slices"
	"sort"
	"time"

	"stampmill/app/logbook"
	"stampmill/exercises"
	"stampmill/exercises/change"
	"stampmill/exercises/drill"
	"stampmill/exercises/ear"
)

// An ownClimb is an exercise of the shelf as it was read, with its text then.
type ownClimb struct {
	text  string
	entry exercises.Entry
	ok    bool // it can be practised
}

// mostOwn is how many exercises of the shelf questions are made from, those
// changed last; our choice, as many as are in work at a time.
const mostOwn = 12

// pose makes a question in slices: first the player's exercises are read, then
// it is tried on source after source.
func (p *Program) pose(e Pose) {
	p.poses = e.Turn
	var ids []string
	for _, item := range p.state.readable() {
		if len(ids) < mostOwn {
			ids = append(ids, item.ID)
		}
	}
	p.readOwn(e.Turn, ids, nil, func(own []exercises.Entry) {
		front, rest := sources(p.state, own)
		p.poseFrom(e, own, front, rest)
	})
}

// going reports whether the answer to a turn is still wanted.
func (p *Program) going(turn int) bool { return p.poses == turn }

// readOwn reads exercises of the shelf, one at a time.
func (p *Program) readOwn(turn int, ids []string, read []exercises.Entry, then func([]exercises.Entry)) {
	p.ports.Clock.Yield(func() {
		if !p.going(turn) {
			return
		}
		if len(ids) == 0 {
			then(read)
			return
		}
		if c := p.ownClimb(ids[0]); c.ok {
			read = append(read, c.entry)
		}
		p.readOwn(turn, ids[1:], read, then)
	})
}

// ownClimb is an exercise of the shelf, read anew where its text has changed.
func (p *Program) ownClimb(id string) ownClimb {
	text, err := p.shelf.Read(id)
	if err != nil {
		return ownClimb{}
	}
	if c, there := p.own[id]; there && c.text == text {
		return c
	}
	climb, problems := drill.Parse(fileOf(text), []byte(asField(text)), change.Catalogue())
	c := ownClimb{text, exercises.Entry{Name: ownName(id), Climb: climb}, len(problems) == 0}
	if p.own == nil {
		p.own = map[string]ownClimb{}
	}
	p.own[id] = c
	return c
}

// poseFrom tries the sources of front, and those of rest where none fits.
func (p *Program) poseFrom(e Pose, own []exercises.Entry, front, rest []ear.Source) {
	making := ear.Begin(e.Asked.Task, front, e.Asked.D, e.Asked.Seed+uint64(e.Before), e.Last)
	var slice func()
	slice = func() {
		if !p.going(e.Turn) {
			making.Stop()
			return
		}
		for begun := p.ports.Clock.Now(); p.ports.Clock.Now()-begun < seekMS; {
			if !making.Next() {
				continue
			}
			trial, err := making.Trial()
			if err != nil && len(rest) > 0 {
				p.poseFrom(e, own, rest, nil)
				return
			}
			p.Dispatch(p.posed(e, trial, err, own, making))
			return
		}
		p.ports.Clock.Yield(slice)
	}
	p.ports.Clock.Yield(slice)
}

// posed is what came of making a question.
func (p *Program) posed(e Pose, trial ear.Trial, err error, own []exercises.Entry, making *ear.Making) Posed {
	m := Posed{Turn: e.Turn, Question: posed{trial: trial}, Why: err}
	if err != nil {
		m.Question.trial.Task = e.Asked.Task
		return m
	}
	for _, entry := range append(p.state.builtIn(), own...) {
		if entry.Name != trial.Source.Climb {
			continue
		}
		m.Question.text, _ = logbook.TextOf(entry.Climb) // without one it cannot be asked again
		for i, step := range entry.Climb.Steps {
			if step.Title == trial.Source.Title {
				m.Question.step = i
			}
		}
	}
	if source, why := making.Passed(); why != nil {
		m.Question.note = p.state.climbTitle(source.Climb) + ", " + source.Title + ", was passed over: " + lowered(sentence(why.Error()))
	}
	return m
}

// recently is how long ago a step was played that still counts as the player's;
// our choice.
const recently = 28 * 24 * time.Hour

// frontSources is how many steps stand in front. Our choice: of so many, some
// ten of the player's are asked about every other time.
const frontSources = 24

// sources are the steps that questions are made from: those of the player's own
// exercises and those played lately, the latest first, then the library; and
// those that are only taken where none of these fits.
func sources(s State, own []exercises.Entry) (front, rest []ear.Source) {
	played := map[string]time.Time{}
	for _, e := range s.Book {
		if s.Now.Sub(e.At) < recently {
			played[stepName(e.Exercise, e.Title)] = e.At // in order of time
		}
	}
	type ranked struct {
		ear.Source
		at   time.Time
		mine bool
	}
	var all []ranked
	add := func(entries []exercises.Entry, mine bool) {
		for _, e := range entries {
			for _, step := range e.Climb.Steps {
				at, lately := played[stepName(e.Name, step.Title)]
				all = append(all, ranked{ear.Source{Climb: e.Name, Title: step.Title, Passage: step.Passage}, at, mine || lately})
			}
		}
	}
	add(own, true)
	add(s.builtIn(), false)
	sort.SliceStable(all, func(i, j int) bool {
		if all[i].mine != all[j].mine {
			return all[i].mine
		}
		return all[i].at.After(all[j].at)
	})
	for _, r := range all {
		front = append(front, r.Source)
	}
	n := min(len(front), frontSources)
	return slices.Clip(front[:n]), front[n:]
}

// listenFrame moves the playhead over the sound of a question.
func (p *Program) listenFrame(pass int, quarters float64) {
	if p.state.Aim == ForTapping && pass != p.begun.Pass { // the count-in is over
		p.begun = Reached{Pass: pass, Bar: 1}
		p.Dispatch(p.begun)
	}
	if id, transform := listenHead(p.state, p.picture, p.stepped(quarters)); id != "" {
		p.ports.Screen.Attr(id, "transform", transform)
	}
}
