package drill

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises/passage/passagetest"
)

// texts draws the text of a climb, or one of the files of testdata/text.
func texts(t *rapid.T) []byte {
	files, err := filepath.Glob("testdata/text/*.drill")
	if err != nil || len(files) == 0 {
		t.Fatalf("no files in testdata/text: %v", err)
	}
	if rapid.Bool().Draw(t, "file") {
		text, err := os.ReadFile(rapid.SampledFrom(files).Draw(t, "name"))
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	text, err := Print(passagetest.Climbs().Draw(t, "climb"))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// edit draws a small change of a text, as hands make it: a few characters put
// in place of others, a line doubled, moved or left out.
func edit(t *rapid.T, text []byte) []byte {
	if rapid.IntRange(0, 3).Draw(t, "what") > 0 {
		from := rapid.IntRange(0, len(text)).Draw(t, "from")
		to := min(len(text), from+rapid.IntRange(0, 3).Draw(t, "out"))
		in := rapid.SampledFrom([]string{"", "x", ".", "-", "X", " ", "|", "\n", "[", "3", "%", "#", "\x00", "q", "do: late kick by 1/8\n", "do: mute snare\n", "step: N\n", "tempo: 90 | 80\n", "metre: 3/4\n"}).Draw(t, "in")
		return slicesConcat(text[:from], []byte(in), text[to:])
	}
	lines := bytes.SplitAfter(text, []byte("\n"))
	i, j := rapid.IntRange(0, len(lines)-1).Draw(t, "line"), rapid.IntRange(0, len(lines)-1).Draw(t, "other")
	moved := slicesConcat(lines[i])
	if rapid.Bool().Draw(t, "out") {
		lines[i] = nil
	}
	lines[j] = slicesConcat(moved, lines[j])
	return bytes.Join(lines, nil)
}

func slicesConcat(parts ...[]byte) []byte { return bytes.Join(parts, nil) }

// A Reader reads every text as a reader without memory does, whatever it read
// before.
func TestReadersRememberRightly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var r Reader
		text := texts(t)
		last := text
		for range rapid.IntRange(1, 12).Draw(t, "edits") {
			got := r.Read("x.drill", text, testChanges{})
			climb, ps := Parse("x.drill", text, testChanges{})
			if diff := cmp.Diff(ps, got.Problems); diff != "" {
				t.Fatalf("problems (-want +got):\n%s\n%s", diff, text)
			}
			if diff := cmp.Diff(climb, got.Climb, equal); diff != "" {
				t.Fatalf("climb (-want +got):\n%s\n%s", diff, text)
			}
			if rapid.IntRange(0, 3).Draw(t, "back") == 0 {
				text = last // as undoing does
			}
			last, text = text, edit(t, text)
		}
	})
}

// oneLine is the text of the first benchmark with one cell of the kick changed.
func oneLine(bars int) [2][]byte {
	text := full(bars)
	i := bytes.Index(text, []byte("\nkick")) + len("\nkick | ")
	other := bytes.Clone(text)
	other[i] = 'X'
	return [2][]byte{text, other}
}

func BenchmarkReadOneLineChanged(b *testing.B) {
	for _, bars := range []int{16, 64} {
		b.Run(fmt.Sprintf("bars=%d", bars), func(b *testing.B) {
			texts := oneLine(bars)
			var r Reader
			for i := 0; b.Loop(); i++ {
				if reading := r.Read("full.drill", texts[i%2], nil); len(reading.Problems) > 0 {
					b.Fatal(reading.Problems)
				}
			}
		})
	}
}

// BenchmarkReadBaseChanged changes a line of the step from which five others
// are made, each from the one before.
func BenchmarkReadBaseChanged(b *testing.B) {
	for _, bars := range []int{16, 32} {
		b.Run(fmt.Sprintf("bars=%d", bars), func(b *testing.B) {
			texts := oneLine(bars)
			for i := range texts {
				for n := range 5 {
					texts[i] = fmt.Appendf(texts[i], "step: Made %d\ndo: late snare by 1/16\n", n)
				}
			}
			var r Reader
			for i := 0; b.Loop(); i++ {
				if reading := r.Read("full.drill", texts[i%2], testChanges{}); len(reading.Problems) > 0 {
					b.Fatal(reading.Problems)
				}
			}
		})
	}
}

// The readings of the benchmark share all lines but the one that changed.
func TestReadersShareWhatStayed(t *testing.T) {
	texts := oneLine(4)
	var r Reader
	a, b := r.Read("a", texts[0], nil), r.Read("a", texts[1], nil)
	var changed []string
	for i, l := range b.Climb.Steps[0].Passage.Lines {
		if &l.Strokes[0] != &a.Climb.Steps[0].Passage.Lines[i].Strokes[0] {
			changed = append(changed, l.Voice.String())
		}
	}
	if got := strings.Join(changed, " "); got != "kick" {
		t.Errorf("read again: %s, want kick only", got)
	}
}

// counted is the catalogue of the tests that notes how often it is asked.
type counted struct{ asked *int }

func (c counted) Parse(text string) (change, error) {
	*c.asked++
	return testChanges{}.Parse(text)
}

// Changes are made again when what they start from changed, and not else; and
// again by another catalogue.
func TestReadersMakeWhatChanged(t *testing.T) {
	const text = "title: T\ntempo: 120\nmetre: 4/4\nstep: A\nkick | x x x x |\nsnare | . x . x |\nstep: B\ndo: late kick by 1/8\nstep: C\nfrom: A\ndo: mute snare\nhat | x x x x |\n"
	var r Reader
	var asked, other int
	for _, c := range []struct {
		what, old, new string
		cat            counted
		want           int
	}{
		{"first", "", "", counted{&asked}, 2},
		{"nothing", "", "", counted{&asked}, 0},
		{"a title", "step: B", "step: D", counted{&asked}, 0},
		{"the voice of a made step", "hat | x", "hat | .", counted{&asked}, 0},
		{"one change", "1/8", "1/16", counted{&asked}, 1},
		{"back again", "", "", counted{&asked}, 1},
		{"the base of both", "kick | x", "kick | .", counted{&asked}, 2},
		{"the tempo", "120", "90", counted{&asked}, 2},
		{"another catalogue", "120", "90", counted{&other}, 2},
	} {
		asked, other = 0, 0
		reading := r.Read("t", []byte(strings.Replace(text, c.old, c.new, 1)), c.cat)
		if err := reading.Problems.Err(); err != nil {
			t.Fatal(err)
		}
		if got := asked + other; got != c.want {
			t.Errorf("%s: %d changes made, want %d", c.what, got, c.want)
		}
	}
}

// A Reader keeps what its last reading used and nothing else.
func TestReadersForget(t *testing.T) {
	var r Reader
	for i := range 50 {
		text := fmt.Sprintf("title: T\ntempo: %d\nmetre: %d/4\nstep: A\nkick |%s |\nstep: B\ndo: late kick by 1/%d\n", 60+i, i%7+1, strings.Repeat(" x", i%7+1), i+8)
		if err := r.Read("t", []byte(text), testChanges{}).Problems.Err(); err != nil {
			t.Fatal(err)
		}
		placed, made := 0, 0
		for _, v := range r.mem.lines {
			placed += len(v.placed) + len(v.before)
		}
		for _, m := range r.mem.made {
			made += len(m)
		}
		if len(r.mem.lines)+len(r.mem.oldLines) != 1 || placed != 1 || made != 1 || len(r.mem.oldMade) != 0 {
			t.Fatalf("after %d readings: %d lines, %d placements, %d made steps", i+1, len(r.mem.lines), placed, made)
		}
	}
}
