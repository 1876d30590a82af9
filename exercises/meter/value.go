package meter

import (
	"fmt"
	"math/bits"
	"strings"
)

// maxDots is the most augmentation dots a note value may carry. Common
// practice writes at most three.
const maxDots = 3

// ParseLength reads a note value as a fraction of a whole note with up to
// three dots: "1/8" is an eighth, "1/4." a dotted quarter, "1/12" a triplet
// eighth, "3/8" three eighths. It returns quarter notes. n dots multiply by
// 2 - 2^-n.
func ParseLength(s string) (Rat, error) {
	base := strings.TrimRight(s, ".")
	dots := len(s) - len(base)
	n, d, ok := strings.Cut(base, "/")
	if !ok || dots > maxDots {
		return Invalid, badLength(s)
	}
	r, err := parseFraction(n, d)
	if err != nil || r.Sign() <= 0 {
		return Invalid, badLength(s)
	}
	r = r.Mul(R(4*(2<<dots-1), 1<<dots))
	if !r.Div(Int(4)).Valid() { // so that it can be written again
		return Invalid, badLength(s)
	}
	return r, nil
}

func badLength(s string) error {
	return fmt.Errorf("%.20q is not a note value; write it like 1/8, 1/4. or 1/12", s)
}

// FormatLength writes quarter notes as a fraction of a whole note, the
// undotted form that [ParseLength] reads.
func FormatLength(quarters Rat) string {
	w := quarters.Div(Int(4))
	if !w.Valid() {
		return "invalid"
	}
	return fmt.Sprintf("%d/%d", w.Num(), w.Den())
}

// A Tuplet is the ratio Actual notes in the time usually taken by Normal
// notes of the same written value, as MusicXML's time-modification defines
// actual-notes and normal-notes. A plain division has Actual == Normal.
type Tuplet struct{ Actual, Normal int }

// Irregular reports whether the ratio would be bracketed.
func (t Tuplet) Irregular() bool { return t.Actual != t.Normal }

// String returns "3:2".
func (t Tuplet) String() string { return fmt.Sprintf("%d:%d", t.Actual, t.Normal) }

// Sounding returns how long a note of a written value lasts inside the tuplet:
// written * Normal / Actual. Nested tuplets multiply.
func (t Tuplet) Sounding(written Rat) Rat {
	return written.Mul(R(int64(t.Normal), int64(t.Actual)))
}

// DivisionOf returns the ratio in which a span of quarter notes, as written, is
// cut when it falls into equal cells, and the written value of one cell.
//
// The rule is common practice (E. Gould, Behind Bars, 2011, chapter "Tuplets",
// from memory): a tuplet takes the note value that would fill the span with
// the next lower number of ordinary notes; where there is none lower, as for
// two in the time of a dotted beat, the next higher. Ordinary notes are
// quarter notes times a power of two. A span that no number of ordinary notes
// fills, or fewer than one cell, is reported as plain.
func DivisionOf(span Rat, cells int) (Tuplet, Rat) {
	plain := Tuplet{cells, cells}
	if cells < 1 || span.Sign() <= 0 || bits.OnesCount64(uint64(span.Den())) != 1 {
		return Tuplet{max(cells, 1), max(cells, 1)}, span
	}
	odd := int(span.Num() >> bits.TrailingZeros64(uint64(span.Num())))
	if cells == 1 {
		return plain, span
	}
	normal := odd
	for normal*2 <= cells {
		normal *= 2
	}
	return Tuplet{cells, normal}, span.Div(Int(int64(normal)))
}
