package app

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/synth"
)

// startCells is the click of a player's own before it was changed: the last
// sixteenth of every beat, a hard one to hold.
const startCells = "4 of 4"

// goodClick reports whether a stored click can be read.
func goodClick(text string) bool {
	_, _, err := synth.ParseClick(text)
	return err == nil && len(text) <= 200
}

func (s Settings) click() (synth.Click, synth.Places) {
	click, places, err := synth.ParseClick(s.Click)
	if err != nil {
		return synth.ClickBeats, synth.Places{}
	}
	return click, places
}

func (s Settings) silence() synth.Silence {
	silence, _ := synth.ParseSilence(s.Silence) // what is wrong is no silence
	return silence
}

// clickBox chooses where the click sounds. What stands there that is not among
// the usual ones is a click of the player's own.
func clickBox(s State) app.UI {
	options := []option{{"beats", "every beat"}, {"offbeats", "off the beat only"}, {"on 2,4", "on 2 and 4"}, {"on 1", "on 1"}, {"count-in", "count-in only"}, {"none", "none"}}
	for _, text := range []string{s.Settings.Cells, s.Settings.Click} {
		if !slices.ContainsFunc(options, func(o option) bool { return o.value == text }) {
			options = append(options, option{text, clickWords(text)})
		}
	}
	return choice("click", "click", "Click", s.Settings.Click, options)
}

// clickWords says which cells click: "cell 4 of 4", "cells 1 and 3 of 3 on 2".
func clickWords(text string) string {
	_, p, err := synth.ParseClick(text)
	if err != nil {
		return text
	}
	words := ""
	if cells := cellsIn(p); p.Of > 1 {
		words = "cell "
		if len(cells) > 1 {
			words = "cells "
		}
		words += numberWords(cells) + " of " + strconv.Itoa(p.Of)
	}
	if len(p.Beats) > 0 {
		words += " on " + numberWords(p.Beats)
	}
	return cmp.Or(strings.TrimSpace(words), "every beat")
}

func cellsIn(p synth.Places) []int {
	if len(p.Cells) == 0 {
		return []int{1}
	}
	return p.Cells
}

// numberWords is "1", "1 and 3", "1, 2 and 4".
func numberWords(numbers []int) string {
	var words []string
	for _, n := range numbers {
		words = append(words, strconv.Itoa(n))
	}
	return joinWords(words)
}

// silences are the silent bars to choose from.
var silences = []option{{"none", "none"}, {"1+1", "1 heard, 1 silent"}, {"2+2", "2 heard, 2 silent"}, {"3+1", "3 heard, 1 silent"}, {"4+4", "4 heard, 4 silent"}}

// silenceBox chooses bars in which nothing sounds while the take goes on.
func silenceBox(s State) app.UI {
	options := silences
	if now := s.Settings.silence(); !slices.ContainsFunc(options, func(o option) bool { return o.value == s.Settings.Silence }) {
		options = append(slices.Clone(options), option{s.Settings.Silence, fmt.Sprintf("%d heard, %d silent", now.Heard, now.Silent)})
	}
	return choice("silence", "silence", "Silent bars", s.Settings.Silence, options)
}

func chooseSilence(s State, m Acted) (State, []Effect) {
	if _, err := synth.ParseSilence(m.Value); err != nil {
		return s, nil
	}
	return with(s, func(x *Settings) { x.Silence = m.Value })
}

// silentNow reports whether the bar that sounds is a silent one of a take.
func (s State) silentNow() bool {
	if s.Phase != Playing || s.Pass < 0 {
		return false
	}
	first, last := s.bars()
	return s.Settings.silence().Of(s.Pass*(last-first+1) + s.Bar - first)
}

// The click of the player's own, in Setup: how a beat is divided, which of its
// cells click, and on which beats of the bar.

// Bounds of what can be chosen there; our choice. Text can say more.
const (
	maxOwnOf    = 8
	maxOwnBeats = 7
)

