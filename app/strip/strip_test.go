package strip_test

import (
	"encoding/xml"
	"flag"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/app/strip"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

type hit = strip.Hit

var update = flag.Bool("update", false, "write the golden pictures anew")

// sheets are the pictures that people look at; each has a golden file.
func sheets(t testing.TB) map[string]strip.Sheet {
	before, after := headframe(t)
	ready := strip.Sheet{
		Passage: after, First: 3, Last: 4, Width: 976, Labels: strip.LabelsMute, Muted: []passage.Voice{passage.Kick},
		Counts: true, New: passage.Diff(before, after), Loop: [2]int{3, 4}, Playhead: true, HeadAt: 8,
		Lane: true, Part: []passage.Voice{passage.Kick}, Message: "Your hits land here, each leaning the way you lean",
	}
	verdict := ready
	verdict.Message, verdict.Playhead = "", false
	verdict.Hits = hits(after, meter.Int(8), -2, 3, -4, 4, -13, -12, -14, -1, 5, -2, 0, 6, 38, 74)
	verdict.Extras = []strip.Extra{{At: 11.6}}
	phone := verdict
	phone.Compact, phone.First, phone.Width, phone.Loop = true, 4, 390, [2]int{}
	unknown := verdict
	unknown.Plain = true
	write, problem := gangue(t), passage.Span{From: meter.Int(14), To: meter.Int(16), Voices: []passage.Voice{passage.Kick}}
	writing := strip.Sheet{
		Passage: write, Width: 938, Row: 42, Labels: strip.LabelsMute, TagRoom: true,
		Selected: []passage.Span{{From: meter.Int(8), To: meter.Int(9), Voices: []passage.Voice{passage.Kick, passage.Guitar}}},
		Cursor:   strip.Cursor{Voice: passage.Kick, From: meter.R(17, 2), To: meter.R(35, 4)},
		Problems: []strip.Problem{{Span: problem, Tag: "problem, line 3"}},
	}
	onPhone := writing
	onPhone.Compact, onPhone.First, onPhone.Last, onPhone.Width, onPhone.Row = true, 4, 4, 390, 0
	sticks := strip.Sheet{Passage: write, First: 3, Last: 4, Width: 976, Labels: strip.LabelsPlain, Counts: true, Sticking: []strip.Sign{}}
	for _, line := range write.Lines {
		for i, stroke := range line.Strokes {
			hand := [...]string{"R", "L"}[i%2]
			if line.Voice.Sustained() {
				hand = [...]string{"↓", "↑"}[i%2]
			}
			sticks.Sticking = append(sticks.Sticking, strip.Sign{Voice: line.Voice, At: stroke.At, Text: hand})
		}
	}
	return map[string]strip.Sheet{
		"write": writing, "write-phone": onPhone, "sticking": sticks,
		"ready": ready, "unknown": unknown, "verdict": verdict, "phone": phone,
		"kinds": {Width: 976, Labels: strip.LabelsPlain, Passage: written(t, "4/4", "120",
			"hat       | x X go x!      |",
			"snare     | X g f d        |",
			"tom-floor | xxx x.x.x 2:xx[xx]x |",
			"guitar    | x- X- go c-    |",
			"bass      | b- !. h- s-    |",
			"lead      | t- p. S--- -   |",
			"click     | X x g x        |")},
	}
}

// pictures are the sheets as they are drawn, and a pair.
func pictures(t testing.TB) map[string]string {
	all := map[string]string{}
	for name, sheet := range sheets(t) {
		all[name] = sheet.SVG()
	}
	pair := gangues(t).Draw()
	all["pair-before"], all["pair-after"] = pair.Before, pair.After
	maps.Copy(all, asked(t))
	return all
}

func TestPictures(t *testing.T) {
	for name, svg := range pictures(t) {
		t.Run(name, func(t *testing.T) {
			got := svg + "\n"
			file := filepath.Join("testdata", name+".svg")
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
				t.Errorf("%s (-want +got; write anew with -update and look at it):\n%s", file, diff)
			}
		})
	}
}

// The page's policy forbids inline styles, and its themes give every colour:
// so the picture has classes only, and each is in the manual of the package.
func TestOnlyDocumentedClasses(t *testing.T) {
	manual, err := os.ReadFile("strip.go")
	if err != nil {
		t.Fatal(err)
	}
	documented := map[string]bool{"sm-row": true, "sm-s": true, "sm-h": true} // for tests: no look
	for _, class := range regexp.MustCompile(`sm-[a-z]+`).FindAllString(string(manual), -1) {
		documented[class] = true
	}
	colour := regexp.MustCompile(`style=|#[0-9a-f]{3}|rgb|stroke="|<style|fill="[^u]`)
	for name, svg := range pictures(t) {
		if found := colour.FindString(svg); found != "" {
			t.Errorf("%s: %q in the picture", name, found)
		}
		for _, classes := range regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(svg, -1) {
			for _, class := range strings.Fields(classes[1]) {
				if !documented[class] {
					t.Errorf("%s: class %s is not in the package comment", name, class)
				}
			}
		}
	}
}

