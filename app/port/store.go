package port

// Store keeps records on this device by name. All windows of the program share
// it.
type Store interface {
	// Get returns a record; ok is false where there is none.
	Get(name string) (value string, ok bool)
	// Put writes a record. When it fails, the old value is still there.
	Put(name, value string) error
	// Delete removes a record; it is no error when there is none.
	Delete(name string) error
	// Names returns the names that begin with prefix, in no order.
	Names(prefix string) []string
	// OnChange sets the one function told when another window wrote or deleted a
	// record; name is "" when it deleted all.
	OnChange(func(name string))
}
