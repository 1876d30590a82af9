package drill

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

func TestPrintedClimbsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		roundTrip(t, passagetest.Climbs().Draw(t, "climb"))
	})
}

// strokesOf returns the strokes of a passage, with the length of chokes, which
// counts for nothing, left out.
func strokesOf(p passage.Passage) map[passage.Voice][]passage.Stroke {
	all := map[passage.Voice][]passage.Stroke{}
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			if s.Kind == passage.Choke {
				s.Length = meter.Rat{}
			}
			all[l.Voice] = append(all[l.Voice], s)
		}
	}
	return all
}

// Passages as changes leave them, with groups missing or out of date, print
// and come back with the same strokes.
func TestPrintedPassagesKeepTheirStrokes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Loose().Draw(t, "passage")
		climb := passage.Climb{Title: "Loose", Tempo: []meter.Tempo{p.Bars[0].Tempo}, Metre: []meter.Metre{p.Bars[0].Metre}, Steps: []passage.Step{Written("One", "", p)}}
		text, err := Print(climb)
		if err != nil {
			t.Skip(err) // not every mixture of divisions can be written
		}
		again, ps := Parse("again.drill", text, nil)
		if len(ps) > 0 {
			t.Fatalf("%v\n%s", ps, text)
		}
		if diff := cmp.Diff(strokesOf(p), strokesOf(again.Steps[0].Passage), equal); diff != "" {
			t.Fatalf("(-want +got):\n%s\n%s", diff, text)
		}
		roundTrip(t, again)
	})
}

// What the text has no form for is refused with its reason.
func TestPrintRefuses(t *testing.T) {
	good := func() passage.Climb {
		c, ps := Parse("t.drill", []byte("title: T\ntempo: 120\nmetre: 4/4\nstep: A\nkick | x x x x |\nstep: B\nfrom: A\n"), nil)
		if err := ps.Err(); err != nil {
			t.Fatal(err)
		}
		return c
	}
	for _, c := range []struct {
		name string
		harm func(c *passage.Climb)
		want string
	}{
		{"no title", func(c *passage.Climb) { c.Title = "" }, `title "" is missing; write it`},
		{"long title", func(c *passage.Climb) { c.Title = strings.Repeat("ü", 121) }, `title "üüüüüüüüüüüüüüüüüüüüüüüüüüüüüüüüüüüüüüüü" has 121 characters; keep it within 120`},
		{"title with a line", func(c *passage.Climb) { c.Title = "a\nb" }, `title "a\nb" holds a control character; remove it`},
		{"title not UTF-8", func(c *passage.Climb) { c.Title = "a\xff" }, `title "a\xff" holds a byte that is not UTF-8; remove it`},
		{"title with a comment", func(c *passage.Climb) { c.By = "Shaft # 3" }, `by "Shaft # 3" has a # that begins a comment; put something before it`},
		{"spaces", func(c *passage.Climb) { c.About = "a " }, `about "a " begins or ends with a space; remove it`},
		{"no tempo", func(c *passage.Climb) { c.Tempo = nil }, `tempo "" is missing; write it`},
		{"tempo", func(c *passage.Climb) { c.Tempo[0].BPM = meter.Int(9) }, "a tempo of 9 is outside 20 to 400 beats a minute; choose one inside\nstep 1: bar 1 is not in the tempo and metre the step is given; set its Tempo and Metre"},
		{"zero metre", func(c *passage.Climb) { c.Metre = []meter.Metre{{}} }, "a bar has no metre; give it one\nstep 1: bar 1 is not in the tempo and metre the step is given; set its Tempo and Metre"},
		{"tuning", func(c *passage.Climb) { c.Tuning = 60 }, "a tuning to C4; choose one from F1 to E2"},
		{"no steps", func(c *passage.Climb) { c.Steps = nil }, "the climb has 0 steps; write 1 to 64"},
		{"same title", func(c *passage.Climb) { c.Steps[1].Title = "a" }, "step 2: a step before it has the same title; give each its own"},
		{"unknown base", func(c *passage.Climb) { c.Steps[1].From = "C" }, `step 2: no step before it is called "C"; name an earlier step`},
		{"first is changed", func(c *passage.Climb) { c.Steps[0].Do = []string{"x"} }, "step 1: the first step has none before it to change; write it out"},
		{"many changes", func(c *passage.Climb) { c.Steps[1].Do = strings.Fields("a b c d e f g h i") }, "step 2: 9 changes in one step; make several steps of it"},
		{"empty step", func(c *passage.Climb) { c.Steps[1].From = "" }, "step 2: it has neither voice lines nor a step it is made from; write it out"},
		{"other bars", func(c *passage.Climb) { c.Metre = []meter.Metre{{}}; c.Metre[0], _ = meter.ParseMetre("3/4") }, "step 1: bar 1 is not in the tempo and metre the step is given; set its Tempo and Metre"},
		{"outside the limits", func(c *passage.Climb) { c.Steps[0].Written[0].Strokes[0].Fret = 1 }, "step 1: kick at 1.1: details in parentheses on a voice without frets; leave them out"},
		{"no cells for it", func(c *passage.Climb) { c.Steps[0].Written[0].Strokes[0].Length = meter.R(1, 641) }, "step 1: kick at 1.1: the strokes of bar 1 do not fall on cells that can be written; use simpler divisions"},
		{"too long", func(c *passage.Climb) {
			c.Steps[0].Says = strings.Repeat("x", 600)
			for i := range MaxFile / 600 {
				s := c.Steps[0]
				s.Title = strings.Repeat("i", i%100) + strings.Repeat("j", i/100+1)
				c.Steps = append(c.Steps, s)
			}
		}, "the climb has 438 steps; write 1 to 64\nthe text would have 297854 bytes; keep it within 262144, or make two climbs of it"},
	} {
		climb := good()
		c.harm(&climb)
		text, err := Print(climb)
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s\n%s", c.name, err, c.want, text)
		}
	}
	climb := good()
	climb.Tuning = 0
	if text, err := Print(climb); err != nil || !strings.Contains(string(text), "tuning: A1\n") {
		t.Errorf("without a tuning: %v\n%s", err, text)
	}
}

