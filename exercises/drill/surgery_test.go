package drill

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

// sprinkled draws a climb as hands write it: with numbered comments, blank
// lines, indents, % for repeats, and either kind of line ending.
func sprinkled(t *rapid.T) []byte {
	text, err := Print(passagetest.Climbs().Draw(t, "climb"))
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	if rapid.Bool().Draw(t, "mark") {
		out.WriteString("\ufeff")
	}
	newline := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "newline")
	for i, line := range strings.Split(strings.TrimSuffix(string(text), "\n"), "\n") {
		switch rapid.IntRange(0, 9).Draw(t, "between") {
		case 0:
			fmt.Fprintf(&out, "  # above %d.%s", i, newline)
		case 1:
			out.WriteString(newline)
		case 2:
			line = " \t" + line
		case 3, 4:
			line += fmt.Sprintf("   # beside %d.", i)
		}
		out.WriteString(line + newline)
	}
	if rapid.Bool().Draw(t, "open end") {
		return []byte(strings.TrimSuffix(out.String(), newline))
	}
	return []byte(out.String())
}

func comments(text []byte) []string {
	var all []string
	for _, line := range splitText(text).lines {
		if c := line[len(stripComment(line)):]; c != "" {
			all = append(all, c)
		}
	}
	slices.Sort(all)
	return all
}

// read reads a text that must be without problems.
func read(t interface {
	Helper()
	Fatalf(string, ...any)
}, text []byte) Reading {
	t.Helper()
	var r Reader
	reading := r.Read("x.drill", text, testChanges{})
	if err := reading.Problems.Err(); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return reading
}

// mended reads what a function made of a text, which must keep its comments and
// its kind of line ending.
func mended(t *rapid.T, old, text []byte, err error) Reading {
	t.Helper()
	if err != nil {
		t.Fatalf("%v\n%s", err, old)
	}
	if n := bytes.Count(text, []byte("\n")); bytes.Contains(old, []byte("\r\n")) && bytes.Count(text, []byte("\r\n")) != n {
		t.Fatalf("lines end in both ways\n%q", text)
	}
	return read(t, text)
}

func sameComments(t *rapid.T, old, text []byte) {
	t.Helper()
	if diff := cmp.Diff(comments(old), comments(text)); diff != "" {
		t.Fatalf("comments (-want +got):\n%s\n%s\n%s", diff, old, text)
	}
}

// reworked draws another passage from one: voices changed, added and left out,
// in another order, now and then in other bars.
func reworked(t *rapid.T, p passage.Passage) passage.Passage {
	p = p.Clone()
	if rapid.IntRange(0, 4).Draw(t, "bars") == 0 {
		other := passagetest.Passages().Draw(t, "passage")
		other.Tuning, other.Machine = p.Tuning, p.Machine
		return other
	}
	if rapid.IntRange(0, 4).Draw(t, "tempo") == 0 {
		p.Bars[len(p.Bars)-1].Tempo = passagetest.Tempos().Draw(t, "new tempo")
	}
	for i, l := range p.Lines {
		if rapid.Bool().Draw(t, "change") {
			p.Lines[i] = passagetest.Lines(l.Voice, p.Bars).Draw(t, "line")
		}
	}
	if len(p.Lines) > 1 && rapid.IntRange(0, 2).Draw(t, "out") == 0 {
		i := rapid.IntRange(0, len(p.Lines)-1).Draw(t, "which")
		p.Lines = slices.Delete(p.Lines, i, i+1)
	}
	v := rapid.SampledFrom(passage.Voices()).Draw(t, "new voice")
	if _, ok := p.Line(v); !ok && rapid.Bool().Draw(t, "add") {
		at := rapid.IntRange(0, len(p.Lines)).Draw(t, "where")
		p.Lines = slices.Insert(p.Lines, at, passagetest.Lines(v, p.Bars).Draw(t, "line"))
	}
	if rapid.IntRange(0, 3).Draw(t, "shuffle") == 0 {
		p.Lines = rapid.Permutation(p.Lines).Draw(t, "order")
	}
	return p
}

