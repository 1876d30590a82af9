package limbs_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises"
	"stampmill/exercises/limbs"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

func TestProblems(t *testing.T) {
	p := read(t, "200",
		"china  | x x x x             | x x x x |",
		"ride   | . x . x             | . . x . |",
		"snare  | . x . X             | . x . f |",
		"kick   | xxxx xxxx xxxx xxxx | x x x x |",
		"guitar | xxxx xxxx xxxx xxxx | x x x x |")
	want := strings.TrimSpace(`
kick at 1.1+1/8: the right foot would strike the kick three times within 150 ms; use a second pedal, slow down, or leave one out
snare at 1.2: three hands: china, ride, snare; leave one out, or move it to another place
guitar at 1.4: the guitar would be picked 13 times within 900 ms; slow down, leave some out, or write a tremolo
snare at 2.4: three hands: china, snare (a flam takes two); write the flam as a hit, or leave another stroke out
`)
	if got := limbs.Problems(p, limbs.One).Error(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	p.Machine = true
	if got := limbs.Problems(p, limbs.One); got != nil {
		t.Errorf("programmed drums have problems:\n%s", got)
	}
}

// Everything in the library can be played with two pedals.
func TestLibraryIsPlayable(t *testing.T) {
	for _, e := range exercises.Library() {
		for n, s := range e.Climb.Steps {
			if ps := limbs.Problems(s.Passage, limbs.Two); ps != nil {
				t.Errorf("%s, step %d, %s: %v", e.Name, n+1, s.Title, ps)
			}
		}
	}
}

// On any passage there is a problem exactly where there is a clash, the first
// one where Play or Picks has it; what can be played is given to limbs in
// order, each stroke once.
func TestProblemsAndPlayAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Passages().Draw(t, "passage")
		sticks, clash := limbs.Play(p, limbs.Two)
		first := clash
		strokes := 0
		for _, l := range p.Lines {
			if l.Voice.Family() <= passage.Drums {
				strokes += len(l.Strokes)
			}
			if _, c := limbs.Picks(p, l.Voice); c != nil && (first == nil || c.At.Less(first.At)) {
				first = c
			}
		}
		switch ps := limbs.Problems(p, limbs.Two); {
		case p.Machine && ps != nil:
			t.Fatalf("programmed, yet %v", ps)
		case !p.Machine && (first == nil) != (ps == nil):
			t.Fatalf("problems %v, clash %v", ps, first)
		case !p.Machine && first != nil && (ps[0].At != first.At || ps[0].Place != first.Place):
			t.Fatalf("the first problem is %v, the first clash %v", ps[0], first)
		case clash == nil && len(sticks) != strokes:
			t.Fatalf("%d sticks for %d strokes", len(sticks), strokes)
		}
		for i := range sticks {
			if clash != nil && !sticks[i].At.Less(clash.At) {
				t.Fatalf("stick %v at or after the clash %v", sticks[i], clash)
			}
			if i > 0 && (sticks[i].At.Less(sticks[i-1].At) || sticks[i].At == sticks[i-1].At && sticks[i].Voice <= sticks[i-1].Voice) {
				t.Fatalf("stick %v comes after %v", sticks[i], sticks[i-1])
			}
		}
	})
}

// What can be played can be played slower.
func TestSlowerIsEasier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Passages().Draw(t, "passage")
		factor := meter.R(int64(rapid.IntRange(10, 99).Draw(t, "percent")), 100)
		slower, err := p.AtTempo(p.Bars[0].Tempo.BPM.Mul(factor))
		if err != nil {
			t.Skip(err)
		}
		pedals := rapid.SampledFrom([]limbs.Pedals{limbs.Two, limbs.One}).Draw(t, "pedals")
		_, fast := limbs.Play(p, pedals)
		_, slow := limbs.Play(slower, pedals)
		if slow != nil && (fast == nil || slow.At.Less(fast.At)) {
			t.Fatalf("slower it fails at %v, as written at %v", slow, fast)
		}
	})
}

