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
func Rows(p passage.Passage, pedals Pedals) []Row {
	sticks, _ := Play(p, pedals)
	var rows []Row
	for _, l := range p.Lines {
		marks := pickMarks(p, l.Voice)
		for _, s := range sticks {
			if s.Voice == l.Voice {
				marks = append(marks, Mark{s.At, s.Limb.Letter()})
			}
		}
		if len(marks) > 0 {
			rows = append(rows, Row{l.Voice, marks})
		}
	}
	return rows
}

func pickMarks(p passage.Passage, v passage.Voice) []Mark {
	var marks []Mark
	picks, _ := Picks(p, v)
	for _, k := range picks {
		marks = append(marks, Mark{k.At, k.Motion.Letter()})
	}
	return marks
}
