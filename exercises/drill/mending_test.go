package drill

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

const hopper = `title: Hopper   # a name
tempo: 100
metre: 4/4
# The floor first.
step: Floor
says: All together. # or nearly
# cymbals
China | x x x x     | %         |   # counts
# drums
  kick |x.x. x .   ..xx|x.x. x . ..| # two
tempo: 100 # as above

step: Late
do: late kick by 1/16
# remark of its own

# the last
step: Copy
from: floor # by name
kick | x x x x | x x x x |
`

// mendings are what hands do to a step in the page, and the lines that come out
// other: "-" before those that go, "+" before those that come.
var mendings = []struct {
	name string
	do   func(r Reading) ([]byte, error)
	want string
}{
	{"a stroke: the block is aligned anew, % and comments stay", withStep(0, func(s *passage.Step) {
		s.Passage.Lines[1].Strokes[0].Kind = passage.Accent
	}), `
-China | x x x x     | %         |   # counts
+china | x    x x x    | %           |   # counts
-  kick |x.x. x .   ..xx|x.x. x . ..| # two
+kick  | X.x. x . ..xx | x.x. x . .. | # two
`},
	{"a stroke in a bar that repeats", withStep(0, func(s *passage.Step) {
		s.Passage.Lines[0].Strokes[4].Kind = passage.Accent
	}), `
-China | x x x x     | %         |   # counts
+china | x    x x x    | X    x x x  |   # counts
-  kick |x.x. x .   ..xx|x.x. x . ..| # two
+kick  | x.x. x . ..xx | x.x. x . .. | # two
`},
	{"another order: comments go with their voices", withStep(0, func(s *passage.Step) {
		slices.Reverse(s.Passage.Lines)
	}), `
-China | x x x x     | %         |   # counts
+kick  | x.x. x . ..xx | x.x. x . .. | # two
-  kick |x.x. x .   ..xx|x.x. x . ..| # two
+china | x    x x x    | %           |   # counts
`},
	{"a voice more and one less", withStep(0, func(s *passage.Step) {
		s.Passage.Lines[0] = passage.Line{Voice: passage.Snare}
	}), `
-China | x x x x     | %         |   # counts
+# counts
-  kick |x.x. x .   ..xx|x.x. x . ..| # two
+snare | .    . . .    | .    . . .  |
+kick  | x.x. x . ..xx | x.x. x . .. | # two
`},
	{"keys", withStep(0, func(s *passage.Step) {
		s.Title, s.Says, s.Passage.Bars[1].Tempo.BPM = "The floor", "Other.", meter.Int(90)
	}), `
-step: Floor
-says: All together. # or nearly
+step: The floor
+says: Other. # or nearly
-tempo: 100 # as above
+tempo: 100 | 90 # as above
-from: floor # by name
+from: The floor # by name
`},
	{"a key that goes leaves its comment", withStep(0, func(s *passage.Step) { s.Says = "" }), `
-says: All together. # or nearly
+# or nearly
`},
	{"a made step gets the voice that differs, and a key", withStep(1, func(s *passage.Step) {
		s.Says, s.Passage.Lines[0].Strokes = "China alone.", s.Passage.Lines[0].Strokes[:1]
	}), `
+says: China alone.
+china | x . . . | . . . . |
`},
	{"another change", withStep(1, func(s *passage.Step) {
		s.Do = append(s.Do, "mute china")
		s.Passage.Lines = s.Passage.Lines[1:]
	}), `
+do: mute china
`},
	{"a made step written out", withStep(2, func(s *passage.Step) { s.From = "" }), `
-from: floor # by name
-kick | x x x x | x x x x |
+# by name
+china | x x x x | x x x x |
+kick  | x x x x | x x x x |
`},
	{"rename", func(r Reading) ([]byte, error) { return r.Rename(0, "Base") }, `
-step: Floor
+step: Base
-from: floor # by name
+from: Base # by name
`},
	{"insert before what is made from the step before", func(r Reading) ([]byte, error) {
		return r.Insert(0, passage.Step{Title: "New", From: "Floor", Says: "As before."})
	}, `
+step: New
+from: Floor
+says: As before.
+
+from: Floor
`},
	{"insert at the end", func(r Reading) ([]byte, error) {
		s, _ := r.Step(2)
		return r.Insert(2, passage.Step{Title: "New", Passage: s.Passage})
	}, `
+step: New
+china | x x x x | x x x x |
+kick  | x x x x | x x x x |
+
`},
	{"insert a silent one in front", func(r Reading) ([]byte, error) {
		s, _ := r.Step(0)
		return r.Insert(-1, Silent("New", "Nothing yet.", s.Passage))
	}, `
+
+step: New
+says: Nothing yet.
+china | . . . . | . . . . |
+kick  | . . . . | . . . . |
+
`},
	{"remove what others are made from", func(r Reading) ([]byte, error) { return r.Remove(0) }, `
-# The floor first.
-step: Floor
-says: All together. # or nearly
-# cymbals
-China | x x x x     | %         |   # counts
-# drums
-  kick |x.x. x .   ..xx|x.x. x . ..| # two
-tempo: 100 # as above
-
-do: late kick by 1/16
+china | x    x    x    x    | x    x    x    x  |
+kick  | .x.x .x-- -... ...x | xx.x .x-- -... .. |
-from: floor # by name
-kick | x x x x | x x x x |
+# by name
+china | x x x x | x x x x |
+kick  | x x x x | x x x x |
`},
	{"remove the last", func(r Reading) ([]byte, error) { return r.Remove(2) }, `
-# the last
-step: Copy
-from: floor # by name
-kick | x x x x | x x x x |
-
`},
	{"move down", func(r Reading) ([]byte, error) { return r.Move(1, 2) }, `
-step: Late
-do: late kick by 1/16
-# remark of its own
-
+step: Late
+from: Floor
+do: late kick by 1/16
+# remark of its own
+
`},
	{"a tempo for all", func(r Reading) ([]byte, error) { return r.SetHeader("tempo", "90 | 3/8=60") }, `
-tempo: 100
+tempo: 90 | 3/8=60
`},
	{"a tuning", func(r Reading) ([]byte, error) { return r.SetHeader("tuning", "F#1") }, `
+tuning: F#1
`},
}

