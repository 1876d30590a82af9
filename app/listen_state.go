package app

import (
	"time"

	"stampmill/app/draft"
	"stampmill/exercises/ear"
	"stampmill/exercises/passage"
)

// listenPath is the page on which the ear is trained.
const listenPath = "/listen/"

// A ListenStage is how far a listening session is.
type ListenStage uint8

// The stages of a session.
const (
	ListenReady    ListenStage = iota // nothing was begun: what it is, minutes, tasks
	ListenAsking                      // a question waits for its answer, or is being made
	ListenAnswered                    // it was answered: what was to be heard, and what comes next
	ListenEnded                       // the summary
)

// Listen is what the Listen page is doing.
type Listen struct {
	Stage    ListenStage
	Number   int           // of the question, from 1
	Trial    ear.Trial     // of Asking and Answered; without asks while it is being made
	Sounding int           // index of the sound that is heard, slow ones after those of the trial; -1 for none
	Slow     bool          // of Answered: A and B play slowly, at the difference
	Plays    []int         // how often each sound of the trial was heard
	Chosen   []int         // for each ask that offers choices, in order: the choice, -1 for none
	Place    passage.Place // Bar 0 for none
	Draft    draft.Draft   // what is written of a dictation: the asked voice alone
	Taking   bool          // the player taps, count-in included
	Answer   ear.Answer    // of Answered
	Result   ear.Result    // of Answered
	Said     string        // told once by the live region
	Refused  string        // why the last answer or sign was not taken

	Session ear.Session
	Here    []ear.Done  // answered in this session, in order of time
	All     []ear.Done  // ever answered on this device, in order of time; never changed in place
	Summary ear.Summary // of Ended
	Making  bool        // a question is being made, and waited for
	Note    string      // what was passed over, and why

	read  bool          // All is all that the device has
	turn  int           // of the question that is being made; what comes of another is for nothing
	next  *posed        // the question after this one, once it is made
	trial posed         // what Trial was made from
	last  ear.Trial     // the question before, also one that was dropped
	shown time.Time     // when the question, or what came of it, was shown
	begun time.Time     // when it was heard first; zero before
	spent time.Duration // in this session
	lost  int           // questions of this session that were dropped
	heard int           // index of the sound heard last
	known bool          // of Answered: the delay of what the taps came from was measured
	away  Notice        // what is to be said when the player is back on the page
}

// A posed question is a trial with what is to be known of its source.
type posed struct {
	trial ear.Trial
	text  string // of its climb, as it is kept beside the answer
	step  int    // of the climb, from 0
	note  string // what was passed over before, and why
}

// sounded returns one of the sounds of the question, slow ones after those of
// the trial.
func (l Listen) sounded(i int) (ear.Sound, bool) {
	n := len(l.Trial.Sounds)
	switch {
	case i < 0:
	case i < n:
		return l.Trial.Sounds[i], true
	case i-n < len(l.Result.Slow):
		return l.Result.Slow[i-n], true
	}
	return ear.Sound{}, false
}

// under returns what sounds while the player taps.
func (l Listen) under() (ear.Sound, bool) {
	if ask, ok := l.ask(ear.Taps); ok && ask.Under != nil {
		return *ask.Under, true
	}
	return l.sounded(0)
}

// ask returns the first ask of a kind.
func (l Listen) ask(kind ear.AskKind) (ear.Ask, bool) {
	for _, a := range l.Trial.Asks {
		if a.Kind == kind {
			return a, true
		}
	}
	return ear.Ask{}, false
}

// open reports whether the question was begun and not answered: then it is
// dropped when the player cannot go on with it.
func (l Listen) open() bool {
	return l.Stage == ListenAsking && len(l.Trial.Asks) > 0 && (!l.begun.IsZero() || l.Sounding >= 0 || l.Taking)
}

// forListening reports whether what plays, or is about to, belongs to a
// listening question.
func (a Aim) forListening() bool { return a == ForListening || a == ForTapping }

// heardNow is the sound of the question that plays.
func (s State) heardNow() (ear.Sound, bool) {
	if s.Aim == ForTapping {
		return s.Listen.under()
	}
	return s.Listen.sounded(s.Listen.Sounding)
}
