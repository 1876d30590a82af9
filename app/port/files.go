package port

import "fmt"

// An Arrival is told of each file that comes in: its name without a folder and
// its content, or why it could not be read, as "what; what to do".
type Arrival func(name string, content []byte, err error)

// MaxDropped is how many files are taken of one drop. Our choice: more at once
// is a mistake.
const MaxDropped = 16

// Files takes files from the player and hands files to the player.
type Files interface {
	// Save offers content as a download of the given name.
	Save(name, mime string, content []byte)
	// Begin begins a download that is made piece by piece, as one too large to
	// stand in memory whole; it is offered when it is closed.
	Begin(name, mime string) Outgoing
	// Open lets the player choose one file, and answers by f; not at all when the
	// player chooses none. Accept lists endings (".drill") or media types
	// ("text/plain") to show first; a player may still choose another. A file of
	// more than most bytes is refused before it is read. Call it while handling a
	// press: browsers ask only then.
	Open(accept []string, most int, f Arrival)
	// OnDrop sets the one function told of files dropped anywhere on the page, at
	// most [MaxDropped] of each drop, in their order, each of at most most bytes. A
	// folder comes as an error. While files are held over the page, its root
	// element has the attribute data-dropping.
	OnDrop(most int, f Arrival)
}

// An Outgoing is a download that is being made. One that is never closed is
// never offered.
type Outgoing interface {
	// Write adds bytes, which may be used again after the call.
	Write(part []byte)
	Close()
}

// ErrTooLarge is the error for a file of more than most bytes.
func ErrTooLarge(name string, most int) error {
	return fmt.Errorf("%s has more than %s; choose a smaller file", name, size(most))
}

// ErrFolder is the error for a folder.
func ErrFolder(name string) error {
	return fmt.Errorf("%s is a folder; open the files in it", name)
}

// ErrUnread is the error for a file that the browser could not read.
func ErrUnread(name string) error {
	return fmt.Errorf("%s could not be read; check that it is still there and try again", name)
}

// ErrMany is the error for what is left out of a drop of n files.
func ErrMany(n int) error {
	return fmt.Errorf("%d files at once; the first %d were taken, drop the others again", n, MaxDropped)
}

// size writes a number of bytes for people.
func size(bytes int) string {
	switch {
	case bytes >= 1<<20:
		return fmt.Sprintf("%d MiB", bytes>>20)
	case bytes >= 1<<10:
		return fmt.Sprintf("%d KiB", bytes>>10)
	}
	return fmt.Sprintf("%d bytes", bytes)
}
