package chart_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"stampmill/app/chart"
	"stampmill/app/strip"
	"stampmill/exercises/meter"

	"pgregory.net/rapid"
)

// numbers are what could come in: usual, far out, and none at all.
var numbers = rapid.OneOf(rapid.Float64Range(-100, 400), rapid.Float64(), rapid.Just(math.NaN()), rapid.Just(math.Inf(1)), rapid.Just(math.Inf(-1)))

// times go from long ago to the future, some at the very ends.
var times = rapid.Custom(func(t *rapid.T) time.Time {
	zone := time.FixedZone("", rapid.IntRange(-12, 14).Draw(t, "zone")*60*60)
	return rapid.OneOf(
		rapid.Map(rapid.Int64Range(-800, 30), func(days int64) time.Time { return now.AddDate(0, 0, int(days)) }),
		rapid.Map(rapid.Int64Range(-1e11, 1e11), func(s int64) time.Time { return time.Unix(s, 0) }),
		rapid.Just(time.Time{}),
	).Draw(t, "time").In(zone)
})

// anything draws one chart of each kind from any values.
func anything(t *rapid.T) map[string]chart.Chart {
	h := chart.Heading{Title: rapid.String().Draw(t, "title"), Note: rapid.String().Draw(t, "note")}
	s := chart.Span{From: times.Draw(t, "from"), To: times.Draw(t, "to")}
	tempo := chart.Tempo{Heading: h, Span: s, Goal: numbers.Draw(t, "goal")}
	lean, split, minutes := chart.Leaning{Heading: h, Span: s}, chart.Split{Heading: h, Span: s}, chart.Minutes{Heading: h, Span: s}
	weak := chart.Weak{Heading: h, Passage: step(t, "4/4", "120", "kick | x.x. xxx xxxxx x | xx x x x |"), Bar: rapid.IntRange(-1, 9).Draw(t, "bar")}
	hearing := chart.Hearing{Heading: h, Unit: "ms", Threshold: numbers.Draw(t, "threshold"), Low: numbers.Draw(t, "low"), High: numbers.Draw(t, "high"), Published: rapid.SliceOfN(numbers, 0, 6).Draw(t, "published")}
	split.Written = rapid.SliceOfN(numbers, 0, 8).Draw(t, "written")
	for range rapid.IntRange(0, 20).Draw(t, "takes") {
		at, x, y, n := times.Draw(t, "at"), numbers.Draw(t, "x"), numbers.Draw(t, "y"), rapid.IntRange(-1, 99).Draw(t, "n")
		tempo.Takes = append(tempo.Takes, chart.Pace{At: at, BPM: x, Owned: y})
		lean.Takes = append(lean.Takes, chart.Lean{At: at, MS: x, SpreadMS: y, N: n})
		split.Takes = append(split.Takes, chart.Division{At: at, Shares: rapid.SliceOfN(numbers, 0, 8).Draw(t, "shares"), N: n})
		minutes.Takes = append(minutes.Takes, chart.Practice{At: at, Minutes: x})
		hearing.Answers = append(hearing.Answers, chart.Heard{At: at, Size: x, Right: n > 0})
		place := meter.R(rapid.Int64Range(-3, 99).Draw(t, "place"), rapid.Int64Range(0, 12).Draw(t, "of"))
		weak.Spots = append(weak.Spots, chart.Spot{At: place, MS: x, Hits: n, Missed: rapid.IntRange(-1, 9).Draw(t, "missed")})
	}
	return map[string]chart.Chart{"tempo": tempo, "leaning": lean, "split": split, "weak": weak, "minutes": minutes, "hearing": hearing}
}

var lengths = regexp.MustCompile(` (?:x|y|x1|x2|y1|y2|cx|cy|r|width|height)="([^"%]*)"`)

// Whatever comes in: the picture is XML with real numbers inside its frame, the
// table has as many cells in each row, and all of it comes out the same again.
func TestAnythingIsDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.OneOf(rapid.Float64Range(280, 1200), numbers).Draw(t, "width")
		for kind, c := range anything(t) {
			picture := c.SVG(width)
			wellFormed(t, picture)
			if !testing.Short() {
				wellFormed(t, c.Standalone(chart.Dark))
			}
			if words := c.Words(); picture != c.SVG(width) || words != c.Words() {
				t.Fatalf("%s: drawn twice it differs", kind)
			}
			framed(t, kind, picture)
			rows := c.Rows()
			for _, row := range rows {
				if len(row) != len(rows[0]) {
					t.Fatalf("%s: a row of %d cells under %d names", kind, len(row), len(rows[0]))
				}
			}
			if regexp.MustCompile(`NaN|Inf`).MatchString(c.Words()) {
				t.Fatalf("%s: says %q", kind, c.Words())
			}
		}
	})
}

