package grade

import (
	"fmt"
	"slices"
	"strings"

	"stampmill/exercises/change"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// sentence says in plain words what was played instead, and where.
func (s *Search) sentence(n named) string {
	if n.said != "" {
		return n.said
	}
	after, err := n.change.Apply(s.p)
	if err == nil {
		if text, ok := s.tupletSaid(after); ok {
			return text
		}
	}
	return instead(n.change, n.change.Sentence(s.p))
}

// instead turns the sentence of a change, which says what is new in a step,
// into one that says what a player did.
func instead(c change.Change, text string) string {
	low := strings.ToLower(text[:1]) + text[1:]
	rest := strings.TrimSuffix(low, ".")
	turn := func(old, new string) string {
		who, what, ok := strings.Cut(rest, old)
		if !ok {
			return ""
		}
		return fmt.Sprintf(new, who, what)
	}
	said := ""
	switch c.Entry.Name {
	case "drop":
		said = turn(" leaves out its ", "You left out the %[1]s %[2]s")
		if said == "" {
			said = turn(" leave out their ", "You left out the %[2]s of %[1]s")
		}
		said = strings.Replace(said, "the the ", "the ", 1)
	case "add":
		said = turn(" adds a stroke ", "You added a stroke to %s %s")
		for _, many := range []string{" adds strokes ", " add a stroke ", " add strokes "} {
			if said == "" {
				said = turn(many, "You added"+strings.TrimPrefix(strings.TrimPrefix(many, " adds"), " add")+"to %s %s")
			}
		}
	case "shift", "rotate", "displace":
		for _, moves := range []string{" moves ", " move ", " rotates ", " rotate ", " is pushed ", " are pushed "} {
			if said == "" {
				said = turn(moves, "You played %s %s")
			}
		}
		for _, when := range []string{" later", " sooner"} {
			said = strings.Replace(said, when, when+" than written", 1)
		}
	case "swap":
		said = turn(" change places", "You exchanged %s%s")
	case "half-time":
		said = turn(" plays in half time", "You played %s half as often%s: half-time "+spokenVoices(c.Args.Voices))
		if said == "" {
			said = turn(" play in half time", "You played %s half as often%s: half-time "+spokenVoices(c.Args.Voices))
		}
	}
	if said == "" {
		return "You played this instead: " + low
	}
	return said + "."
}

func spokenVoices(voices []passage.Voice) string { return SetOf(voices...).String() }

// tupletSaid says that a written tuplet came out as another ratio, where that
// is all that a passage differs by: "The triplet at 2.4 came out 3:3:2, not
// even."
func (s *Search) tupletSaid(after passage.Passage) (string, bool) {
	if !slices.Equal(after.Bars, s.p.Bars) {
		return "", false
	}
	for _, t := range s.p.Tuplets() {
		if s.onlyIn(after, t.At, t.End()) {
			was, now := s.splitIn(s.p, t), s.splitIn(after, t)
			switch {
			case len(was) < 2 || len(was) != len(now):
			case len(now) > mostSpoken:
				return s.unevenSaid(t)
			default:
				return fmt.Sprintf("The %s at %s came out %s, not %s.", tupletName(t.Ratio), s.p.Place(t.At), ratio(now), notRatio(was)), true
			}
		}
	}
	return "", false
}

// unevenSaid says that a tuplet came out in a ratio too long to be counted.
func (s *Search) unevenSaid(t passage.Tuplet) (string, bool) {
	for _, f := range s.g.tuplets(s.p) {
		if f.At == t.At && f.N > 0 && len(f.Nearest) > mostSpoken {
			return f.cameOut(), true
		}
	}
	return "", false
}

func tupletName(r meter.Tuplet) string {
	if name := tupletNames[r.Actual]; name != "" {
		return name
	}
	return r.String()
}

// notRatio names the written split: "even" or "2:1".
func notRatio(parts []int) string {
	if slices.Max(parts) == slices.Min(parts) {
		return "even"
	}
	return ratio(parts)
}

// onlyIn reports whether the part differs in a passage only between two places.
func (s *Search) onlyIn(after passage.Passage, from, to meter.Rat) bool {
	for _, v := range s.part {
		was, _ := s.p.Line(v)
		now, _ := after.Line(v)
		outside := func(l passage.Line) []meter.Rat {
			var all []meter.Rat
			for _, st := range l.Strokes {
				if st.Sounds() && (st.At.Less(from) || !st.At.Less(to)) {
					all = append(all, st.At)
				}
			}
			return all
		}
		if !slices.Equal(outside(was), outside(now)) {
			return false
		}
	}
	return true
}

// splitIn returns how the strokes of a tuplet's voices split it in a passage;
// nil where they do so differently, or do not begin it.
func (s *Search) splitIn(p passage.Passage, t passage.Tuplet) []int {
	var one []int
	for _, v := range t.Voices {
		if !slices.Contains(s.part, v) {
			continue
		}
		l, _ := p.Line(v)
		var at []meter.Rat
		for _, st := range l.Strokes {
			if st.Sounds() && !st.At.Less(t.At) && st.At.Less(t.End()) {
				at = append(at, st.At)
			}
		}
		if len(at) < 2 {
			return nil
		}
		var lengths []meter.Rat
		for i, a := range at {
			end := t.End()
			if i+1 < len(at) {
				end = at[i+1]
			}
			lengths = append(lengths, end.Sub(a))
		}
		parts := split(lengths)
		if at[0] != t.At || one != nil && !slices.Equal(one, parts) {
			return nil
		}
		one = parts
	}
	return one
}
