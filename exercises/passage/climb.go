package passage

import "stampmill/exercises/meter"

// A Climb is an exercise: an ordered list of steps, each made from an earlier
// one by one or two changes, or written out.
type Climb struct {
	Title, By, About string
	Tempo            []meter.Tempo // tempo of each bar, the last one goes on; at least one
	Metre            []meter.Metre // metre of each bar, the last one goes on; at least one
	Tuning           Pitch
	Machine          bool
	Steps            []Step
}

// A Step is one passage of a climb, with one plain sentence that says what is
// new. Written keeps how the text makes it; Passage is what comes out.
type Step struct {
	Title, Says string
	From        string        // title of the step it is made from; "" for the one before, or none
	Do          []string      // changes, as text
	Tempo       []meter.Tempo // nil: the climb's
	Metre       []meter.Metre // nil: the climb's, or those of the step it is made from
	Written     []Line        // voice lines as written; with Do they replace whole voices
	Passage     Passage
}
