package drill

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// list writes problems without the name of the file.
func list(ps Problems) string {
	var b strings.Builder
	for _, p := range ps {
		fmt.Fprintf(&b, "%d:%d: %s; %s\n", p.Line, p.Column, p.What, p.Do)
	}
	return b.String()
}

// A problemCase is a text, or one line of it, and all that is wrong with it.
type problemCase struct{ name, text, want string }

func (c problemCase) run(t *testing.T, before string) {
	t.Run(c.name, func(t *testing.T) {
		_, ps := Parse("t.drill", []byte(before+c.text), testChanges{})
		want := strings.ReplaceAll(strings.TrimLeft(c.want, "\n"), "\t", "")
		if diff := cmp.Diff(want, list(ps)); diff != "" {
			t.Errorf("%s\n(-want +got):\n%s", before+c.text, diff)
		}
	})
}

// Each text begins in line 6, in a step of 4/4.
func TestProblemsOfVoiceLines(t *testing.T) {
	const before = "title: T\ntempo: 120\nmetre: 4/4\n\nstep: S\n"
	for _, c := range []problemCase{
		{"unknown letter", "kick | x x q x |", `
			6:12: 'q' is not a stroke; kick plays x hit, X accent, g ghost, f flam, d drag
`},
		{"capital letter", "hat | x x O x |", `
			6:11: 'O' is not a stroke; did you mean o (open)?
`},
		{"dash of a phone", "guitar | x–– x x x |", `
			6:11: '–' is not a stroke; write - for a cell still sounding
			6:12: '–' is not a stroke; write - for a cell still sounding
`},
		{"a stroke the voice cannot play", "kick | x x o x |", `
			6:12: kick cannot play 'o' (open); it plays x hit, X accent, g ghost, f flam, d drag
`},
		{"two at once", "kick | q x x | x x x x x |", `
			6:8: 'q' is not a stroke; kick plays x hit, X accent, g ghost, f flam, d drag
			6:13: bar 1 has 3 beats where 4/4 has 4; separate beats by spaces; write . for a silent beat
			6:24: bar 2 has 5 beats where 4/4 has 4; cells of one beat stand together, without a space
`},
		{"too few beats", "kick | x x x |", `
			6:13: bar 1 has 3 beats where 4/4 has 4; separate beats by spaces; write . for a silent beat
`},
		{"too many beats", "kick | x x x x x |", `
			6:16: bar 1 has 5 beats where 4/4 has 4; cells of one beat stand together, without a space
`},
		{"spread beyond the bar", "kick | x x x 2:xxx | x x x x |", `
			6:14: bar 1 has 5 beats where 4/4 has 4; cells of one beat stand together, without a space
`},
		{"spread over no beat", "kick | 0:xxx x x x x |", `
			6:8: a group cannot span 0 beats; write a number of beats of this bar, as in 2:xxx
`},
		{"too many cells", "kick | " + strings.Repeat("x", 33) + " x x x |", `
			6:40: more than 32 cells; write at most 32 here
`},
		{"too many cells over two beats", "kick | 2:" + strings.Repeat("x", 65) + " x x |", `
			6:74: more than 64 cells; write at most 64 here
`},
		{"empty bar", "kick | x x x x | | x x x x |", `
			6:17: bar 2 is empty; write one group of cells for each beat, . for a silent one
`},
		{"no bars", "kick |", `
			6:7: kick has no bars; write its bars between | signs
`},
		{"no bar sign at the end", "kick | x x x x | x x x x", `
			6:25: the last bar has no bar sign behind it; end the line with |
`},
		{"no bar sign at the start", "kick x x x x | x x x x |", `
			6:5: the first bar has no bar sign before it; write kick | and then its first bar
`},
		{"nothing to repeat", "kick | % | x x x x |", `
			6:8: % repeats the bar before, and there is none; write the first bar out
`},
		{"repeat beside cells", "kick | x x x x | % x x x |", `
			6:18: '%' is not a stroke; a bar of its own that repeats the one before is written | % |
`},
		{"hold at the start", "kick | - x x x |", `
			6:8: - holds a stroke, and nothing sounds here; write . for silence, or a stroke before it
`},
		{"hold after a rest", "kick | x . -- - |", `
			6:12: - holds a stroke, and nothing sounds here; write . for silence, or a stroke before it
`},
		{"hold after a choke", "hat | x ! - x |", `
			6:11: - holds a stroke, and the choke before it ended what rang; write . for silence
`},
		{"hold in a repeated bar", "guitar | o-.. x x x | -... . . . | % |", `
			6:36: - holds a stroke, and nothing sounds here; write . for silence, or a stroke before it
`},
		{"open bracket", "kick | x[xx x x x |", `
			6:9: a [ without its ]; close it with ] before the next space
`},
		{"bracket with a space", "kick | x[x x]x x x . |", `
			6:9: a [ without its ]; close it with ] before the next space
`},
		{"closing bracket", "kick | xx] x x x |", `
			6:10: a ] without its [; open it with [ or leave it out
`},
		{"one cell in a bracket", "kick | x[x]x x x x |", `
			6:9: a bracket with fewer than two cells; write two or more, or no bracket
`},
		{"empty bracket", "kick | x[]x x x x |", `
			6:9: a bracket with fewer than two cells; write two or more, or no bracket
`},
		{"deep brackets", "kick | x[x[x[x[x[xx]]]]] x x x |", `
			6:17: brackets nest deeper than 4; use simpler divisions
`},
		{"cells too small", "kick | " + strings.Repeat("x", 28) + "[[[[" + strings.Repeat("x", 31) + "]" + strings.Repeat("x", 28) + "]" + strings.Repeat("x", 26) + "]" + strings.Repeat("x", 24) + "] x x x |", `
			6:40: a cell of a beat cut too often for exact time; use simpler divisions
`},
		{"details on a drum", "kick | x(3) x x x |", `
			6:9: details in parentheses on kick, which has no frets; leave them out
`},
		{"details without stroke", "guitar | (3) x x x |", `
			6:10: details without a stroke before them; write the stroke first, as in x(3)
`},
		{"details after a rest", "guitar | x .(3) x x |", `
			6:13: details without a stroke before them; write the stroke first, as in x(3)
`},
		{"open details", "guitar | x(3 x x x |", `
			6:11: details without their closing ); close them with ), without spaces
`},
		{"details with a space", "guitar | x( 3) x x x |", `
			6:11: details without their closing ); close them with ), without spaces
`},
		{"fret too high", "guitar | x(25) x x x |", `
			6:11: fret 25; use 0 to 24
`},
		{"no fret", "guitar | x() x(-1) x(a) x(003) |", `
			6:11: "" is not the number of a fret; write x(3) for the third fret
			6:15: "-1" is not the number of a fret; write x(3) for the third fret
			6:21: "a" is not the number of a fret; write x(3) for the third fret
			6:26: "003" is not the number of a fret; write x(3) for the third fret
`},
		{"bend too far", "guitar | b(3+5) b(+0) b(1+) b(+x) |", `
			6:11: a bend by "5"; write 1 to 4 semitones behind the +, as in b(8+2)
			6:18: a bend by "0"; write 1 to 4 semitones behind the +, as in b(8+2)
			6:24: a bend by ""; write 1 to 4 semitones behind the +, as in b(8+2)
			6:30: a bend by "x"; write 1 to 4 semitones behind the +, as in b(8+2)
`},
		{"bend of a hit", "guitar | x(3+2) x x x |", `
			6:11: only a bend has a + in its details; write b for a bend, or leave the + out
`},
		{"unknown voice", "gutar | x x x x |", `
			6:1: "gutar" is not a voice; did you mean guitar?
`},
		{"unlike any voice", "harpsichord | x x x x |", `
			6:1: "harpsichord" is not a voice; the voices are china, crash-left, crash-right, ride, hat, snare, kick, tom-high, tom-mid, tom-floor, guitar, bass, lead, sub, click
`},
		{"nameless voice", "| x x x x |", `
			6:1: a line of bars without a voice; write its name before the first |
`},
		{"voice as key", "kick: x x x x", `
			6:5: a voice is followed by |, not by a colon; write kick | and its bars
`},
		{"65 bars", "kick |" + strings.Repeat(" x x x x |", 65), `
			6:648: kick has more than 64 bars; write at most 64
`},
		{"64 bars and an empty one", "kick |" + strings.Repeat(" x x x x |", 64) + " |", `
			6:648: kick has more than 64 bars; write at most 64
`},
		{"33 beats", "kick |" + strings.Repeat(" x", 33) + "|", `
			6:72: more than 32 beats in a bar; write several bars
`},
		{"same voice twice", "kick | x x x x |\nkick | x x x x |", `
			7:1: kick already stands in line 6; write one line for each voice of a step
`},
		{"bars that disagree", "kick | x x x x | % |\nsnare | x x x x |\nhat | x x x x | % | % |\nguitar | x x x x | % |", `
			7:18: snare has 1 bar where the step has 2; write as many bars as the other voices have
			8:21: hat has 3 bars where the step has 2; write as many bars as the other voices have
`},
		{"one against one: the first counts", "kick | x x x x |\nsnare | x x x x | % |", `
			7:19: snare has 2 bars where the step has 1; write as many bars as the other voices have
`},
		{"bars that disagree with the first", "kick | x x x x |\nsnare | x x x x | % |\nhat | x x x x | % |", `
			6:17: kick has 1 bar where the step has 2; write as many bars as the other voices have
`},
	} {
		c.run(t, before)
	}
}