// A replaced step is what was wanted, other written-out steps and all lines
// outside it stay what they are, and so do all comments.
func TestReplaceWrittenOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := sprinkled(t)
		before := read(t, text)
		i := rapid.IntRange(0, len(before.Steps)-1).Draw(t, "step")
		want, _ := before.Step(i)
		want.From, want.Do = "", nil
		want.Passage = reworked(t, want.Passage)
		if rapid.Bool().Draw(t, "says") {
			want.Says = rapid.SampledFrom([]string{"", "It is other."}).Draw(t, "new says")
		}
		if rapid.IntRange(0, 3).Draw(t, "title") == 0 {
			want.Title = before.FreeTitle("Other")
		}
		got, err := before.Replace(i, want)
		after := mended(t, text, got, err)
		sameComments(t, text, got)
		step, _ := after.Step(i)
		if step.Title != want.Title || step.Says != want.Says || step.From != "" || len(step.Do) > 0 {
			t.Fatalf("the step is %+v, want %+v\n%s", step, want, got)
		}
		if diff := cmp.Diff(want.Passage, step.Passage, equal); diff != "" {
			t.Fatalf("(-want +got):\n%s\n%s\n%s", diff, text, got)
		}
		othersStay(t, before, after, i)
	})
}

// othersStay holds that all steps but one say what they said, that those that
// are written out play it, and that no byte outside it and the from of others
// is another.
func othersStay(t *rapid.T, before, after Reading, step int) {
	t.Helper()
	for i, old := range before.Climb.Steps {
		now := after.Climb.Steps[i]
		if i == step {
			continue
		}
		if old.From == before.Steps[step].Title {
			old.From, old.Passage = after.Steps[step].Title, now.Passage
		}
		if old.From != "" {
			old.Passage = now.Passage
		}
		if diff := cmp.Diff(old, now, equal); diff != "" {
			t.Fatalf("step %d (-want +got):\n%s", i+1, diff)
		}
	}
	head := func(r Reading) string { return strings.Join(r.text.lines[:r.Steps[step].First-1], "\n") }
	tail := func(r Reading) string {
		if step == len(r.Steps)-1 {
			return ""
		}
		return strings.Join(r.text.lines[r.Steps[step+1].First-1:], "\n")
	}
	if before.Steps[step].Title != after.Steps[step].Title {
		return
	}
	if head(before) != head(after) || tail(before) != tail(after) {
		t.Fatalf("lines outside the step:\n%s\n%s", head(before)+tail(before), head(after)+tail(after))
	}
}

// A made step stays made: voices that differ get lines of their own.
func TestReplaceMade(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := sprinkled(t)
		r := read(t, text)
		from := rapid.SampledFrom(r.Climb.Steps).Draw(t, "from")
		made := passage.Step{Title: r.FreeTitle("Made"), From: from.Title, Passage: from.Passage}
		if rapid.Bool().Draw(t, "do") {
			made.Do = []string{"late " + from.Passage.Lines[0].Voice.String() + " by 1/16"}
		}
		text, err := r.Insert(len(r.Steps)-1, made)
		if err != nil {
			t.Fatal(err)
		}
		r = read(t, text)
		i := len(r.Steps) - 1
		want, _ := r.Step(i)
		under := want.Passage
		want.Passage = want.Passage.Clone()
		changed := map[passage.Voice]bool{}
		for range rapid.IntRange(0, 2).Draw(t, "changes") {
			v := rapid.SampledFrom(append(want.Passage.Voices(), passage.Click)).Draw(t, "voice")
			changed[v] = true
			want.Passage.Lines = put(want.Passage.Lines, passagetest.Lines(v, want.Passage.Bars).Draw(t, "line"))
		}
		if len(made.Do) == 0 && rapid.Bool().Draw(t, "tempo") {
			want.Passage.Bars[0].Tempo = passagetest.Tempos().Draw(t, "new tempo")
		}
		for range 2 { // the second time the lines stand there already
			got, err := r.Replace(i, want)
			after := mended(t, text, got, err)
			sameComments(t, text, got)
			step, _ := after.Step(i)
			if diff := cmp.Diff(want.Passage, step.Passage, equal); diff != "" || step.From != made.From || !slices.Equal(step.Do, made.Do) {
				t.Fatalf("(-want +got):\n%s\n%s\n%s", diff, text, got)
			}
			for _, l := range step.Written {
				if u, ok := under.Line(l.Voice); !changed[l.Voice] || ok && equalLine(u, l) {
					t.Fatalf("%s is written although it does not differ\n%s", l.Voice, got)
				}
			}
			text, r = got, after
		}
		out, err := r.Replace(i, passage.Step{Title: want.Title, Says: want.Says, Passage: want.Passage})
		after := mended(t, text, out, err)
		if step, _ := after.Step(i); step.From != "" || !cmp.Equal(plainChokes(step.Passage), plainChokes(want.Passage), equal) {
			t.Fatalf("written out:\n%s\n%s", text, out)
		}
	})
}