// framed holds that all lengths are numbers, within a picture's margin of it.
func framed(t *rapid.T, kind, picture string) {
	_, box, _ := strings.Cut(picture, `viewBox="0 0 `)
	box, _, _ = strings.Cut(box, `"`)
	var width, height float64
	if _, err := fmt.Sscan(box, &width, &height); err != nil {
		t.Fatalf("%s: frame %q: %v", kind, box, err)
	}
	for _, m := range lengths.FindAllStringSubmatch(picture, -1) {
		x, err := strconv.ParseFloat(m[1], 64)
		if err != nil || x < -20 || x > max(width, height)+20 {
			t.Fatalf("%s:%s in a picture of %v by %v", kind, m[0], width, height)
		}
	}
}

// Words of the player are words, wherever they stand.
func TestEscapes(t *testing.T) {
	const sly = `<script>"&'</script>`
	for _, c := range []chart.Chart{
		chart.Tempo{Heading: chart.Heading{Title: sly, Note: sly}}, chart.Weak{Heading: chart.Heading{Title: sly, Note: sly}},
	} {
		for _, picture := range []string{c.SVG(300), c.Standalone(chart.Light)} {
			if strings.Contains(picture, "<script") {
				t.Errorf("markup came through:\n%s", picture)
			}
		}
	}
	if got, want := chart.CSV([][]string{{"=1+1", "-3.5", "-x", "a,\"b\""}}), "'=1+1,-3.5,'-x,\"a,\"\"b\"\"\"\r\n"; got != want {
		t.Errorf("the table has %q, want %q", got, want)
	}
}

// Nothing is told by colour alone: each judgement has a shape of its own, and
// the picture has no colour that is not a class.
func TestNoStyleInside(t *testing.T) {
	for name, c := range charts(t) {
		if svg := c.SVG(400); regexp.MustCompile(`style=|fill=|stroke=|#[0-9a-f]{3}`).MatchString(svg) {
			t.Errorf("%s: the picture has a style of its own", name)
		}
	}
	shapes := map[string]string{}
	svg := wide().SVG(400)
	for _, j := range []strip.Judgement{strip.Early, strip.Tight, strip.Late} {
		m := regexp.MustCompile(`<(path|circle) class="ch-` + j.String() + `" (?:d="M[\d. -]+(l-?\d+))?`).FindStringSubmatch(svg)
		if m == nil {
			t.Fatalf("no mark for %s", j)
		}
		if other, ok := shapes[m[1]+m[2]]; ok {
			t.Errorf("%s has the shape of %s", j, other)
		}
		shapes[m[1]+m[2]] = j.String()
	}
}

func page(t *testing.T) string {
	css, err := os.ReadFile("../../web/static/stampmill.css")
	if err != nil {
		t.Fatal(err)
	}
	return string(css)
}

func TestThePageHasTheStyle(t *testing.T) {
	if !strings.Contains(page(t), chart.Style) {
		t.Error("stampmill.css does not hold style.css word for word; copy it into its section of charts")
	}
}

// Every class of the pictures has a look, and no letters are smaller than 11.
func TestEveryClassHasALook(t *testing.T) {
	bare := map[string]bool{"ch-number": true, "ch-count": true} // as every text
	for name, c := range charts(t) {
		for _, m := range regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(c.SVG(400), -1) {
			for _, class := range strings.Fields(m[1]) {
				if !bare[class] && !regexp.MustCompile(`\.`+class+`\b`).MatchString(chart.Style) {
					t.Errorf("%s: class %s has no rule", name, class)
				}
			}
		}
	}
	for _, m := range regexp.MustCompile(`font-size: (\d+)px`).FindAllStringSubmatch(chart.Style, -1) {
		if size, _ := strconv.Atoi(m[1]); size < 11 {
			t.Errorf("letters of %d px", size)
		}
	}
}

// years10 are 10,000 takes in ten years, of every kind.
func years10() []chart.Chart {
	var tempo chart.Tempo
	var lean chart.Leaning
	var split chart.Split
	var minutes chart.Minutes
	for i := range 10_000 {
		at, x := now.Add(-time.Duration(10_000-i)*8*time.Hour), float64(i%37)
		tempo.Takes = append(tempo.Takes, chart.Pace{At: at, BPM: 60 + x, Owned: 60 + float64(i/50)/4})
		lean.Takes = append(lean.Takes, chart.Lean{At: at, MS: x - 20, SpreadMS: x, N: 30})
		split.Takes = append(split.Takes, chart.Division{At: at, Shares: []float64{1 + x/100, 1, 1 - x/100}, N: 8})
		minutes.Takes = append(minutes.Takes, chart.Practice{At: at, Minutes: x / 4})
	}
	tempo.To, lean.To, split.To, minutes.To = now, now, now, now
	return []chart.Chart{tempo, lean, split, minutes}
}

// A picture has as much in it as there is room, however many takes there are.
func TestManyTakesAreThinned(t *testing.T) {
	for _, c := range years10() {
		if n := len(c.SVG(300)); n > 20_000 {
			t.Errorf("%T of 10,000 takes is a picture of %d bytes", c, n)
		}
	}
}

func BenchmarkCharts(b *testing.B) {
	for _, c := range years10() {
		b.Run(strings.TrimPrefix(fmt.Sprintf("%T", c), "chart."), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				c.SVG(300)
			}
		})
	}
}