// A take changes what stands in the strip, never its size or places.
func TestSizeStaysThroughATake(t *testing.T) {
	all := sheets(t)
	ready, verdict := all["ready"], all["verdict"]
	if a, b := ready.Layout(), verdict.Layout(); a.Height != b.Height || a.TightY != b.TightY || a.X(9) != b.X(9) {
		t.Errorf("ready %+v, verdict %+v", a, b)
	}
}

// Place by hand: two bars of 4/4 between x 129 and 963 are 834/8 a quarter.
func TestPlaces(t *testing.T) {
	l := sheets(t)["ready"].Layout()
	for _, c := range []struct{ quarters, x float64 }{{8, 129}, {16, 963}, {12, 546}, {14 + 4./3, 893.5}} {
		if x := l.X(c.quarters); math.Abs(x-c.x) > 0.01 {
			t.Errorf("X(%v) = %v, want %v", c.quarters, x, c.x)
		}
	}
	if got, want := l.HeadTransform(12), "translate(546 0)"; got != want {
		t.Errorf("playhead %q, want %q", got, want)
	}
	x, y := l.LeanAt(12, 400) // pinned to 40 ms: 18 to the right, 40 down
	if x != 546+18 || y != l.TightY+40 {
		t.Errorf("mark of a hit 400 ms late at %v, %v", x, y)
	}
}

// A bar at double speed is half as wide: the picture is to scale in time, not
// in notes.
func TestTempoChangesInside(t *testing.T) {
	p := written(t, "4/4", "60 | 120", "kick | x x x x | x x x x |")
	l := strip.Sheet{Passage: p, Width: 442}.Layout() // 300 for 4 s and 2 s
	for _, c := range []struct{ quarters, seconds, x float64 }{{0, 0, 129}, {4, 4, 329}, {6, 5, 379}, {8, 6, 429}} {
		if x := l.X(c.quarters); math.Abs(x-c.x) > 1e-9 {
			t.Errorf("X(%v) = %v, want %v", c.quarters, x, c.x)
		}
		if x := l.XAtSeconds(c.seconds); math.Abs(x-c.x) > 1e-9 {
			t.Errorf("XAtSeconds(%v) = %v, want %v", c.seconds, x, c.x)
		}
	}
}

// element is any element of a picture with its children.
type element struct {
	XMLName xml.Name
	Attrs   []xml.Attr `xml:",any,attr"`
	Text    string     `xml:",chardata"`
	Inside  []element  `xml:",any"`
}

func (e element) attr(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func parse(t interface{ Fatalf(string, ...any) }, svg string) element {
	var root element
	if err := xml.Unmarshal([]byte(svg), &root); err != nil {
		t.Fatalf("%v in\n%s", err, svg)
	}
	return root
}

// find calls f for e and everything inside it.
func (e element) find(f func(element)) {
	f(e)
	for _, in := range e.Inside {
		in.find(f)
	}
}

// passages draws passages as they are written and as changes leave them.
func passages(t *rapid.T) passage.Passage {
	return rapid.OneOf(passagetest.Passages(), passagetest.Loose()).Draw(t, "passage")
}

// sheetOf draws a sheet over a passage.
func sheetOf(t *rapid.T, p passage.Passage) strip.Sheet {
	first := rapid.IntRange(1, len(p.Bars)).Draw(t, "first")
	return strip.Sheet{
		Passage: p, First: first, Last: rapid.IntRange(first, len(p.Bars)).Draw(t, "last"),
		Width: rapid.Float64Range(0, 2000).Draw(t, "width"), Compact: rapid.Bool().Draw(t, "compact"),
		Counts: rapid.Bool().Draw(t, "counts"), Lane: rapid.Bool().Draw(t, "lane"), Labels: strip.LabelsMute,
		Loop: [2]int{first, first}, Muted: p.Voices(), New: passage.Diff(passage.Passage{}, p),
	}
}

// Every stroke of the shown bars is drawn exactly once, in its own row, and
// x follows the clock.
func TestEveryStrokeOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passages(t)
		s := sheetOf(t, p)
		l := s.Layout()
		drawn := map[string]int{}
		parse(t, s.SVG()).find(func(row element) {
			if row.attr("class") != "sm-row" {
				return
			}
			v := row.attr("data-voice")
			for _, g := range row.Inside {
				if g.attr("class") == "sm-s" {
					drawn[v+" "+g.attr("data-at")]++
					checkInside(t, l, v, g)
				}
			}
		})
		for _, line := range p.Lines {
			for _, stroke := range line.Strokes {
				key := fmt.Sprint(line.Voice, " ", stroke.At)
				want := 0
				if !stroke.At.Less(l.From) && stroke.At.Less(l.To) {
					want = 1
				}
				if drawn[key] != want {
					t.Fatalf("%s is drawn %d times, want %d", key, drawn[key], want)
				}
			}
		}
		checkScale(t, p, l)
	})
}