// withStep replaces a step by what a function makes of it.
func withStep(i int, change func(*passage.Step)) func(r Reading) ([]byte, error) {
	return func(r Reading) ([]byte, error) {
		s, _ := r.Step(i)
		s.Passage, s.Do = s.Passage.Clone(), slices.Clone(s.Do)
		change(&s)
		return r.Replace(i, s)
	}
}

func TestMendings(t *testing.T) {
	for _, c := range mendings {
		t.Run(c.name, func(t *testing.T) {
			for _, newline := range []string{"\n", "\r\n"} {
				text := strings.ReplaceAll(hopper, "\n", newline)
				got, err := c.do(read(t, []byte(text)))
				if err != nil {
					t.Fatal(err)
				}
				if n := bytes.Count(got, []byte(newline)); n != bytes.Count(got, []byte("\n")) {
					t.Errorf("%d of the lines end in %q\n%s", n, newline, got)
				}
				if diff := cmp.Diff(c.want[1:], changes(text, string(got))); diff != "" {
					t.Errorf("(-want +got):\n%s\n%s", diff, got)
				}
				read(t, got)
			}
		})
	}
}

// What cannot be written is refused with its reason and what to do.
func TestMendingsRefused(t *testing.T) {
	step := func(change func(*passage.Step)) func(Reading) ([]byte, error) { return withStep(0, change) }
	for _, c := range []struct {
		name string
		do   func(r Reading) ([]byte, error)
		want string
	}{
		{"title", step(func(s *passage.Step) { s.Title = "a # b" }), `the title "a # b" has a # that begins a comment; put something before it`},
		{"same title", step(func(s *passage.Step) { s.Title = "LATE" }), `step 2 is called "Late" already; choose another title`},
		{"says", step(func(s *passage.Step) { s.Says = "a\nb" }), `says "a\nb" holds a control character; remove it`},
		{"from", step(func(s *passage.Step) { s.From = "Late" }), `no step before it is called "Late"; name an earlier step`},
		{"do first", step(func(s *passage.Step) { s.Do = []string{"mute kick"} }), "the first step has none before it to change; write it out"},
		{"many", withStep(1, func(s *passage.Step) { s.Do = slices.Repeat(s.Do, 9) }), "9 changes in one step; keep to 8, or make several steps of it"},
		{"no voices", step(func(s *passage.Step) { s.Passage.Lines = nil }), "the step would have no voices; keep one, silent or not"},
		{"twice", step(func(s *passage.Step) { s.Passage.Lines[1] = s.Passage.Lines[0] }), "china stands twice; give each voice one line"},
		{"limits", step(func(s *passage.Step) { s.Passage.Lines[1].Strokes[0].Fret = 3 }), "kick at 1.1: details in parentheses on a voice without frets; leave them out"},
		{"tempo", step(func(s *passage.Step) { s.Passage.Bars[0].Tempo.BPM = meter.Int(9) }), "1.1: a tempo of 9 is outside 20 to 400 beats a minute; choose one inside"},
		{"cells", step(func(s *passage.Step) { s.Passage.Lines[1].Strokes[0].Length = meter.R(1, 641) }), "kick at 1.1: the strokes of bar 1 do not fall on cells that can be written; use simpler divisions"},
		{"a voice of the base", withStep(1, func(s *passage.Step) { s.Passage.Lines = s.Passage.Lines[:1] }), "the kick comes from the step it is made from; make it silent, or write the step out"},
		{"bars", withStep(1, func(s *passage.Step) { s.Passage, _ = s.Passage.Section(1, 1) }), "the bars are not those that its from and do make; write the step out"},
		{"no step", func(r Reading) ([]byte, error) { return r.Remove(3) }, "there is no step 4; choose one of 3"},
		{"before its base", func(r Reading) ([]byte, error) { return r.Move(2, 0) }, `"Copy" is made from "Floor" and must stay behind it; move the other first`},
		{"insert nothing", func(r Reading) ([]byte, error) { return r.Insert(2, passage.Step{Title: "New"}) }, "1.1: 0 bars; write 1 to 64"},
		{"insert from a later one", func(r Reading) ([]byte, error) { return r.Insert(0, passage.Step{Title: "New", From: "Copy"}) }, `no step before it is called "Copy"; name an earlier step`},
		{"insert behind nothing", func(r Reading) ([]byte, error) { return r.Insert(3, passage.Step{Title: "New", From: "Copy"}) }, "there is no step 4 to put it behind; choose one of 3"},
		{"header", func(r Reading) ([]byte, error) { return r.SetHeader("says", "x") }, `"says" is not a key of the header; the keys are title, by, tempo, metre, tuning, about, machine`},
		{"no tempo", func(r Reading) ([]byte, error) { return r.SetHeader("tempo", "") }, "the climb has no tempo then; give it one"},
		{"bad tempo", func(r Reading) ([]byte, error) { return r.SetHeader("tempo", "90 | fast") }, `"fast" is not a tempo; write beats a minute like 120 or 3/8=80`},
		{"bad metre", func(r Reading) ([]byte, error) { return r.SetHeader("metre", "4/3") }, "the lower number of a metre is 1, 2, 4, 8, 16 or 32, not 3; choose one of them"},
		{"bad tuning", func(r Reading) ([]byte, error) { return r.SetHeader("tuning", "A5") }, `"A5" is not a tuning; write the lowest string as a note from F1 to E2, such as A1 or F#1`},
		{"bad machine", func(r Reading) ([]byte, error) { return r.SetHeader("machine", "maybe") }, `machine is not "maybe"; write yes or no`},
	} {
		text, err := c.do(read(t, []byte(hopper)))
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s\n%s", c.name, err, c.want, text)
		}
	}
	one := read(t, []byte(hopper[:strings.Index(hopper, "\nstep: Late")]))
	if _, err := one.Remove(0); err == nil || err.Error() != "a climb has at least one step; add another before removing this one" {
		t.Error("the only step:", err)
	}
	var reader Reader
	broken := reader.Read("x", []byte(strings.Replace(hopper, "x.x.", "q.x.", 1)), nil)
	if _, err := broken.Replace(0, passage.Step{Title: "Floor"}); err == nil || err.Error() != `step "Floor" has problems in its text; mend them first` {
		t.Error("a broken step:", err)
	}
	long := reader.Read("x", make([]byte, MaxFile+1), nil)
	for _, do := range []func(r Reading) ([]byte, error){
		func(r Reading) ([]byte, error) { return r.SetHeader("title", "x") },
		func(r Reading) ([]byte, error) { return r.Insert(-1, passage.Step{Title: "x"}) },
		func(r Reading) ([]byte, error) { return r.Rename(0, "x") },
	} {
		if _, err := do(long); err == nil {
			t.Error("a text that was not read is mended")
		}
	}
}

