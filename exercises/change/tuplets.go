package change

// tuplets are the changes of one group of the catalogue.
func tuplets() []Entry { return nil }
