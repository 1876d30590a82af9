package drill

import (
	"fmt"
	"slices"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// testChanges is a small catalogue: "mute V", "late V by D" (a note value),
// "cut" (drops the last bar), "break" (leaves the limits).
type testChanges struct{}

type change = func(passage.Passage) (passage.Passage, error)

func (testChanges) Parse(text string) (change, error) {
	words := strings.Fields(text)
	switch {
	case len(words) == 2 && words[0] == "mute":
		return withVoice(words[1], mute)
	case len(words) == 4 && words[0] == "late" && words[2] == "by":
		by, err := meter.ParseLength(words[3])
		if err != nil {
			return nil, err
		}
		return withVoice(words[1], func(p passage.Passage, i int) (passage.Passage, error) { return late(p, i, by) })
	case text == "cut":
		return cut, nil
	case text == "break":
		return func(p passage.Passage) (passage.Passage, error) { p.Bars = nil; return p, nil }, nil
	}
	return nil, fmt.Errorf("no change is called %q; see the list", words[0])
}

func withVoice(name string, f func(passage.Passage, int) (passage.Passage, error)) (change, error) {
	v, ok := passage.VoiceNamed(name)
	if !ok {
		return nil, fmt.Errorf("%q is not a voice; write one", name)
	}
	return func(p passage.Passage) (passage.Passage, error) {
		i := slices.IndexFunc(p.Lines, func(l passage.Line) bool { return l.Voice == v })
		if i < 0 {
			return p, fmt.Errorf("there is no %s to change; name another voice", v)
		}
		return f(p, i)
	}, nil
}

func mute(p passage.Passage, i int) (passage.Passage, error) {
	p.Lines = slices.Delete(p.Lines, i, i+1)
	return p, nil
}

// late moves a line, dropping what leaves the passage.
func late(p passage.Passage, i int, by meter.Rat) (passage.Passage, error) {
	end := p.Length()
	var kept []passage.Stroke
	for _, s := range p.Lines[i].Strokes {
		s.At = s.At.Add(by)
		if s.At.Valid() && !end.Less(s.End()) {
			kept = append(kept, s)
		}
	}
	p.Lines[i].Strokes = kept
	return p, nil
}

func cut(p passage.Passage) (passage.Passage, error) {
	if len(p.Bars) < 2 {
		return p, fmt.Errorf("there is one bar only; keep it")
	}
	return p.Section(1, len(p.Bars)-1)
}
