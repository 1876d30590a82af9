package app

import (
	"stampmill/app/draft"
	"stampmill/app/shelf"
	"stampmill/exercises/change"
	"stampmill/exercises/complexity"
	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// writePath is the page on which exercises are written.
const writePath = "/write/"

// Write is what the Write page is doing. The exercise in hand is a draft; all
// of it is on the shelf of this device, too, at every moment.
type Write struct {
	Shelf []shelf.Entry // exercises of this device, latest first
	ID    string        // of the one in hand; "" before there is one
	Draft draft.Draft   // of no use without an ID
	Edits int           // goes up with every edit, so that drawings know

	Search string       // in the list of changes
	Offers []offered    // what may be made of the selection, as far as it was tried
	rest   draft.Offers // what is still to be tried
	begun  bool         // the list of what may be tried was made
	Chosen string       // text of the change that is shown beside the bar
	Trying string       // text of the change that is being heard; "" for the draft itself
	All    bool         // changes that do not fit are listed, too

	Settled    int  // goes up when the measures follow the text; the pictures of all bars follow, too
	Measured   bool // the measures are those of this step
	Rating     complexity.Rating
	rating     complexity.Rating // as far as it is made
	limbs      []complexity.Part // whose speed is still to be measured
	Rated      int               // goes up with each rating
	DidOf      int               // the rating that Did belongs to
	Agree      string            // in which beats kick and guitar strike together
	Did        string            // what the step changes of the one before it
	Clashes    passage.Problems  // places that limbs cannot play
	ClashLines drill.Problems    // the same, in the text

	From    int    // first bar of what is heard
	To      int    // last
	Said    string // what the last edit on the strip did
	Refused string // why the last edit was not made
	Menu    bool   // what can be done with the exercise and its steps is open
	Link    string // shown where the clipboard is not allowed
	Unkept  bool   // this device has no room for the text
	Drawing bool   // a pointer is down on the strip
}

// An offered change was tried on the selection.
type offered struct {
	text  string // of the change
	words string // its sentence
	why   string // why it does not fit, "" where it does
	find  string // all that a search looks through, in small letters
}

// The messages of the Write page.
type (
	// Typed is the text field after the player changed it; At in ms.
	Typed struct {
		Text
		At float64
	}
	// Caretted is a caret that moved in the text field.
	Caretted struct {
		Field    string
		From, To int
	}
	// Pointed is a pointer on a drawing.
	Pointed struct{ Point }
	// Shelved is what the shelf holds now.
	Shelved struct {
		Items []shelf.Entry
		// Of what was just written: the name it was asked for, the one it has, and
		// that of the copy which holds what another window wrote meanwhile.
		ID, Now, Other string
	}
	// Taken is an exercise that was taken from the shelf.
	Taken struct {
		ID, Text string
		New      bool // it was only just put there
		Practise bool
		Step     int // from 0, for practising
	}
	// Arrived is a text from a file or a link.
	Arrived struct {
		Name string
		Text string
		Err  string // "what; what to do"
	}
	// Adopted is what another window made of the exercise in hand; At in ms.
	Adopted struct {
		ID, Text string
		At       float64
	}
	// Explained is what a step changes of the one before it.
	Explained struct {
		Words string
		Rated int
	}
	// Copied tells whether a link is in the clipboard.
	Copied struct {
		Link string
		OK   bool
	}
	// Due is work that was put off.
	Due struct{ Work string }
	// Unkept is an exercise that the device had no room for.
	Unkept struct{ Why string }
)

func (Typed) msg()     {}
func (Caretted) msg()  {}
func (Pointed) msg()   {}
func (Shelved) msg()   {}
func (Taken) msg()     {}
func (Arrived) msg()   {}
func (Adopted) msg()   {}
func (Explained) msg() {}
func (Copied) msg()    {}
func (Due) msg()       {}
func (Unkept) msg()    {}

// The effects of the Write page.
type (
	// Fill brings the text field, and its caret, to the draft as it is when the
	// page was drawn.
	Fill struct{}
	// Later sends a [Due] after some ms; asked again before, it waits anew.
	Later struct {
		Work string
		MS   float64
	}
	// Shelve writes the exercise in hand to the shelf; as a new one without ID.
	Shelve struct{ ID, Text string }
	// Unshelve puts an exercise into the bin of the shelf; Reshelve takes it out.
	Unshelve struct{ ID string }
	// Reshelve takes an exercise out of the bin.
	Reshelve struct{ ID string }
	// Relist looks what the shelf holds now, and takes over what another window
	// wrote of the exercise in hand.
	Relist struct{}
	// Fetch reads an exercise from the shelf, for the Write page or to practise.
	Fetch struct {
		ID       string
		Practise bool
		Step     int
	}
	// OpenFile lets the player choose a file.
	OpenFile struct{}
	// CopyLink puts the link of a text into the clipboard.
	CopyLink struct{ Text string }
	// Explain looks for what the step changes of the one before it.
	Explain struct {
		Draft draft.Draft
		Rated int
	}
	// Held lets the browser ask before the page is left, or no more.
	Held struct{ On bool }
	// Download hands a text to the player as a file.
	Download struct{ Name, Text string }
	// Reveal scrolls to a line of the text, and then just so far that an element
	// is in sight; "" for none.
	Reveal struct {
		ID   string
		Line int
	}
)

func (Fill) effect()     {}
func (Later) effect()    {}
func (Shelve) effect()   {}
func (Unshelve) effect() {}
func (Reshelve) effect() {}
func (Relist) effect()   {}
func (Fetch) effect()    {}
func (OpenFile) effect() {}
func (CopyLink) effect() {}
func (Explain) effect()  {}
func (Held) effect()     {}
func (Download) effect() {}
func (Reveal) effect()   {}

// textField is the id of the field in which the exercise is written.
const textField = "text"

// writing reports whether the Write page is shown with an exercise in hand.
func (s State) writing() bool { return s.Page == writePath && s.Write.ID != "" }

// heardOnWrite returns what is heard on the Write page: the step as written,
// or with the change that is tried.
func (s State) heardOnWrite() passage.Passage {
	p := s.Write.Draft.Passage()
	if s.Write.Trying == "" {
		return p
	}
	c, err := change.Parse(s.Write.Trying)
	if err != nil {
		return p
	}
	after, _ := c.Apply(p) // what is refused stays as it was
	return after
}
