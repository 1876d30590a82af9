package app

import (
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
	ListenAsking                      // a question waits for its answer
	ListenAnswered                    // it was answered: what was to be heard, and what comes next
	ListenEnded                       // the summary
)

// Listen is what the Listen page is doing.
type Listen struct {
	Stage    ListenStage
	Number   int           // of the question, from 1
	Trial    ear.Trial     // of Asking and Answered
	Sounding int           // index of the sound that is heard, slow ones after those of the trial; -1 for none
	Slow     bool          // A and B play slowly, at the difference
	Plays    []int         // how often each sound of the trial was heard
	Chosen   []int         // for each ask that offers choices, in order: the choice, -1 for none
	Place    passage.Place // Bar 0 for none
	Draft    draft.Draft   // what is written of a dictation: the asked voice alone
	Taking   bool          // the player taps, count-in included
	Answer   ear.Answer    // of Answered
	Result   ear.Result    // of Answered
	Minutes  int           // a session lasts
	Said     string        // told once by the live region

	Session ear.Session
	Here    []ear.Done  // answered in this session, in order of time
	All     []ear.Done  // ever answered on this device, in order of time; never changed in place
	Summary ear.Summary // of Ended
	Making  bool        // the question is being made
	Note    string      // what was passed over, and why
}

// listening reports whether a session is open on the page shown.
func (s State) listening() bool { return s.Page == listenPath && s.Listen.Stage != ListenReady }
