package app

// loopBar is what pressing a bar does to the loop: the first bar alone, then
// the range grows to a bar outside of it and shrinks to one inside; the only
// bar of a loop gives the whole step again.
func loopBar(loop Range, bar, bars int) Range {
	switch {
	case bar < 1 || bar > bars:
		return loop
	case loop == Range{}:
		loop = Range{bar, bar}
	case bar < loop.First:
		loop.First = bar
	case bar > loop.Last:
		loop.Last = bar
	case loop.First == loop.Last:
		return Range{}
	default:
		loop = Range{bar, bar}
	}
	if loop == (Range{1, bars}) && bars > 1 {
		return Range{}
	}
	return loop
}

// loopTo sets the loop and lets what is heard begin again in it.
func loopTo(s State, loop Range) (State, []Effect) {
	if loop.First < 1 || loop.Last < loop.First || loop.Last > len(s.written().Bars) {
		loop = Range{}
	}
	if loop == (Range{1, len(s.written().Bars)}) {
		loop = Range{} // all of it is no loop
	}
	s.Loop = loop
	s.Bar, _ = s.bars()
	s.Verdict = nil
	return again(s)
}

// again starts what is being heard anew after a change of what is played.
func again(s State) (State, []Effect) {
	if s.Phase != Idle && s.Aim == ForHearing {
		return start(s, ForHearing)
	}
	return s, nil
}