func TestProblemsOfKeys(t *testing.T) {
	const step = "step: S\nkick | x x x x |\n"
	const head = "title: T\ntempo: 120\nmetre: 4/4\n"
	for _, c := range []problemCase{
		{"empty file", "", `
			1:1: the climb has no title; add a line such as title: Headframe
			1:1: the climb has no tempo; add a line such as tempo: 104
			1:1: the climb has no metre; add a line such as metre: 4/4
			1:1: the climb has no steps; add a line such as step: The floor, and voice lines under it
`},
		{"header only", head, `
			1:1: the climb has no steps; add a line such as step: The floor, and voice lines under it
`},
		{"nothing given", step, `
			1:1: the climb has no title; add a line such as title: Headframe
			1:1: the climb has no tempo; add a line such as tempo: 104
			1:1: the climb has no metre; add a line such as metre: 4/4
`},
		{"unknown keys", "titel: T\n" + head + "quarry: x\n" + step, `
			1:1: "titel" is not a key; did you mean title?
			5:1: "quarry" is not a key; the keys here are title, by, tempo, metre, tuning, about, machine
`},
		{"doubled key", head + "title: U\n" + step, `
			4:1: title is already given in line 1; leave one of them out
`},
		{"no value", "title:\ntempo: # none\nmetre: 4/4\n" + step, `
			1:7: title has no value; write it behind the colon, or leave the line out
			2:7: tempo has no value; write it behind the colon, or leave the line out
`},
		{"a comment for a value", "title:#1\ntempo: 120\nmetre: 4/4\n" + step, `
			1:7: title begins with #, which begins a comment; put a word before it
`},
		{"neither key nor voice", head + "hello there\n" + step, `
			4:1: neither a key with its value nor a voice line; write key: value, or voice | bar |
`},
		{"wrong section", head + "says: x\ndo: x\n" + step + "by: x\nmachine: yes\n", `
			4:1: says before the first step; begin the step with a line such as step: The floor
			8:1: by belongs to the whole climb; move it before the first step
			9:1: machine belongs to the whole climb; move it before the first step
`},
		{"voice before step", head + "kick | x x x x |\nsnare | x x x x |\n" + step, `
			4:1: a voice line before the first step; begin the step with a line such as step: The floor
`},
		{"tempi", "title: T\ntempo: 19 | 120 | fast | 3/8=401 | x=80 |\nmetre: 4/4\n" + step, `
			2:8: a tempo of 19 is outside 20 to 400 beats a minute; choose one inside
			2:19: "fast" is not a tempo; write beats a minute like 120 or 3/8=80
			2:26: a tempo of 401 is outside 20 to 400 beats a minute; choose one inside
			2:36: "x" before the = is not a note value; write it like 3/8=80
			2:42: "" is not a tempo; write beats a minute like 120 or 3/8=80
`},
		{"metres", "title: T\ntempo: 120\nmetre: 4/4 | 7/8 | 7/8 (2+2) | 4/5 | 0/4 | 99/4 | 64/4\n" + step, `
			3:14: 7/8 does not say how it is counted; write its beats in brackets, for example 7/8 (2+2+3)
			3:20: the beats in brackets add up to 4, but the bar has 7; make them equal
			3:32: the lower number of a metre is 1, 2, 4, 8, 16 or 32, not 5; choose one of them
			3:38: a metre has 1 to 64 units, not 0; write it like 4/4
			3:44: a metre has 1 to 64 units, not 99; shorten the bar
			3:51: a bar has at most 32 beats, not 64; write two bars
`},
		{"tuning", head + "tuning: H1\n" + step, `
			4:9: "H1" is not a tuning; write the lowest string as a note from F1 to E2, such as A1 or F#1
`},
		{"tuning out of range", head + "tuning: A2\n" + step, `
			4:9: "A2" is not a tuning; write the lowest string as a note from F1 to E2, such as A1 or F#1
`},
		{"a bad tempo does not hide bad beats", "title: T\ntempo: 1\nmetre: 4/4\n" + step + "hat | x x x |\ntempo: x\n", `
			2:8: a tempo of 1 is outside 20 to 400 beats a minute; choose one inside
			6:12: bar 1 has 3 beats where 4/4 has 4; separate beats by spaces; write . for a silent beat
			7:8: "x" is not a tempo; write beats a minute like 120 or 3/8=80
`},
		{"a bad metre does hide them", "title: T\ntempo: 120\nmetre: 4/3\n" + step + "hat | x x q |\n", `
			3:8: the lower number of a metre is 1, 2, 4, 8, 16 or 32, not 3; choose one of them
			6:11: 'q' is not a stroke; hat plays x hit, X accent, g ghost, o open, ! choke
`},
		{"machine", head + "machine: perhaps\n" + step, `
			4:10: machine is not "perhaps"; write yes or no
`},
		{"long title", "title: " + strings.Repeat("ü", 121) + "\ntempo: 120\nmetre: 4/4\n" + step, `
			1:8: title has 121 characters; keep it within 120
`},
		{"long says", head + step + "says: " + strings.Repeat("x", 601), `
			6:7: says has 601 characters; keep it within 600
`},
		{"control character", "title: a\x07b\ntempo: 120\nmetre: 4/4\n" + step, `
			1:9: a control character; remove it; save the file as UTF-8 text
`},
		{"broken UTF-8, counted in characters", "title: üü\xff \xfe\ntempo: 120\nmetre: 4/4\n" + step, `
			1:10: a byte that is not UTF-8; remove it; save the file as UTF-8 text
`},
		{"a lone return", "title: T\rtempo: 120\nmetre: 4/4\n" + step, `
			1:1: the climb has no tempo; add a line such as tempo: 104
			1:9: a control character; remove it; save the file as UTF-8 text
`},
		{"line separator", head + "about: a\u2028b\n" + step, `
			4:9: a control character; remove it; save the file as UTF-8 text
`},
		{"tempo list longer than the step", head + step + "tempo: 120 | 130\n", `
			6:14: tempo is given for 2 bars, and the step has 1; leave the rest out
`},
		{"tempo too exact", "title: T\ntempo: 1/1000000=399999/1000\nmetre: 4/4\n" + step, `
			2:8: 1.1: the tempo leaves the range of exact numbers; use a simpler number
`},
	} {
		c.run(t, "")
	}
}