// Texts grow no longer than can be read.
func TestMendingsStayWithinTheLimits(t *testing.T) {
	r := read(t, []byte(hopper))
	dense := passage.Passage{Bars: slices.Repeat(r.Climb.Steps[0].Passage.Bars[:1], passage.MaxBars)}
	for _, v := range passage.Voices() {
		dense.Lines = append(dense.Lines, passage.Line{Voice: v, Groups: denseGroups(len(dense.Bars))})
	}
	for n := 0; ; n++ {
		text, err := r.Insert(len(r.Steps)-1, passage.Step{Title: r.FreeTitle("Dense"), Passage: dense})
		if err != nil {
			if !strings.HasPrefix(err.Error(), "the text would have ") || n != 2 {
				t.Errorf("after %d: %v", n, err)
			}
			break
		}
		r = read(t, text)
	}
	r = read(t, []byte(hopper))
	for len(r.Steps) < MaxSteps {
		text, err := r.Insert(len(r.Steps)-1, passage.Step{Title: r.FreeTitle("Copy"), From: "Floor"})
		if err != nil {
			t.Fatal(err)
		}
		r = read(t, text)
	}
	if _, err := r.Insert(0, passage.Step{Title: "One more", From: "Floor"}); err == nil || err.Error() != "a climb has at most 64 steps; make two climbs of it" {
		t.Error(err)
	}
}