// A step made from a passage is printed with its own tempi and metres.
func TestWritten(t *testing.T) {
	p := passage.Passage{Tuning: passage.DefaultTuning}
	for _, m := range []string{"4/4", "7/8 (2+2+3)", "7/8 (2+2+3)"} {
		metre, err := meter.ParseMetre(m)
		if err != nil {
			t.Fatal(err)
		}
		p.Bars = append(p.Bars, passage.Bar{Metre: metre, Tempo: meter.Tempo{BPM: meter.Int(90)}})
	}
	p.Lines = []passage.Line{
		{Voice: passage.Kick, Strokes: []passage.Stroke{
			{At: meter.R(1, 3), Length: meter.R(1, 3), Kind: passage.Hit}, {At: meter.R(15, 4), Length: meter.R(1, 2), Kind: passage.Accent}}},
		{Voice: passage.Guitar, Strokes: []passage.Stroke{
			{At: meter.Int(1), Length: meter.R(17, 2), Kind: passage.Open, Fret: 3}, {At: meter.Int(10), Length: meter.R(1, 7), Kind: passage.Bend, Bend: 1},
			{At: meter.R(51, 5), Length: meter.R(1, 5), Kind: passage.Choke}}},
	}
	climb := passage.Climb{Title: "T", Tempo: []meter.Tempo{{BPM: meter.Int(120)}}, Metre: []meter.Metre{meter.CommonTime}, Steps: []passage.Step{Written("One", "Says.", p)}}
	text, err := Print(climb)
	if err != nil {
		t.Fatal(err)
	}
	want := `title: T
tempo: 120
metre: 4/4
tuning: A1

step: One
tempo: 90
metre: 4/4 | 7/8 (2+2+3)
says: Says.
kick   | .x. .    . ...X | -... . . | . . .                           |
guitar | .   o(3) - -    | -    - - | - - ...[b(+1)-----.][.!...].... |
`
	if diff := cmp.Diff(want, string(text)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestLongReportsEnd(t *testing.T) {
	text := "title: T\ntempo: 120\nmetre: 4/4\nstep: S\n" + strings.Repeat("quarry: x\n", 3000)
	_, ps := Parse("long.drill", []byte(text), nil)
	if len(ps) != MaxProblems+1 {
		t.Fatalf("%d problems", len(ps))
	}
	got := ps[MaxProblems].Error()
	if want := "long.drill:105:1: 2901 more problems from here on; mend those above first"; got != want {
		t.Errorf("the last is %s, want %s", got, want)
	}
	if all := ps.Error(); strings.Count(all, "\n") != MaxProblems || !strings.HasSuffix(all, got) {
		t.Error("the report as an error does not have one problem a line")
	}
}

func TestLargeFilesAreRefused(t *testing.T) {
	_, ps := Parse("large.drill", make([]byte, MaxFile+1), nil)
	if want := "large.drill:1:1: the file has more than 262144 bytes; shorten it, or make two climbs of it"; ps.Error() != want {
		t.Errorf("%v, want %s", ps, want)
	}
}

// A short text must not become a huge climb.
func TestMadeStepsAreBounded(t *testing.T) {
	dense := "kick |" + strings.Repeat(" "+strings.Repeat(strings.Repeat("x", 32)+" ", 4)+"|", 64)
	var text strings.Builder
	text.WriteString("title: T\ntempo: 120\nmetre: 4/4\nstep: S\n" + dense + "\n")
	for i := range 60 {
		text.WriteString("step: " + strings.Repeat("i", i+1) + "\nfrom: S\n")
	}
	_, ps := Parse("t.drill", []byte(text.String()), nil)
	if len(ps) != 1 || ps[0].Line != 28 {
		t.Errorf("%v", ps)
	}
}