// checkInside reports shapes of a stroke that leave its row or the strip.
func checkInside(t *rapid.T, l strip.Layout, voice string, g element) {
	var row strip.Row
	for _, r := range l.Rows {
		if r.Voice.String() == voice {
			row = r
		}
	}
	g.find(func(e element) {
		for _, name := range []string{"cy", "y"} {
			if y, err := strconv.ParseFloat(e.attr(name), 64); err == nil && math.Abs(y-row.Y) > l.RowHeight/2 {
				t.Fatalf("%s of a stroke of %s at %v, its row is at %v", name, voice, y, row.Y)
			}
		}
		for _, name := range []string{"cx", "x"} {
			if x, err := strconv.ParseFloat(e.attr(name), 64); err == nil && (x < l.LabelWidth-20 || x > l.Width) {
				t.Fatalf("%s of a stroke of %s at %v, outside the strip", name, voice, x)
			}
		}
	})
}

// checkScale compares distances on the page with the exact tempo map.
func checkScale(t *rapid.T, p passage.Passage, l strip.Layout) {
	tempo, err := p.TempoMap()
	if err != nil {
		t.Fatal(err)
	}
	from, to := tempo.Seconds(l.From), tempo.Seconds(l.To)
	left, right := l.X(l.From.Float()), l.X(l.To.Float())
	for _, b := range p.Beats() {
		want := left + (tempo.Seconds(b.At)-from)/(to-from)*(right-left)
		if x := l.X(b.At.Float()); math.Abs(x-want) > 1e-6*(1+math.Abs(want)) {
			t.Fatalf("beat at %v stands at %v, by the tempo map at %v", b.At, x, want)
		}
	}
}

// Whatever comes in, the picture is well-formed and nothing panics.
func TestAnythingIsDrawn(t *testing.T) {
	odd := []float64{0, -1, 1e300, math.Inf(1), math.Inf(-1), math.NaN(), 12.5}
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string) float64 { return rapid.SampledFrom(odd).Draw(t, name) }
		p := passages(t)
		if rapid.Bool().Draw(t, "broken") {
			p.Bars = p.Bars[:rapid.IntRange(0, len(p.Bars)).Draw(t, "left")]
			p.Lines = append(p.Lines, passage.Line{Strokes: []passage.Stroke{{At: meter.Invalid, Length: meter.Invalid, Kind: passage.Hit}}})
		}
		s := sheetOf(t, passages(t))
		s.Passage, s.ID = p, rapid.String().Draw(t, "id")
		s.First, s.Last = rapid.IntRange(-3, 70).Draw(t, "a"), rapid.IntRange(-3, 70).Draw(t, "b")
		s.Loop = [2]int{rapid.IntRange(-3, 70).Draw(t, "c"), rapid.IntRange(-3, 70).Draw(t, "d")}
		s.Width, s.Row, s.HeadAt, s.Playhead = number("w"), number("r"), number("h"), true
		s.Message, s.Lane = rapid.String().Draw(t, "message"), true
		s.Hits = []hit{{At: meter.Int(1), Errors: []float64{number("e"), number("f")}, Missed: 2}, {At: meter.Invalid}}
		s.Extras = []strip.Extra{{At: number("x")}}
		svg := s.SVG()
		parse(t, svg)
		for _, bad := range []string{"NaN", "Inf"} {
			if strings.Contains(strings.ReplaceAll(svg, s.Message, ""), `="`+bad) {
				t.Fatalf("%s in\n%s", bad, svg)
			}
		}
		parse(t, strip.Overview(p, s.First, s.Width))
	})
}

func TestTextIsEscaped(t *testing.T) {
	s := sheets(t)["ready"]
	s.Message = `</text><script>alert("&'")</script>` + "\x00\xff"
	found := ""
	parse(t, s.SVG()).find(func(e element) {
		if e.XMLName.Local == "script" {
			t.Error("a script came through")
		}
		if e.attr("class") == "sm-message" {
			found = e.Text
		}
	})
	if want := `</text><script>alert("&'")</script>` + "\uFFFD\uFFFD"; found != want {
		t.Errorf("message %q, want %q", found, want)
	}
}