func clickCellsBox(s State) app.UI {
	_, p, _ := synth.ParseClick(s.Settings.Cells)
	of := max(p.Of, 1)
	var divisions []option
	for n := 1; n <= max(maxOwnOf, of); n++ {
		divisions = append(divisions, option{strconv.Itoa(n), strconv.Itoa(n)})
	}
	var cells, beats []app.UI
	for n := 1; n <= of; n++ {
		cells = append(cells, button("cell", strconv.Itoa(n)).Aria("label", fmt.Sprintf("Cell %d of %d", n, of)).Aria("pressed", slices.Contains(cellsIn(p), n)).Text(strconv.Itoa(n)))
	}
	for n := 1; n <= max(maxOwnBeats, slices.Max(append(slices.Clone(p.Beats), 1))); n++ {
		beats = append(beats, button("click-beat", strconv.Itoa(n)).Aria("label", fmt.Sprintf("Beat %d", n)).Aria("pressed", len(p.Beats) == 0 || slices.Contains(p.Beats, n)).Text(strconv.Itoa(n)))
	}
	return section("own-click", "A click of your own",
		choice("cells-of", "cells-of", "Cells in a beat", strconv.Itoa(of), divisions),
		app.Elem("p").ID("own-cells").Text("Which cells click"),
		app.Elem("div").Class("one-of", "many").Role("group").Aria("labelledby", "own-cells").Body(cells...),
		app.Elem("p").ID("own-beats").Text("On which beats of the bar"),
		app.Elem("div").Class("one-of", "many").Role("group").Aria("labelledby", "own-beats").Body(beats...),
		app.Elem("p").Class("second").Role("status").Text("The click is "+clickWords(s.Settings.Cells)+". The count-in clicks on every beat."),
		button("click-own", "").Class("plain").Aria("pressed", s.Settings.Click == s.Settings.Cells).Text("Use it"),
	)
}

// ownClick changes the click of the player's own; where it is the one in use,
// it stays that.
func ownClick(s State, f func(p *synth.Places)) (State, []Effect) {
	_, p, _ := synth.ParseClick(s.Settings.Cells)
	p.Cells, p.Beats = slices.Clone(cellsIn(p)), slices.Clone(p.Beats)
	f(&p)
	return with(s, func(x *Settings) {
		if x.Click == x.Cells {
			x.Click = p.String()
		}
		x.Cells = p.String()
	})
}

func cellsOf(s State, m Acted) (State, []Effect) {
	of, err := strconv.Atoi(m.Value)
	if err != nil || of < 1 || of > maxOwnOf {
		return s, nil
	}
	return ownClick(s, func(p *synth.Places) {
		p.Of = of
		p.Cells = slices.DeleteFunc(p.Cells, func(c int) bool { return c > of })
		if len(p.Cells) == 0 {
			p.Cells = []int{of}
		}
	})
}

// turnCell lets a cell click or not; the last one stays.
func turnCell(s State, m Acted) (State, []Effect) {
	n, err := strconv.Atoi(m.Arg)
	_, now, _ := synth.ParseClick(s.Settings.Cells)
	if err != nil || n < 1 || n > max(now.Of, 1) {
		return s, nil
	}
	return ownClick(s, func(p *synth.Places) {
		if turned := turn(p.Cells, n); len(turned) > 0 {
			p.Cells = turned
		}
	})
}

// turnBeat lets a beat of the bar have the click or not. None chosen is every
// beat, and so are all of them.
func turnBeat(s State, m Acted) (State, []Effect) {
	n, err := strconv.Atoi(m.Arg)
	if err != nil || n < 1 || n > maxOwnBeats {
		return s, nil
	}
	return ownClick(s, func(p *synth.Places) {
		if len(p.Beats) == 0 {
			for b := 1; b <= maxOwnBeats; b++ {
				p.Beats = append(p.Beats, b)
			}
		}
		if p.Beats = turn(p.Beats, n); len(p.Beats) == maxOwnBeats {
			p.Beats = nil
		}
	})
}

// turn takes n out of numbers in order, or puts it in.
func turn(numbers []int, n int) []int {
	if i := slices.Index(numbers, n); i >= 0 {
		return slices.Delete(slices.Clone(numbers), i, i+1)
	}
	i := 0
	for i < len(numbers) && numbers[i] < n {
		i++
	}
	return slices.Insert(slices.Clone(numbers), i, n)
}

// useOwnClick makes the click of the player's own the one in use, or gives it
// up for every beat.
func useOwnClick(s State, _ Acted) (State, []Effect) {
	return with(s, func(x *Settings) {
		if x.Click == x.Cells {
			x.Click = "beats"
		} else {
			x.Click = x.Cells
		}
	})
}

// followBox chooses whether the tempo follows the player.
func followBox(s State) app.UI {
	return section("following", "Tempo follows you",
		button("follow", "").Class("check").Role("checkbox").Aria("checked", s.Settings.Follow).Body(
			app.Elem("span").Class("box").Aria("hidden", "true"),
			app.Elem("span").Text("The next tempo follows from your takes"),
		),
		app.Elem("p").Class("second").Text("A step opens where you last passed it. Two passes in a row go up, a take not passed goes down, in steps that get smaller. A tempo passed twice is owned."),
	)
}

func follow(s State, _ Acted) (State, []Effect) {
	s, effects := with(s, func(x *Settings) { x.Follow = !x.Follow })
	s, more := repaced(s)
	return s, append(effects, more...)
}
