package transport

// An Event is told to the listener of a [Transport].
type Event struct {
	Kind   Kind
	Notice Notice // Stopped, Noticed: why or what
	Pass   int    // Passed: which one, from 0
}

// A Kind is what an event tells.
type Kind uint8

// The kinds of events.
const (
	Progressed Kind = iota // one more sound was made that is needed to begin, see [Transport.Making]
	Ready                  // all sounds that the loaded plan needs to begin are there
	Started                // the first sound is on its way
	Passed                 // a pass was heard to its end
	Ended                  // the last pass was heard, and a late last press had its time
	Stopped                // playing, or the attempt to start, came to an end before that
	Noticed                // something the player should know; playing goes on
)

// A Notice is what the player has to be told in words.
type Notice uint8

// The notices that come with Stopped. Start recovers from each of them.
const (
	ByPlayer      Notice = iota // Stop or Load was called
	NeedsPress                  // the browser waits for a press before it plays
	NoOutput                    // there is no sound output, or the browser gives none
	WentHidden                  // the page went out of sight, where its timers are held back
	WasSuspended                // the system or the browser suspended the sound
	OutputLost                  // the output went away, or stands still
	OutputChanged               // the sound moved to another output
	NoSounds                    // the plan cannot be played at the rate of this device
)

// The notices that come with Noticed.
const (
	LeftOut       Notice = iota + 32 // strokes could not be placed in time and were left out, see [Transport.Late]
	Stuttered                        // the output lost its place for a moment: presses just there are less sure
	RoughClock                       // the browser does not tell when sound is heard: presses are placed to some ms only
	OutputsListed                    // a sound device was plugged in or out; it may not be the one in use
)