// The word of a stroke that was missed now and then stands where the mark of
// its other passes is not.
func TestAMissedStrokeHasItsWord(t *testing.T) {
	sheet := sheets(t)["phone"]
	for _, ms := range []float64{-22, 0, 22} {
		sheet.Hits = []strip.Hit{{Voice: passage.Kick, At: meter.Int(13), Errors: []float64{ms, ms, ms}, Missed: 1}}
		if !strings.Contains(sheet.SVG(), ">missed 1 of 4<") && !strings.Contains(sheet.SVG(), ">missed<") {
			t.Errorf("missed, else %v ms: no word", ms)
		}
	}
}

// Numbers at the marks can be read: none stands on another, and the worst of a
// crowd is told.
func TestNumbersKeepApart(t *testing.T) {
	s := sheets(t)["phone"]
	line := strings.Repeat("xxxxxxxx ", 4)
	s.Passage = written(t, "4/4", "160", "kick | "+line+"|")
	s.First, s.Last, s.New = 1, 1, nil
	s.Hits = hits(s.Passage, meter.Int(0), 12, 14, 13, 39, 15, 11, 12, 16, 12, 22, 11, 13, 60, 12, 13, 11)
	type span struct{ left, right, y float64 }
	var told []span
	words := map[string]bool{}
	parse(t, s.SVG()).find(func(e element) {
		if !strings.HasPrefix(e.attr("class"), "sm-ms") {
			return
		}
		x, _ := strconv.ParseFloat(e.attr("x"), 64)
		y, _ := strconv.ParseFloat(e.attr("y"), 64)
		for _, o := range told {
			if x < o.right && o.left < x+14 && math.Abs(y-o.y) < 10 {
				t.Errorf("%s at %v stands on another number", e.Text, x)
			}
		}
		told = append(told, span{x, x + 14, y})
		words[e.Text] = true
	})
	if !words["39"] || !words["60"] || len(told) < 3 {
		t.Errorf("told %v, want the worst, 39 and 60, among them", words)
	}
}

func ExampleSheet_Describe() {
	p := passage.Passage{
		Bars: []passage.Bar{{Metre: meter.CommonTime, Tempo: meter.Tempo{BPM: meter.Int(120)}}},
		Lines: []passage.Line{{Voice: passage.Kick, Strokes: []passage.Stroke{
			{At: meter.Int(0), Length: meter.R(1, 2), Kind: passage.Hit},
			{At: meter.R(3, 2), Length: meter.R(1, 2), Kind: passage.Accent},
		}}},
	}
	fmt.Println(strip.Sheet{Passage: p, Lane: true, Part: []passage.Voice{passage.Kick}, Hits: []strip.Hit{
		{Voice: passage.Kick, At: meter.Int(0), Errors: []float64{-14, -11}},
		{Voice: passage.Kick, At: meter.R(3, 2), Errors: []float64{4}, Missed: 1},
	}}.Describe())
	// Output: Bar 1. Kick: 1, and of 2 accent. Your hits. 1, 1: 13 ms early. 1, and of 2: 4 ms late, tight, missed 1 of 2.
}

// longest is a passage at the limits: as many bars and voices as a text may
// have, sixteenths in every beat.
func longest(t testing.TB, bars int) passage.Passage {
	var lines []string
	for _, v := range passage.Voices() {
		lines = append(lines, v.String()+" | "+strings.Repeat("xxxx xxx xxxx xx.x | ", bars))
	}
	return written(t, "4/4", "120", lines...)
}

// The time of a picture grows with what it shows.
func BenchmarkSVG(b *testing.B) {
	for _, bars := range []int{4, 16, 64} {
		p := longest(b, bars)
		s := strip.Sheet{Passage: p, Width: 976, Counts: true, Labels: strip.LabelsMute, Lane: true, New: passage.Diff(passage.Passage{}, p)}
		line, _ := p.Line(passage.Kick)
		for _, st := range line.Strokes {
			s.Hits = append(s.Hits, hit{Voice: passage.Kick, At: st.At, Errors: []float64{12, -3, 44, 9}})
		}
		b.Run(fmt.Sprintf("bars=%d", bars), func(b *testing.B) {
			for b.Loop() {
				_, _ = io.WriteString(io.Discard, s.SVG())
			}
		})
	}
}

// What is drawn is paid for, not what the passage holds besides.
func BenchmarkTwoBarsOf64(b *testing.B) {
	s := strip.Sheet{Passage: longest(b, 64), First: 33, Last: 34, Width: 976, Counts: true, Lane: true}
	for b.Loop() {
		_, _ = io.WriteString(io.Discard, s.SVG())
	}
}

// The tabs of all bars of a long passage.
func BenchmarkOverviewsOf64(b *testing.B) {
	p := longest(b, 64)
	for b.Loop() {
		for bar := range 64 {
			_, _ = io.WriteString(io.Discard, strip.Overview(p, bar+1, 60))
		}
	}
}
