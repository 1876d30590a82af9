package change

import "stampmill/exercises/passage"

// product joins each of some parameters with each of others. Fields of the
// latter that are set win.
func product(a, b []Args) []Args {
	var all []Args
	for _, x := range a {
		for _, y := range b {
			all = append(all, x.joined(y))
		}
	}
	return all
}

func (a Args) joined(b Args) Args {
	if b.Voices != nil {
		a.Voices = b.Voices
	}
	if b.To != passage.NoVoice {
		a.To = b.To
	}
	if b.At != nil {
		a.At = b.At
	}
	if b.Places != nil {
		a.Places = b.Places
	}
	if b.By.Sign() != 0 {
		a.By = b.By
	}
	if b.Count != 0 {
		a.Count = b.Count
	}
	if b.Groups != nil {
		a.Groups = b.Groups
	}
	if b.Factor.Sign() != 0 {
		a.Factor = b.Factor
	}
	if b.Bar != 0 {
		a.Bar = b.Bar
	}
	if !b.Metre.IsZero() {
		a.Metre = b.Metre
	}
	if b.As != "" {
		a.As = b.As
	}
	return a
}
