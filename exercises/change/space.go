package change

// space are the changes of one group of the catalogue.
func space() []Entry { return nil }