// plainChokes returns a passage without the lengths of chokes, which count for
// nothing and need not end on a cell.
func plainChokes(p passage.Passage) passage.Passage {
	p = p.Clone()
	for _, l := range p.Lines {
		for i := range l.Strokes {
			if l.Strokes[i].Kind == passage.Choke {
				l.Strokes[i].Length = meter.Rat{}
			}
		}
	}
	return p
}

// put replaces the line of a voice, or adds it.
func put(lines []passage.Line, line passage.Line) []passage.Line {
	for i := range lines {
		if lines[i].Voice == line.Voice {
			lines[i] = line
			return lines
		}
	}
	return append(lines, line)
}

// Inserting, moving and removing steps leaves the others what they are.
func TestInsertMoveRemove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := sprinkled(t)
		r := read(t, text)
		for range rapid.IntRange(1, 4).Draw(t, "operations") {
			want := map[string]passage.Passage{}
			for _, s := range r.Climb.Steps {
				want[s.Title] = plainChokes(s.Passage)
			}
			i := rapid.IntRange(0, len(r.Steps)-1).Draw(t, "step")
			var got []byte
			var err error
			lost := false // comments
			switch rapid.IntRange(0, 3).Draw(t, "operation") {
			case 0:
				var s passage.Step
				s, i = inserted(t, r)
				got, err = r.Insert(i, s)
				want[s.Title] = plainChokes(s.Passage)
			case 1:
				if len(r.Steps) == 1 {
					continue
				}
				delete(want, r.Steps[i].Title)
				got, err = r.Remove(i)
				lost = true
			case 2:
				to := rapid.IntRange(0, len(r.Steps)-1).Draw(t, "to")
				if got, err = r.Move(i, to); err != nil {
					if !strings.Contains(err.Error(), "must stay behind it") {
						t.Fatal(err)
					}
					continue
				}
			case 3:
				title := r.FreeTitle("Called")
				want[title] = want[r.Steps[i].Title]
				delete(want, r.Steps[i].Title)
				got, err = r.Rename(i, title)
			}
			after := mended(t, text, got, err)
			if !lost {
				sameComments(t, text, got)
			}
			have := map[string]passage.Passage{}
			for _, s := range after.Climb.Steps {
				have[s.Title] = plainChokes(s.Passage)
			}
			if diff := cmp.Diff(want, have, equal); diff != "" {
				t.Fatalf("(-want +got):\n%s\n%s\n%s", diff, text, got)
			}
			text, r = got, after
		}
	})
}

// inserted draws a new step, and behind which step it goes.
func inserted(t *rapid.T, r Reading) (passage.Step, int) {
	after := rapid.IntRange(-1, len(r.Steps)-1).Draw(t, "after")
	s := passage.Step{Title: r.FreeTitle("New")}
	switch kind := rapid.IntRange(0, 2).Draw(t, "kind"); {
	case kind == 0 && after >= 0:
		from := r.Climb.Steps[rapid.IntRange(0, after).Draw(t, "from")]
		s.From, s.Passage = from.Title, from.Passage
	case kind == 1 && after >= 0: // made from the step before, without saying so
		base := r.Climb.Steps[after].Passage
		v := base.Lines[0].Voice
		do, _ := testChanges{}.Parse("mute " + v.String())
		p, _ := do(base.Clone())
		p, _ = p.Regroup()
		s.Do, s.Passage = []string{"mute " + v.String()}, p
		if len(p.Lines) == 0 {
			s.Do, s.Passage = []string{"late " + v.String() + " by 64/1"}, base.Clone()
			s.Passage.Lines[0].Strokes = nil
		}
	default:
		s.Passage = passagetest.Passages().Draw(t, "passage")
		s.Passage.Tuning, s.Passage.Machine = r.Climb.Tuning, r.Climb.Machine
	}
	return s, after
}
