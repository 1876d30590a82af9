package limbs

import (
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A Row is the letters under one voice: R and L for drums and cymbals, D, U,
// S and T for strings.
type Row struct {
	Voice passage.Voice
	Marks []Mark
}

// A Mark is the letter under one stroke.
type Mark struct {
	At     meter.Rat // quarter notes
	Letter string
}

// Rows returns the letters under each voice that has any, in the order of
// lines. From a clash on a voice has none.
func Rows(p passage.Passage, pedals Pedals) []Row { return nil }
