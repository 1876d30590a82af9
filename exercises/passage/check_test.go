package passage_test

import (
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// Every rule is broken once.
func TestCheck(t *testing.T) {
	hit := func(at, length meter.Rat) passage.Stroke {
		return passage.Stroke{At: at, Length: length, Kind: passage.Hit}
	}
	one, two := meter.Int(1), meter.Int(2)
	for _, c := range []struct {
		name string
		harm func(p *passage.Passage)
		want string
	}{
		{"no bars", func(p *passage.Passage) { p.Bars = nil }, "1.1: 0 bars; write 1 to 64"},
		{"many bars", func(p *passage.Passage) { p.Bars = make([]passage.Bar, 65) }, "1.1: 65 bars; write 1 to 64"},
		{"no metre", func(p *passage.Passage) { p.Bars[0].Metre = meter.Metre{} }, "1.1: bar 1 has no metre; give it one"},
		{"no tempo", func(p *passage.Passage) { p.Bars[0].Tempo = meter.Tempo{} }, "1.1: a tempo of 0 is outside 20 to 400 beats a minute; choose one inside"},
		{"tempo too fast", func(p *passage.Passage) { p.Bars[0].Tempo.BPM = meter.Int(401) }, "1.1: a tempo of 401 is outside 20 to 400 beats a minute; choose one inside"},
		{"tempo of an odd note", func(p *passage.Passage) { p.Bars[0].Tempo.Unit = meter.Int(-1) }, "1.1: the note value of the tempo is not a length; write it like 3/8=80"},
		{"tempo too exact", func(p *passage.Passage) {
			p.Bars[0].Tempo = meter.Tempo{BPM: meter.R(100_001, 1000), Unit: meter.R(1, 4000)}
		}, "1.1: the tempo leaves the range of exact numbers; use a simpler number"},
		{"unknown voice", func(p *passage.Passage) { p.Lines[0].Voice = 99 }, "1.1: the voice is unknown or stands twice; give each voice one line"},
		{"voice twice", func(p *passage.Passage) { p.Lines[1].Voice = passage.Kick }, "kick at 1.1: the voice is unknown or stands twice; give each voice one line"},
		{"many voices", func(p *passage.Passage) {
			for range 15 {
				p.Lines = append(p.Lines, passage.Line{Voice: passage.Kick})
			}
		}, "1.1: 17 voices; use at most 16"},
		{"no exact place", func(p *passage.Passage) { p.Lines[0].Strokes[0].At = meter.Invalid }, "kick at 1.1: a stroke has no exact place; use simpler divisions"},
		{"no exact end", func(p *passage.Passage) {
			p.Lines[0].Strokes[0] = hit(meter.R(1, 999_983), meter.R(1, 1009))
		}, "kick at 1.1: a stroke has no exact place; use simpler divisions"},
		{"before the passage", func(p *passage.Passage) { p.Lines[0].Strokes[0] = hit(meter.Int(-1), one) }, "kick at 1.1+-1/4: a stroke leaves the passage; keep it within the bars"},
		{"after the passage", func(p *passage.Passage) { p.Lines[0].Strokes[1] = hit(meter.Int(4), one) }, "kick at 1.4+1/4: a stroke leaves the passage; keep it within the bars"},
		{"over the end", func(p *passage.Passage) { p.Lines[0].Strokes[1] = hit(meter.Int(3), two) }, "kick at 1.4: a stroke leaves the passage; keep it within the bars"},
		{"no length", func(p *passage.Passage) { p.Lines[0].Strokes[1] = hit(two, meter.Rat{}) }, "kick at 1.3: a stroke has no length; give it at least one cell"},
		{"two at one place", func(p *passage.Passage) { p.Lines[0].Strokes[1] = hit(meter.Rat{}, one) }, "kick at 1.1: two strokes of one voice at one place; leave one out"},
		{"overlap", func(p *passage.Passage) { p.Lines[0].Strokes[0].Length = meter.Int(3) }, "kick at 1.3: a stroke begins before the one before it ends; shorten the one before, or sort by time"},
		{"out of order", func(p *passage.Passage) {
			s := p.Lines[0].Strokes
			s[0], s[1] = s[1], s[0]
		}, "kick at 1.1: a stroke begins before the one before it ends; shorten the one before, or sort by time"},
		{"no kind", func(p *passage.Passage) { p.Lines[0].Strokes[0].Kind = 0 }, "kick at 1.1: kick cannot play '.' (rest); it plays x hit, X accent, g ghost, f flam, d drag"},
		{"a kind of another voice", func(p *passage.Passage) { p.Lines[0].Strokes[0].Kind = passage.Open }, "kick at 1.1: kick cannot play 'o' (open); it plays x hit, X accent, g ghost, f flam, d drag"},
		{"a fret on a drum", func(p *passage.Passage) { p.Lines[0].Strokes[0].Fret = 3 }, "kick at 1.1: details in parentheses on a voice without frets; leave them out"},
		{"a fret too high", func(p *passage.Passage) { p.Lines[1].Strokes[0].Fret = 25 }, "guitar at 1.1: fret 25; use 0 to 24"},
		{"a bend without an amount", func(p *passage.Passage) { p.Lines[1].Strokes[0].Kind = passage.Bend }, "guitar at 1.1: a bend of 0 semitones on bend; bend strokes go up 1 to 4 semitones, others none"},
		{"a bend too far", func(p *passage.Passage) {
			p.Lines[1].Strokes[0].Kind, p.Lines[1].Strokes[0].Bend = passage.Bend, 5
		}, "guitar at 1.1: a bend of 5 semitones on bend; bend strokes go up 1 to 4 semitones, others none"},
		{"a bent hit", func(p *passage.Passage) { p.Lines[1].Strokes[0].Bend = 2 }, "guitar at 1.1: a bend of 2 semitones on hit; bend strokes go up 1 to 4 semitones, others none"},
		{"a group outside", func(p *passage.Passage) { p.Lines[0].Groups[0].Length = meter.Int(5) }, "kick at 1.1: a group of cells leaves the passage; keep it within the bars"},
		{"a group without length", func(p *passage.Passage) { p.Lines[0].Groups[0].Length = meter.Rat{} }, "kick at 1.1: a group of cells leaves the passage; keep it within the bars"},
		{"a group without cells", func(p *passage.Passage) { p.Lines[0].Groups[0].Cells = 0 }, "kick at 1.1: 0 cells in a group; write 1 to 32 cells a beat"},
		{"a group of too many cells", func(p *passage.Passage) { p.Lines[0].Groups[0].Cells = 33 }, "kick at 1.1: 33 cells in a group; write 1 to 32 cells a beat"},
	} {
		p := read(t, "4/4", "kick | x . x . |", "guitar | x . x . |")
		if ps := passage.Check(p); ps != nil {
			t.Fatal(ps)
		}
		c.harm(&p)
		ps := passage.Check(p)
		if len(ps) == 0 || ps[0].Error() != c.want {
			t.Errorf("%s:\ngot  %v\nwant %s", c.name, ps, c.want)
		}
	}
}

func TestCheckReportsAll(t *testing.T) {
	p := read(t, "4/4", "kick | x . x . |", "guitar | x . x . |")
	p.Lines[0].Strokes[0].Kind, p.Lines[0].Strokes[1].Fret, p.Lines[1].Strokes[1].Length = passage.Tapped, 2, meter.Int(9)
	if ps := passage.Check(p); len(ps) != 3 {
		t.Errorf("%d problems, want 3:\n%v", len(ps), ps)
	}
}
