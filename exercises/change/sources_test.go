package change

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// changed makes a change that must not be refused.
func changed(t testing.TB, p passage.Passage, text string) passage.Passage {
	t.Helper()
	c, err := Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	after, err := c.Apply(p)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return after
}

// onsets writes where a voice strikes, in cells of some quarter notes, as
// timelines are written in the literature: x a stroke, . none.
func onsets(t *testing.T, p passage.Passage, v passage.Voice, cell meter.Rat) string {
	t.Helper()
	row := []byte(strings.Repeat(".", int(p.Length().Div(cell).Floor())))
	l, _ := p.Line(v)
	for _, s := range l.Strokes {
		i := s.At.Div(cell)
		if i.Den() != 1 {
			t.Fatalf("the %s strikes at %s, off the cells of %s", v, s.At, cell)
		}
		row[i.Num()] = 'x'
	}
	return string(row)
}

// The distance between backbeats doubles in half time and is halved in double
// time, while the tempo stays: common practice (from memory; there is no
// numeric standard).
func TestBackbeatSpacing(t *testing.T) {
	p := read(t, "4/4", "snare | . x . x | . x . x |")
	for _, c := range []struct {
		change string
		cell   meter.Rat
		want   string
	}{
		{"half-time snare", meter.Int(1), "..x...x."},                 // on 3: 4 beats apart, not 2
		{"double-time snare", meter.R(1, 2), strings.Repeat(".x", 8)}, // on every &: 1 beat apart
	} {
		after := changed(t, p, c.change)
		if got := onsets(t, after, passage.Snare, c.cell); got != c.want || after.Bars[0] != p.Bars[0] {
			t.Errorf("%s: %s at %s, want %s at the same tempo", c.change, got, after.Bars[0].Tempo, c.want)
		}
	}
}

// Each of n notes in the time of m lasts m/n of its written value: W3C,
// MusicXML 4, musicxml.xsd, complexType time-modification (actual-notes,
// normal-notes).
func TestRetimeByTupletRatios(t *testing.T) {
	for _, c := range []struct {
		metre, at string
		count     int
		ratio     meter.Tuplet
		written   meter.Rat // the note value that the ratio shortens
	}{
		{"4/4", "1.1", 3, meter.Tuplet{Actual: 3, Normal: 2}, meter.R(1, 2)},
		{"4/4", "1.2", 5, meter.Tuplet{Actual: 5, Normal: 4}, meter.R(1, 4)},
		{"4/4", "1.4", 6, meter.Tuplet{Actual: 6, Normal: 4}, meter.R(1, 4)},
		{"4/4", "1.3", 7, meter.Tuplet{Actual: 7, Normal: 4}, meter.R(1, 4)},
		{"4/4", "1.1-1.2", 3, meter.Tuplet{Actual: 3, Normal: 2}, meter.Int(1)},
		{"4/4", "1", 5, meter.Tuplet{Actual: 5, Normal: 4}, meter.Int(1)},
		{"6/8", "1.1", 2, meter.Tuplet{Actual: 2, Normal: 3}, meter.R(1, 2)},
		{"6/8", "1.2", 4, meter.Tuplet{Actual: 4, Normal: 3}, meter.R(1, 2)},
	} {
		rest := "snare | " + strings.TrimSpace(strings.Repeat(". ", map[string]int{"4/4": 4, "6/8": 2}[c.metre])) + " |"
		after := changed(t, read(t, c.metre, rest), "retime snare at "+c.at+" as "+written(c.count))
		l, _ := after.Line(passage.Snare)
		if len(l.Strokes) != c.count {
			t.Errorf("%s as %d: %d strokes", c.at, c.count, len(l.Strokes))
			continue
		}
		for i := 1; i < c.count; i++ {
			if got, want := l.Strokes[i].At.Sub(l.Strokes[i-1].At), c.ratio.Sounding(c.written); got != want {
				t.Errorf("%s as %d: %s quarter notes apart, want %s", c.at, c.count, got, want)
			}
		}
		tuplets := after.Tuplets()
		if len(tuplets) != 1 || tuplets[0].Ratio != c.ratio || tuplets[0].Note != c.written {
			t.Errorf("%s as %d is written %+v, want %s of %s", c.at, c.count, tuplets, c.ratio, c.written)
		}
	}
}

