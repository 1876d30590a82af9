package grade

import (
	"fmt"
	"math"

	"stampmill/exercises/passage"
)

// What is worth a word about how strokes are made. Our choice: listeners begin
// to tell the order of two sounds at about 20 ms (Hirsh 1959, J. Acoust. Soc.
// Am. 31, 759-767, from memory), and flams are commonly played at 20 to 40 ms.
const (
	wideGraceMS  = 60.0 // a grace stroke sooner before its main stroke is heard as a stroke of its own
	flatGraceMS  = 8.0  // one later than this is heard with it
	graceShare   = 0.25 // of the flams without grace strokes
	leastLouder  = 0.10 // strength by which accents must differ from hits to be heard
	leastStand   = 0.50 // share of the accents that must stand out
	leastEndMS   = 30.0 // a stroke ended by less than this early or late is not said
	weighGraceMS = 60.0 // findings of this size weigh 1
	weighEndMS   = 60.0
)

// manners says how accents, ghosts, flams, drags and written ends came out.
func (r *report) manners() []finding {
	return r.look(nil, r.accents, r.ghosts, r.noGrace, r.grace, r.ends)
}

// accents says that the accents do not stand out.
func (r *report) accents() (finding, bool) {
	a := r.Accents
	text := ""
	switch {
	case !a.OK || !a.Louder.OK:
	case a.Louder.Low <= 0 && a.Louder.Value < leastLouder:
		text = fmt.Sprintf("The accents do not stand out: strength %s, the other hits %s.", hundredths(a.Accent.Value), hundredths(a.Hit.Value))
	case a.StandOut.OK && a.StandOut.Value < leastStand:
		text = fmt.Sprintf("Only %.0f of %d accents stand out.", a.StandOut.Value*float64(a.StandOut.N), a.StandOut.N)
	}
	return finding{weight: 1, text: text, anyDelay: text}, text != ""
}

// ghosts says that the ghosts are as strong as the hits.
func (r *report) ghosts() (finding, bool) {
	g, h := r.Accents.Ghost, r.Accents.Hit
	text := fmt.Sprintf("The ghosts are as strong as the hits: %s against %s.", hundredths(g.Value), hundredths(h.Value))
	return finding{weight: 1, text: text, anyDelay: text}, g.OK && h.OK && g.Value > h.Value-leastLouder && g.High >= h.Low
}

// hundredths writes a strength, such as "52 of 100".
func hundredths(strength float64) string { return fmt.Sprintf("%.0f of 100", 100*strength) }

// noGrace says how many flams or drags came as plain strokes.
func (r *report) noGrace() (finding, bool) {
	var missing, n [2]int
	var where [2][]GraceFigures
	for _, g := range r.Graces {
		k := 0
		if g.Kind == passage.Drag {
			k = 1
		}
		missing[k] += g.Missing
		n[k] += g.N
		if g.Missing > 0 {
			where[k] = append(where[k], g)
		}
	}
	k := 0
	if share(missing[1], max(n[1], 1)) > share(missing[0], max(n[0], 1)) {
		k = 1
	}
	noun, lack := "flam", "without a grace stroke"
	if k == 1 {
		noun, lack = "drag", "without both grace strokes"
	}
	f := finding{weight: share(missing[k], max(n[k], 1)) / graceShare}
	f.text = fmt.Sprintf("%d of %s came %s", missing[k], count(n[k], noun), lack)
	if len(where[k]) == 1 && len(r.Graces) > 1 {
		f.text += ofThem(missing[k], missing[k]) + "on the " + spokenVoice(where[k][0].Voice) + " " + r.placed(where[k][0])
		f.bar = where[k][0].Place.Bar
	}
	f.text += "."
	f.anyDelay = f.text
	return f, f.weight >= 1
}

// placed says where a flam or drag stands.
func (r *report) placed(g GraceFigures) string {
	return r.spoken(Position{At: g.At, Place: g.Place})
}

// grace says which flam or drag is farthest from what is heard as one.
func (r *report) grace() (finding, bool) {
	var best finding
	for _, g := range r.Graces {
		ms := g.GraceMS
		f := finding{bar: g.Place.Bar}
		switch {
		case !ms.OK:
		case ms.Low > wideGraceMS:
			f.weight = ms.Value / weighGraceMS
			f.text = fmt.Sprintf("The %s %s is wide: its grace comes %.0f ms before.", g.Kind, r.placed(g), ms.Value)
		case ms.High < flatGraceMS:
			f.weight = 1
			f.text = fmt.Sprintf("The %s %s is flat: its grace comes %.0f ms before.", g.Kind, r.placed(g), ms.Value)
		}
		if f.weight > best.weight {
			best = f
		}
	}
	best.anyDelay = best.text
	return best, best.weight > 0
}

// ends says which written end is farthest from where it was played.
func (r *report) ends() (finding, bool) {
	var best finding
	for _, l := range r.Lengths {
		d := l.Played.Value - l.WrittenMS
		sure := l.Played.OK && (l.Played.Low > l.WrittenMS || l.Played.High < l.WrittenMS)
		if !sure || math.Abs(d) < leastEndMS || math.Abs(d)/weighEndMS <= best.weight {
			continue
		}
		ends := "ends"
		if l.Voice.Family() == passage.Cymbals {
			ends = "is choked"
		}
		too := "late"
		if d < 0 {
			too = "soon"
		}
		text := fmt.Sprintf("The %s %s %s %.0f ms too %s.", spokenVoice(l.Voice), r.spoken(Position{At: l.At, Place: l.Place}), ends, math.Abs(d), too)
		best = finding{weight: math.Abs(d) / weighEndMS, text: text, anyDelay: text, bar: l.Place.Bar}
	}
	return best, best.weight > 0
}
