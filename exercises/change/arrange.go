package change

import (
	"slices"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// arrange are the changes of who plays: a part goes to another voice, a fill,
// a sub drop or a lead line comes in.
func arrange() []Entry {
	return []Entry{
		{
			Form:     "move {voice} to {voice} [at {ranges}]",
			About:    "The strokes go to another voice, which keeps its own; a voice with none left leaves. A stroke that the other cannot play becomes a plain hit there.",
			Example:  "move kick to tom-floor at 2.4",
			effect:   move,
			sentence: movedTo,
			inverse:  moveBack,
		},
		{
			Form:     "fill toms at {ranges}",
			About:    "Sixteenths run over the toms, a third on each from high to floor; snare and cymbals are left out there, because the hands are busy.",
			Example:  "fill toms at 2.4",
			effect:   fillToms,
			sentence: tomsFilled,
		},
		{
			Form:     "sub at {places} [for {length}]",
			About:    "The sub drops and sounds so long, or to the end of the bar; its strokes under that are left out.",
			Example:  "sub at 1.1 for 1/2",
			effect:   sub,
			sentence: subSaid,
			inverse: func(_ passage.Passage, a Args) []Change {
				return []Change{with("drop", Args{Voices: []passage.Voice{passage.Sub}, Places: a.Places})}
			},
		},
		{
			Form:     "lead [at {ranges}] as {tremolo|tapped|held}",
			About:    "A lead line, in minor with a flat second: a tremolo every two beats, falling tapped triplets, or one long note a bar.",
			Example:  "lead at 2.3-2.4 as tapped",
			effect:   lead,
			sentence: leadSaid,
			inverse:  dropLead,
		},
	}
}

func move(p *passage.Passage, a Args) error {
	v, w := a.Voices[0], a.To
	all, err := a.stretches(*p)
	if err == nil {
		err = exchangeable(v, w)
	}
	if err == nil {
		_, err = lineOf(p, v)
	}
	if err != nil {
		return err
	}
	addedLine(p, w) // may move the line of v
	from, to := addedLine(p, v), addedLine(p, w)
	if _, found := parted(from.Strokes, all); len(found) == 0 {
		return nothingThere(*p, v, a)
	}
	for _, s := range all {
		strokes, err := recast(*p, strokesIn(*from, s), v, w)
		if err != nil {
			return err
		}
		for _, n := range strokes {
			if _, ok := strokeAt(*to, n.At); ok {
				return refuse("choose a part where it is free", "the %s has a stroke at %s already", w, p.Place(n.At))
			}
		}
		put(from, s, nil)
		put(to, s, append(strokes, strokesIn(*to, s)...))
	}
	leaveOutEmpty(p, v)
	return nil
}

func movedTo(p passage.Passage, a Args) string {
	return said(subject(a.Voices), "moves to the", a.To.Spoken(), a.where(p))
}

func moveBack(_ passage.Passage, a Args) []Change {
	return []Change{with("move", Args{Voices: []passage.Voice{a.To}, To: a.Voices[0], At: a.At})}
}

// toms from high to floor, the way a fill runs.
var toms = []passage.Voice{passage.TomHigh, passage.TomMid, passage.TomFloor}

// sixteenth is the cell of a fill; a compound beat has six of them.
var sixteenth = meter.R(1, 4)

func fillToms(p *passage.Passage, a Args) error {
	all, err := a.stretches(*p)
	if err != nil {
		return err
	}
	for _, v := range toms {
		addedLine(p, v)
	}
	for _, s := range all {
		cells := cellsIn(*p, s, func(meter.Rat) meter.Rat { return sixteenth })
		if len(cells) < len(toms) {
			return refuse("choose a longer part", "%s from %s is too short for a run over the toms", lengthWords(s.length()), p.Place(s.from))
		}
		for i := range p.Lines {
			l := &p.Lines[i]
			if handVoice(l.Voice) {
				put(l, s, nil)
			}
			if n := slices.Index(toms, l.Voice); n >= 0 {
				put(l, s, hits(share(cells, n)))
				inSixteenths(*p, l, s)
			}
		}
	}
	return nil
}

// inSixteenths says that the beats of a line that lie in a stretch are written in
// sixteenths, so that the toms of a fill stand under one another.
func inSixteenths(p passage.Passage, l *passage.Line, s stretch) {
	for _, b := range p.Beats() {
		end := b.At.Add(b.Length)
		if s.holds(b.At) && !s.to.Less(end) && sixteenth.Divides(b.Length) {
			writeAs(p, l, stretch{b.At, end}, int(b.Length.Div(sixteenth).Floor()))
		}
	}
}

// handVoice reports whether the hands play a voice of the kit besides the toms.
func handVoice(v passage.Voice) bool { return v == passage.Snare || v.Family() == passage.Cymbals }

// share returns the cells of the n-th tom: a third each, the rest to the last.
func share(cells []meter.Rat, n int) []meter.Rat {
	third := len(cells) / len(toms)
	if n == len(toms)-1 {
		return cells[n*third:]
	}
	return cells[n*third : (n+1)*third]
}

// hits returns plain hits of one cell.
func hits(places []meter.Rat) []passage.Stroke {
	all := make([]passage.Stroke, len(places))
	for i, at := range places {
		all[i] = passage.Stroke{At: at, Kind: passage.Hit}
	}
	return all
}

// cellsIn returns where cells begin in a stretch, counted from each beat. The
// length of a cell depends on the length of its beat.
func cellsIn(p passage.Passage, s stretch, cell func(beat meter.Rat) meter.Rat) []meter.Rat {
	var all []meter.Rat
	for _, b := range p.Beats() {
		step := cell(b.Length)
		for at := b.At; at.Less(b.At.Add(b.Length)); at = at.Add(step) {
			if s.holds(at) {
				all = append(all, at)
			}
		}
	}
	return all
}

func tomsFilled(p passage.Passage, a Args) string {
	run := "the toms run down from high to floor in sixteenths " + a.where(p)
	var leave []passage.Voice
	all, _ := a.stretches(p)
	for _, l := range p.Lines {
		if handVoice(l.Voice) && slices.ContainsFunc(all, func(s stretch) bool { return len(strokesIn(l, s)) > 0 }) {
			leave = append(leave, l.Voice)
		}
	}
	if len(leave) == 0 {
		return said(run)
	}
	return said(run+": the", voiceWords(leave), agree(leave, "stays", "stay"), "out")
}

func sub(p *passage.Passage, a Args) error {
	places, err := a.places(*p)
	if err != nil {
		return err
	}
	l := addedLine(p, passage.Sub)
	for _, at := range places {
		length := a.By
		if length.Sign() == 0 {
			length = p.Starts()[p.Place(at).Bar].Sub(at)
		}
		if err := fits(*p, at, length); err != nil {
			return err
		}
		put(l, stretch{at, at.Add(length)}, []passage.Stroke{{At: at, Length: length, Kind: passage.Open}})
	}
	return nil
}

func subSaid(p passage.Passage, a Args) string {
	length := "to the end of the bar"
	if a.By.Sign() > 0 {
		length = "for " + lengthWords(a.By)
	}
	return said("the sub drops", placesWords(p, a.Places), "and sounds", length)
}

// The lead lines: frets over the lowest string, in minor with a flat second
// (0 1 3 5 7 8 10 12 13 15). Our own; each is played round and round, from its
// beginning in every range.
var (
	// leadTapped falls in threes: the chord of the root, that of the flat second,
	// that of the sixth, and the root's again, lower.
	leadTapped = []uint8{15, 12, 7, 13, 8, 5, 15, 12, 8, 12, 7, 3}
	// leadTremolo leans on the flat second and comes down to the fifth.
	leadTremolo = []uint8{12, 13, 8, 7}
	// leadHeld is the same more slowly, from below.
	leadHeld = []uint8{7, 8, 13, 12}
)

func lead(p *passage.Passage, a Args) error {
	all, err := a.stretches(*p)
	if err != nil {
		return err
	}
	l := addedLine(p, passage.Lead)
	for _, s := range all {
		silence(l, s)
		put(l, s, leadLine(*p, s, a.As))
	}
	return nil
}

// dropLead leaves the strokes out again, one by one.
func dropLead(p passage.Passage, a Args) []Change {
	all, err := a.stretches(p)
	if err != nil {
		return nil
	}
	back := Args{Voices: []passage.Voice{passage.Lead}}
	for _, s := range all {
		for _, n := range leadLine(p, s, a.As) {
			back.Places = append(back.Places, p.Place(n.At))
		}
	}
	if len(back.Places) > maxBack {
		return nil
	}
	return []Change{with("drop", back)}
}

// leadLine returns the lead line of one stretch.
func leadLine(p passage.Passage, s stretch, as string) []passage.Stroke {
	switch as {
	case "tapped":
		return sung(cellsIn(p, s, tappedCell), s.to, passage.Tapped, leadTapped)
	case "tremolo":
		return sung(phrases(p, s, 2), s.to, passage.Tremolo, leadTremolo)
	}
	return sung(phrases(p, s, meter.MaxBeats), s.to, passage.Open, leadHeld)
}

// tappedCell is the third of a beat, or of its half where the beat is longer
// than a quarter: in a compound beat two threes of sixteenths.
func tappedCell(beat meter.Rat) meter.Rat {
	if meter.Int(1).Less(beat) {
		return beat.Div(meter.Int(6))
	}
	return beat.Div(meter.Int(3))
}

// phrases returns where a note begins that lasts so many beats, counted from
// each bar line and from the start of the stretch.
func phrases(p passage.Passage, s stretch, beats int) []meter.Rat {
	all := []meter.Rat{s.from}
	for _, b := range p.Beats() {
		if (b.Number-1)%beats == 0 && s.from.Less(b.At) && s.holds(b.At) {
			all = append(all, b.At)
		}
	}
	return all
}

// sung returns strokes at some places, each held to the next, the last to the
// end, with the frets of a line.
func sung(places []meter.Rat, end meter.Rat, k passage.Kind, frets []uint8) []passage.Stroke {
	all := make([]passage.Stroke, len(places))
	for i, at := range places {
		next := end
		if i+1 < len(places) {
			next = places[i+1]
		}
		all[i] = passage.Stroke{At: at, Length: next.Sub(at), Kind: k, Fret: frets[i%len(frets)]}
	}
	return all
}

func leadSaid(p passage.Passage, a Args) string {
	return said("the lead", leadWords(p, a), a.where(p))
}

// leadWords says what the lead plays.
func leadWords(p passage.Passage, a Args) string {
	notes, triplets := 0, true
	all, _ := a.stretches(p)
	for _, s := range all {
		line := leadLine(p, s, a.As)
		notes += len(line)
		for _, n := range line {
			triplets = triplets && n.Length.Den()%3 == 0
		}
	}
	switch {
	case a.As == "tremolo":
		return "plays tremolo"
	case a.As == "tapped" && triplets:
		return "taps falling triplets"
	case a.As == "tapped":
		return "taps falling threes"
	case notes == 1:
		return "holds a long note"
	}
	return "holds long notes"
}
