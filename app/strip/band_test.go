package strip_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"stampmill/app/strip"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// A band of one beat, with a mark in the row over it and no room under it: the
// tag hides no mark, however wide the picture is.
func TestTheTagHidesNoMark(t *testing.T) {
	for name, snare := range map[string]string{
		"free":              "| . .    . .    |",
		"at the band's end": "| . .    . X    |",
		"over the band":     "| . .    X .    |",
		"late in the band":  "| . .    ..x. . |",
	} {
		p := written(t, "4/4", "100", "snare  "+snare, "kick   | x x .x.x x |", "guitar | x x xxxx x |")
		for _, width := range []float64{500, 620, 720, 976} {
			sheet := strip.Sheet{
				Passage: p, Width: width, Labels: strip.LabelsPlain, Counts: true,
				New: []passage.Span{{From: meter.Int(2), To: meter.Int(3), Voices: []passage.Voice{passage.Kick}}},
			}
			tag := number(t, sheet, "sm-tag", "x")
			line, _ := p.Line(passage.Snare)
			for _, s := range line.Strokes {
				l := sheet.Layout()
				if x, _ := l.HitAt(s.At.Float()); math.Abs(x-(tag+34)) < 34 && number(t, sheet, "sm-tag", "y") < l.Rows[1].Y {
					t.Errorf("%s, %v wide: the tag at %v lies over the snare at %v", name, width, tag, x)
				}
			}
			if tag+68 > width {
				t.Errorf("%s, %v wide: the tag at %v runs out of the picture", name, width, tag)
			}
		}
	}
}

// number returns an attribute of the one element of a class.
func number(t *testing.T, sheet strip.Sheet, class, attribute string) float64 {
	t.Helper()
	var found []string
	parse(t, sheet.SVG()).find(func(e element) {
		if e.attr("class") == class {
			found = append(found, e.attr(attribute))
		}
	})
	if len(found) != 1 {
		t.Fatalf("%s %s: %q", class, attribute, strings.Join(found, " "))
	}
	x, err := strconv.ParseFloat(found[0], 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