// At 120 a triplet sixteenth lasts 83.333 ms, a quintuplet sixteenth 100 and a
// septuplet sixteenth (7:4) 71.429: 60000/BPM by the definitions of the values.
func TestRetimeInMilliseconds(t *testing.T) {
	for count, want := range map[int]float64{6: 1. / 12, 5: 1. / 10, 7: 1. / 14} {
		p := read(t, "4/4", "snare | . . . . |")
		p.Bars[0].Tempo.BPM = meter.Int(120)
		after := changed(t, p, "retime snare at 1.3 as "+written(count))
		tempi, err := after.TempoMap()
		if err != nil {
			t.Fatal(err)
		}
		l, _ := after.Line(passage.Snare)
		if got := tempi.Seconds(l.Strokes[1].At) - tempi.Seconds(l.Strokes[0].At); got < want-1e-9 || got > want+1e-9 {
			t.Errorf("%d a beat at 120: %.6f s apart, want %.6f", count, got, want)
		}
	}
}

// Groupings are timelines by their intervals. The timelines: Gomez, Melvin,
// Rappaport & Toussaint 2005, Mathematical measures of syncopation, Bridges,
// figures 8 and 11. E(k,n): Toussaint 2005, The Euclidean algorithm generates
// traditional musical rhythms, Bridges.
func TestGroupingsAreTimelines(t *testing.T) {
	for _, c := range []struct{ name, metre, groups, want string }{
		{"E(3,8)", "2/4", "3 3 2", "x..x..x."},
		{"E(5,8)", "2/4", "2 1 2 1 2", "x.xx.xx."},
		{"E(5,16)", "4/4", "3 3 3 3 4", "x..x..x..x..x..."},
		{"E(7,16)", "4/4", "3 2 2 2 3 2 2", "x..x.x.x.x..x.x."},
		{"E(9,16)", "4/4", "2 1 2 2 2 1 2 2 2", "x.xx.x.x.xx.x.x."},
		{"shiko", "4/4", "4 2 4 2 4", "x...x.x...x.x..."},
		{"son", "4/4", "3 3 4 2 4", "x..x..x...x.x..."},
		{"soukous", "4/4", "3 3 4 1 5", "x..x..x...xx...."},
		{"rumba", "4/4", "3 4 3 2 4", "x..x...x..x.x..."},
		{"bossa", "4/4", "3 3 4 3 3", "x..x..x...x..x.."},
		{"gahu", "4/4", "3 3 4 4 2", "x..x..x...x...x."},
		{"bembe", "6/8", "2 2 1 2 2 2 1", "x.x.xx.x.x.x"},
		{"soli", "6/8", "2 2 2 2 1 2 1", "x.x.x.x.xx.x"},
		{"tonada", "6/8", "2 1 2 1 2 2 2", "x.xx.xx.x.x."},
		{"sorsonet", "6/8", "1 1 2 2 2 2 2", "xxx.x.x.x.x."},
	} {
		rest := map[string]string{"2/4": "kick | . . |", "4/4": "kick | . . . . |", "6/8": "kick | . . |"}[c.metre]
		after := changed(t, read(t, c.metre, rest), "group kick in "+c.groups)
		if got := onsets(t, after, passage.Kick, defaultCell); got != c.want {
			t.Errorf("%s: group in %s is %s, want %s", c.name, c.groups, got, c.want)
		}
	}
}