// denseGroups are bars of 4/4 in cells as small as can be.
func denseGroups(bars int) []passage.Group {
	var all []passage.Group
	for i := range bars * 4 {
		all = append(all, passage.Group{At: meter.Int(int64(i)), Length: meter.Int(1), Cells: passage.MaxCells})
	}
	return all
}

func TestFreeTitle(t *testing.T) {
	r := read(t, []byte("title: T\ntempo: 60\nmetre: 4/4\nstep: A\nkick | x x x x |\nstep: a 2\nfrom: A\nstep: "+strings.Repeat("ü", 120)+"\nfrom: A\n"))
	for title, want := range map[string]string{"B": "B", "A": "A 3", strings.Repeat("Ü", 120): strings.Repeat("Ü", 118) + " 2"} {
		if got := r.FreeTitle(title); got != want {
			t.Errorf("%s: %s, want %s", title, got, want)
		}
	}
}

// changes lists the lines of a text that another has not, and the other way
// round: a longest common subsequence, as every diff shows.
func changes(a, b string) string {
	x, y := strings.Split(strings.ReplaceAll(a, "\r", ""), "\n"), strings.Split(strings.ReplaceAll(b, "\r", ""), "\n")
	longest := make([][]int, len(x)+1)
	for i := range longest {
		longest[i] = make([]int, len(y)+1)
	}
	for i := len(x) - 1; i >= 0; i-- {
		for j := len(y) - 1; j >= 0; j-- {
			longest[i][j] = max(longest[i+1][j], longest[i][j+1])
			if x[i] == y[j] {
				longest[i][j] = longest[i+1][j+1] + 1
			}
		}
	}
	var out strings.Builder
	for i, j := 0, 0; i < len(x) || j < len(y); {
		switch {
		case i < len(x) && j < len(y) && x[i] == y[j]:
			i, j = i+1, j+1
		case j == len(y) || i < len(x) && longest[i+1][j] >= longest[i][j+1]:
			out.WriteString("-" + x[i] + "\n")
			i++
		default:
			out.WriteString("+" + y[j] + "\n")
			j++
		}
	}
	return out.String()
}

// FuzzMendings holds that no text makes mending it panic, and that what comes
// out of a text without problems has none.
func FuzzMendings(f *testing.F) {
	f.Add([]byte(hopper), uint8(0), 0, 1, "New")
	f.Add([]byte(strings.ReplaceAll(hopper, "\n", "\r\n")), uint8(1), 1, 2, "floor")
	f.Add([]byte(placed), uint8(2), 1, 0, "# x")
	f.Add([]byte("step:\nstep:a\r"), uint8(4), -1, 0, "")
	f.Add([]byte("\ufefffrom:\nstep: a\nfrom:\nstep: b\nfrom: a\nkick|x"), uint8(5), 1, 0, "\x00")
	f.Fuzz(func(t *testing.T, src []byte, op uint8, step, other int, title string) {
		var reader Reader
		r := reader.Read("x.drill", src, testChanges{})
		s, _ := r.Step(other)
		one, _ := r.Step(step)
		s.Title = title
		var text []byte
		var err error
		switch op % 8 {
		case 0:
			text, err = r.Replace(step, s)
		case 1:
			text, err = r.Insert(step, s)
		case 2:
			text, err = r.Remove(step)
		case 3:
			text, err = r.Rename(step, title)
		case 4:
			text, err = r.Move(step, other)
		case 5:
			text, err = r.SetHeader("title", title)
		case 6:
			one.Says = title
			text, err = r.Replace(step, one)
		case 7:
			one.From, one.Do = "", nil
			text, err = r.Replace(step, one)
		}
		if err != nil {
			return
		}
		if why := reader.Read("x.drill", text, testChanges{}).Problems; len(r.Problems) == 0 && len(why) > 0 && !made(s, op) {
			t.Fatalf("%v\n%s\n%s", why, src, text)
		}
	})
}

// made tells whether a fuzzed step is made by changes, which may refuse where
// it goes now.
func made(s passage.Step, op uint8) bool {
	return op%8 < 2 && (s.From != "" || len(s.Do) > 0)
}
