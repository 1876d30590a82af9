// Package drill reads and prints exercise text, the files that end in .drill.
//
// The one idea: a climb is plain UTF-8 text that a musician can type on a
// phone and read in a mail. [Parse] reads it and reports everything that is
// wrong with it in one go, each with file, line, column, what, and what to do;
// [Print] writes it in the one canonical form, columns aligned. Reading what
// was printed gives an equal climb, and printing that the same text.
//
// Whoever edits a text reads it with a [Reader], which reads again only what
// changed. Its [Reading] tells where every step and cell stands, and mends the
// text: [Reading.Replace], Insert, Remove, Rename and Move change a step, and
// leave comments and every other byte as they are.
//
// # The grammar
//
// This comment is the manual. In the rules, "..." is literal, { } is any
// number of times, [ ] may be missing, | separates choices, and every line
// may be followed by a comment.
//
//	climb   = header step { step }
//	header  = "title:" text  "tempo:" tempos  "metre:" metres      must be there
//	          [ "by:" text ] [ "tuning:" note ] [ "about:" text ] [ "machine:" ("yes" | "no") ]
//	step    = "step:" text  [ "from:" text ] { "do:" change } [ "says:" text ]
//	          [ "tempo:" tempos ] [ "metre:" metres ] { voice }
//	tempos  = tempo { "|" tempo }         one for each bar; the last goes on
//	tempo   = number | length "=" number  beats a minute, as 104, 104.5 or 3/8=80
//	metres  = metre { "|" metre }         one for each bar; the last goes on
//	metre   = number "/" number [ "(" number { "+" number } ")" ]   as 7/8 (2+2+3)
//	voice   = name "|" bar "|" { bar "|" }
//	bar     = "%" | group { " " group }   % repeats the bar before
//	group   = [ number ":" ] cell { cell }  one beat, or that many beats together
//	cell    = "." | "-" | stroke | "[" cell cell { cell } "]"
//	stroke  = letter [ "(" [ fret ] [ "+" semitones ] ")" ]
//
// The keys of the header come before the first step, the keys of a step before
// or after its voice lines, in any order and each at most once except do. Keys and names of
// voices may be written in capitals. The tuning is the lowest string, from F1 to
// E2, or the name that players give it, drop D or E standard; A1 where it is not
// given; machine says that the drums are programmed and four limbs
// need not be able to play them.
//
// In a bar, each group is a beat of the metre, and the number of its cells is
// the subdivision: x.x is a triplet, x.x.x a quintuplet. 2:xxx spreads three
// cells over two beats; the beats must be of the same bar. A bracket takes one
// cell and cuts it again: x[xx]x. Every voice of a step has as many bars.
//
// A cell is one character: . nothing, - still sounding (the stroke before goes
// on, also over beats and bar lines, but not after silence or a choke), x hit (strings: tight muted), X accent,
// g ghost, f flam, d drag, o open (the hat open, strings ring), c power chord
// (the guitar's root, fifth and octave ring), ! choke (stops what rings),
// h harmonic, s pick scrape up the string, S down it, b bend, t tremolo,
// p tapped, r rim (the snare's cross-stick). Each voice plays only some of them.
// Strokes on strings may carry details: x(3) is the
// third fret (of a chord, its root's), b(8+2) the eighth bent up two semitones, b(8) the same, and b
// alone the open string bent up two.
//
// A step with voice lines alone is written out. With from or do it is made:
// from an earlier step (the step before where only do is given) by the changes
// in their order; its voice lines then replace whole voices or add new ones.
// With from alone it is a copy. tempo and metre in a step replace those of the
// climb, or of the step it is made from, before the changes are made; the bars
// of a made step keep their lengths.
//
// A comment begins with # at the start of a line or after white space, so the
// # of F#1 is part of the word. Printing leaves comments out, and writes the
// bar in place of %. Lines end in \n or \r\n; a byte order mark is skipped;
// other control characters are refused.
//
// # Example
//
//	title: Headframe
//	tempo: 104
//	metre: 4/4
//	about: Kick and guitar as one machine, then the cymbal leaves the grid.
//
//	step: The floor
//	says: Guitar and kick strike together; the china counts quarters.
//	china  | x    x  x x    |
//	snare  | .    .  X .    |
//	kick   | x.x. .x . ..x. |
//	guitar | x.x. .x . o--- |
//
//	step: Half-time china
//	from: The floor
//	do: half-time china
//
// # Limits
//
// A file has at most [MaxFile] bytes and [MaxSteps] steps; the limits of a
// passage are those of package passage. At most [MaxProblems] problems are
// listed.
package drill

import "stampmill/exercises/passage"

// Limits of a file. Our choice, far above what a climb needs.
const (
	MaxFile   = 256 << 10 // bytes
	MaxSteps  = 64
	maxMade   = 100_000 // strokes and groups copied into made steps, so that a short text stays a small climb
	maxDo     = 8       // changes in one step; a step is made by one or two
	maxTitle  = 120     // characters of a title or name
	maxText   = 600     // characters of about and says
	maxChange = 200     // characters of a change
	maxItem   = 200     // bytes of one tempo or metre
)

// A Catalogue knows the changes that a do line may name.
//
// Parse reads the text of a change, such as "half-time china", and returns
// what it does to a passage. Both Parse and the change may refuse with an
// error of the form "what; what to do". A change may write to the passage it is
// given, and gives the same for the same passage every time.
type Catalogue interface {
	Parse(text string) (func(passage.Passage) (passage.Passage, error), error)
}

// Parse reads a climb. The name stands in the problems. Without a catalogue no
// change exists, and every do line is a problem.
//
// When there are problems, the climb is the zero Climb.
func Parse(name string, src []byte, cat Catalogue) (passage.Climb, Problems) {
	var r Reader
	reading := r.Read(name, src, cat)
	return reading.Climb, reading.Problems
}