// A grouping runs on over the bar line: three bars of threes in 4/4 are
// sixteen groups, one on every third sixteenth.
func TestGroupingsCrossTheBarLine(t *testing.T) {
	after := changed(t, read(t, "4/4", "kick | . . . . | . . . . | . . . . |"), "group kick in 3")
	if diff := cmp.Diff(strings.Repeat("x..", 16), onsets(t, after, passage.Kick, defaultCell)); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// Timelines of one necklace are rotations of each other, others are not;
// sources as above.
func TestRotationsOfNecklaces(t *testing.T) {
	for _, c := range []struct {
		what, metre, groups, other string
		same                       bool
	}{
		{"E(5,16) and bossa", "4/4", "3 3 3 3 4", "x..x..x...x..x..", true},
		{"bembe and bembe-2", "6/8", "2 2 1 2 2 2 1", "xx.x.xx.x.x.", true},
		{"bembe and yoruba", "6/8", "2 2 1 2 2 2 1", "x.x.xx.x.xx.", true},
		{"bembe and E(7,12)", "6/8", "2 2 1 2 2 2 1", "x.xx.x.xx.x.", true},
		{"soli and sorsonet", "6/8", "2 2 2 2 1 2 1", "xxx.x.x.x.x.", false},
		{"son and rumba", "4/4", "3 3 4 2 4", "x..x...x..x.x...", false},
	} {
		rest := map[string]string{"4/4": "kick | . . . . |", "6/8": "kick | . . |"}[c.metre]
		p := changed(t, read(t, c.metre, rest), "group kick in "+c.groups)
		row, found := onsets(t, p, passage.Kick, defaultCell), false
		for n := 1; n < len(row); n++ {
			after := changed(t, p, "rotate kick by "+meter.FormatLength(meter.R(int64(n), 4)))
			got := onsets(t, after, passage.Kick, defaultCell)
			if want := row[len(row)-n:] + row[:len(row)-n]; got != want {
				t.Errorf("%s: rotated by %d it is %s, want %s", c.what, n, got, want)
			}
			found = found || got == c.other
		}
		if found != c.same {
			t.Errorf("%s: rotations of %s reach %s: %v", c.what, row, c.other, found)
		}
	}
}

// A tuplet made straight is as even as cells allow: k strokes on 8 cells are
// E(k,8) up to rotation (Toussaint 2005, as above).
func TestEvenedTupletsAreEuclidean(t *testing.T) {
	for tuplet, want := range map[string]string{"xxx": "xx.x", "xxxxx": "x.xx.xx.", "xxxxxxx": "xxxxxxx."} {
		after := changed(t, read(t, "4/4", "kick | "+tuplet+" . . . |"), "even kick")
		cell := meter.R(1, int64(len(want)))
		got := onsets(t, after, passage.Kick, cell)[:len(want)]
		if !strings.Contains(want+want, got) {
			t.Errorf("%s becomes %s, no rotation of %s", tuplet, got, want)
		}
	}
}

// BPM_new = BPM_old * (pivot in new beats) / (pivot in old beats), by the
// definition of metric modulation: the pivot lasts as long before and after.
func TestMetricModulation(t *testing.T) {
	for _, c := range []struct {
		change       string
		old, want    int64
		before, then meter.Rat // the pivot in quarter notes
	}{
		{"tempo by 3/2 at 2", 120, 180, meter.R(1, 3), meter.R(1, 2)}, // triplet eighth becomes eighth
		{"tempo by 4/3 at 2", 120, 160, meter.R(3, 4), meter.Int(1)},  // dotted eighth becomes quarter
		{"tempo by 5/4 at 2", 100, 125, meter.R(1, 5), meter.R(1, 4)}, // quintuplet sixteenth becomes sixteenth
	} {
		p := read(t, "4/4", "kick | x . . . | x . . . |")
		for i := range p.Bars {
			p.Bars[i].Tempo.BPM = meter.Int(c.old)
		}
		after := changed(t, p, c.change)
		if got := after.Bars[1].Tempo.BPM; got != meter.Int(c.want) || after.Bars[0] != p.Bars[0] {
			t.Errorf("%s at %d: %s, want %d", c.change, c.old, got, c.want)
		}
		tempi, err := after.TempoMap()
		if err != nil {
			t.Fatal(err)
		}
		old, now := tempi.Exact(c.before), tempi.Exact(meter.Int(4).Add(c.then))
		if now.Sub(now, tempi.Exact(meter.Int(4))); old.Cmp(now) != 0 {
			t.Errorf("%s: the pivot lasts %s s before and %s s after", c.change, old, now)
		}
	}
}
