package app

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// An Effect is something that [Update] wants done. Effects are values; a
// [Program] does them.
type Effect interface{ effect() }

// The effects.
type (
	// Play loads a plan and starts it.
	Play struct{ Plan synth.Plan }
	// Prepare makes the sounds of a plan that may come next.
	Prepare struct{ Plan synth.Plan }
	// Halt stops the sound.
	Halt struct{}
	// Retempo changes the tempo of what plays, from its next pass.
	Retempo struct{ BPM meter.Rat }
	// Balance sets which voices are silent, and all levels.
	Balance struct {
		Silent []passage.Voice
		Levels map[passage.Voice]float32
		Master float32
	}
	// Show draws a hit at once: the upright mark at the place where it fell, and
	// its lean where that is known. Places are quarter notes of the whole step.
	Show struct {
		At            float64
		Lean          bool
		Written, Late float64 // quarter notes; ms
	}
	// Clear takes the drawn hits away.
	Clear struct{}
	// Light lights the edge of a touch area, or lets it go dark.
	Light struct {
		Area string
		On   bool
	}
	// Keep stores a record.
	Keep struct{ Name, Value string }
	// Own stores that a step was passed at a tempo, beside what another window
	// has stored since.
	Own struct {
		Step  string
		Tempo int
	}
	// Offer hands a file to the player.
	Offer struct {
		Name    string
		Content []byte
	}
	// SaveFile hands a file of some media type to the player.
	SaveFile struct {
		Name, Mime string
		Content    []byte
	}
	// SaveTake hands a stored take to the player as a file.
	SaveTake struct{ Name string }
	// Print prints the page.
	Print struct{}
	// Focus moves the keyboard to an element.
	Focus struct{ ID string }
	// Look sets the colours.
	Look struct{ Theme string }
	// Go opens a page.
	Go struct{ Path string }
	// Used tells the browser that a press was taken and means nothing else.
	Used struct{}
	// Same tells that nothing on the page changed, so that it is not drawn again.
	Same struct{}
)

func (Play) effect()     {}
func (Prepare) effect()  {}
func (Halt) effect()     {}
func (Retempo) effect()  {}
func (Balance) effect()  {}
func (Show) effect()     {}
func (Clear) effect()    {}
func (Light) effect()    {}
func (Keep) effect()     {}
func (Own) effect()      {}
func (Offer) effect()    {}
func (SaveFile) effect() {}
func (SaveTake) effect() {}
func (Print) effect()    {}
func (Focus) effect()    {}
func (Look) effect()     {}
func (Go) effect()       {}
func (Used) effect()     {}
func (Same) effect()     {}