// FuzzProblems: no passage, however wrong, causes a panic.
func FuzzProblems(f *testing.F) {
	f.Add([]byte("\x01\x78\x04\x02\x07\x04\x00\x01\x01\x01\x01\x01\x06\x02\x00\x01\x05\x01"))
	f.Add([]byte("\x02\x00\xff\x03\x01\x02\x03\x00\x0c\x0c\x00\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p := wild(data)
		for _, pedals := range []limbs.Pedals{limbs.Two, limbs.One, 9} {
			limbs.Problems(p, pedals)
			limbs.Rows(p, pedals)
		}
	})
}

// wild makes a passage of any bytes, mostly an invalid one.
func wild(data []byte) passage.Passage {
	next := func() int64 {
		if len(data) == 0 {
			return 0
		}
		b := data[0]
		data = data[1:]
		return int64(b)
	}
	place := func() meter.Rat {
		if den := next() % 17; den < 16 {
			return meter.R(next()-4, den)
		}
		return meter.R((next()-128)*7919, 65537)
	}
	var p passage.Passage
	metres := []string{"4/4", "7/8 (2+2+3)", "6/8"}
	for range next() % 8 {
		b := passage.Bar{Tempo: meter.Tempo{BPM: meter.Int(next()), Unit: place()}}
		if i := next() % 4; i < 3 {
			b.Metre, _ = meter.ParseMetre(metres[i])
		}
		p.Bars = append(p.Bars, b)
	}
	for range next() % 20 {
		l := passage.Line{Voice: passage.Voice(next() % 18)}
		for range next() % 40 {
			l.Strokes = append(l.Strokes, passage.Stroke{At: place(), Length: place(), Kind: passage.Kind(next() % 14)})
		}
		for range next() % 6 {
			l.Groups = append(l.Groups, passage.Group{At: place(), Length: place(), Cells: int(next()) - 3})
		}
		p.Lines = append(p.Lines, l)
	}
	return p
}

// dense is a passage of so many bars of sixteenths in all voices that people
// can play together, the others resting at times.
func dense(b *testing.B, bars int) passage.Passage {
	var lines []string
	for _, v := range passage.Voices() {
		bar := map[passage.Voice]string{
			passage.China: "x.x. x.x. x.x. ....", passage.Snare: ".x.. X..x .x.. Xxxx", passage.CrashLeft: ".... .... .... x...",
			passage.Kick: "xxxx xxxx x.xx xxxx",
		}[v]
		if v.Family() == passage.Strings {
			bar = "x.xx x.xx x.xx x.xx"
		}
		if bar == "" {
			bar = ".... .... .... ...."
		}
		lines = append(lines, v.String()+" |"+strings.Repeat(" "+bar+" |", bars))
	}
	return read(b, "150", lines...)
}

// Linear: twice the bars, twice the time.
func BenchmarkProblems(b *testing.B) {
	for _, bars := range []int{16, 32, 64} {
		b.Run(fmt.Sprintf("bars=%d", bars), func(b *testing.B) {
			p := dense(b, bars)
			if ps := limbs.Problems(p, limbs.Two); ps != nil {
				b.Fatal(ps)
			}
			b.ReportAllocs()
			for b.Loop() {
				limbs.Problems(p, limbs.Two)
			}
		})
	}
}

// Every voice strikes every sixteenth: nine hands, in each of 64 bars.
func BenchmarkUnplayable(b *testing.B) {
	var lines []string
	for _, v := range passage.Voices() {
		if v.Plays(passage.Hit) {
			lines = append(lines, v.String()+" |"+strings.Repeat(" xxxx xxxx xxxx xxxx |", 64))
		}
	}
	p := read(b, "200", lines...)
	b.ReportAllocs()
	for b.Loop() {
		limbs.Problems(p, limbs.Two)
	}
}
