package strip

import (
	"unicode/utf8"

	"stampmill/app/svg"
)

// Places of signs in user units. Our choice.
const (
	signUp   = 1.0 // from the row's lower edge to the baseline
	signWide = 8.5 // a capital
	signRoom = 6.0 // what a row gives to the signs under its strokes
)

// signs writes who plays each stroke under it. A sign without room beside the
// one before is left out.
func (d *drawing) signs() {
	for _, r := range d.Rows {
		free := 0.0
		for _, s := range d.Sticking {
			if s.Voice != r.Voice || !d.shows(s.At) {
				continue
			}
			x, half := d.rat(s.At), signWide*float64(utf8.RuneCountInString(s.Text))/2
			if x-half < free {
				continue
			}
			d.Text("sm-stick", svg.AtMiddle, x, r.Y+d.RowHeight/2-signUp, s.Text)
			free = x + half + 1
		}
	}
}
