package port

import "errors"

// A Record is bytes kept under a name.
type Record struct {
	// Name is printable ASCII; an archive orders its records by it.
	Name  string
	Value []byte
}

// Archive keeps what grows on this device: many records, read and written in
// batches. All windows of the program share it. What must be read and written
// at once belongs into [Store].
//
// Every function given is called exactly once, at once or later, unless the
// page is closed before. A read that is asked for after a write sees what that
// wrote. After an error nothing has changed, and the next call is tried anew.
type Archive interface {
	// Put writes records, all or none of them, in the place of those of the same
	// names. It is done when they are on the device.
	Put(records []Record, done func(error))
	// Get gives those of the named records that are there, in the order of names.
	Get(names []string, f func([]Record, error))
	// Range gives at most most records whose names begin with prefix and come
	// after the name after, in order of names. With after "" it begins with the
	// first, so a caller that goes on from the last name it has seen reads all.
	Range(prefix, after string, most int, f func([]Record, error))
	// Names gives all names that begin with prefix, in order.
	Names(prefix string, f func([]string, error))
	// Delete removes records, all or none; it is no error when there are none of
	// these names.
	Delete(names []string, done func(error))
	// Clear removes every record.
	Clear(done func(error))
	// OnChange sets the one function told when another window wrote or deleted
	// records; names is nil when it deleted all.
	OnChange(func(names []string))
	// Persist asks the browser not to clear the archive when the device has little
	// room, and gives its answer. It may ask the player.
	Persist(f func(granted bool))
}

// Errors of an archive, each as "what; what to do". Others may come from the
// browser.
var (
	ErrNoRoom  = errors.New("this device has no room; delete something")
	ErrDenied  = errors.New("the browser keeps nothing for this page; allow it to store data, or use another window")
	ErrClosed  = errors.New("the browser closed the records while they were used; try again")
	ErrBlocked = errors.New("another window holds the records in an older form; close it")
	ErrNewer   = errors.New("the records were stored by a newer version; load the page again to get that version")
)