func TestProblemsOfSteps(t *testing.T) {
	const before = "title: T\ntempo: 120\nmetre: 4/4\nstep: The floor\nkick | x x x x | % |\n"
	for _, c := range []problemCase{
		{"nothing in a step", "step: B\n", `
			6:7: the step has no voice lines; write voice lines under it, or from: and do: to make it from an earlier step
`},
		{"same title", "step: THE FLOOR\nkick | x x x x |", `
			6:7: a step with this title already stands in line 4; give each step a title of its own
`},
		{"unknown step", "step: B\nfrom: The flor\n", `
			7:7: no step is called "The flor"; did you mean The floor?
`},
		{"itself", "step: B\nfrom: B\n", `
			7:7: a step cannot be made from itself; write the title of an earlier step
`},
		{"later", "step: B\nfrom: C\nstep: C\nfrom: The floor", `
			7:7: "C" is a later step; write the title of an earlier step, or move this one behind it
`},
		{"unknown change", "step: B\ndo: polish kick\n", `
			7:5: no change is called "polish"; see the list
`},
		{"the lines of a step that cannot be made", "step: B\ndo: polish kick\nhat | x x x | - x x x |\nsnare | x |\n", `
			7:5: no change is called "polish"; see the list
			8:12: bar 1 has 3 beats where 4/4 has 4; separate beats by spaces; write . for a silent beat
`},
		{"the change refuses", "step: B\ndo: mute snare\n", `
			7:5: there is no snare to change; name another voice
`},
		{"the change leaves the limits", "step: B\ndo: break\n", `
			7:5: the change leaves the limits: 1.1: 0 bars; choose another change, or write the step's voice lines out
`},
		{"too many changes", "step: B\n" + strings.Repeat("do: mute kick\n", 10), `
			8:5: there is no kick to change; name another voice
			15:1: more than 8 changes in one step; make several steps of it
`},
		{"bars of a made step", "step: B\nfrom: The floor\nsnare | x x x x |\nhat | x x x x | x x x x | % |", `
			8:18: snare has 1 bar where the step has 2; write as many bars as the other voices have
			9:27: hat has 3 bars where the step has 2; write as many bars as the other voices have
`},
		{"metre of another length", "step: B\nfrom: The floor\nmetre: 3/4", `
			8:8: bar 1 of the step it is made from is 4/4, and 3/4 is not as long; keep the lengths of the bars, or write the step out without from and do
`},
		{"broken base says nothing more", "step: B\nkick | q x x x |\nstep: C\ndo: mute kick\nstep: D\nfrom: B\nsnare | x |", `
			7:8: 'q' is not a stroke; kick plays x hit, X accent, g ghost, f flam, d drag
`},
	} {
		c.run(t, before)
	}
	problemCase{"change in the first step", "title: T\ntempo: 120\nmetre: 4/4\nstep: A\ndo: mute kick\n", "5:5: the first step has none before it to change; write the first step out in voice lines\n"}.run(t, "")
}
