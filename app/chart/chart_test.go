package chart_test

import (
	"encoding/xml"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"stampmill/app/chart"
	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

// now is a Wednesday.
var now = time.Date(2026, time.November, 25, 18, 30, 0, 0, time.UTC)

// ago returns a time some weeks and days before now.
func ago(weeks, days int) time.Time { return now.AddDate(0, 0, -7*weeks-days) }

func span(weeks int) chart.Span { return chart.Span{From: ago(weeks, 0), To: now} }

// climbing is played twice a week, from first to owned, with a rise a week; in
// the weeks left out it is not played.
func climbing(first, rise float64, weeks int, out ...int) []chart.Pace {
	var all []chart.Pace
	owned := 0.0
	for w := weeks; w >= 0; w-- {
		base := first + rise*float64(weeks-w)
		played := true
		for _, o := range out {
			played = played && o != w
		}
		if !played {
			continue
		}
		owned = max(owned, math.Round(base/4)*4)
		all = append(all, chart.Pace{At: ago(w, 2), BPM: base - 12, Owned: owned})
		all = append(all, chart.Pace{At: ago(w, 0), BPM: base + 8, Owned: owned})
	}
	return all
}

func tempi() []chart.Tempo {
	all := []chart.Tempo{
		{Heading: chart.Heading{Title: "Headframe", Note: "step 5 of 8"}, Span: span(12), Goal: 104, Takes: climbing(72, 2.4, 12)},
		{Heading: chart.Heading{Title: "Tailings", Note: "step 7 of 8"}, Span: span(12), Goal: 112, Takes: climbing(80, 2, 12)},
		{Heading: chart.Heading{Title: "Gangue", Note: "step 2 of 6"}, Span: span(12), Goal: 88, Takes: climbing(64, 1.5, 8)},
		{Heading: chart.Heading{Title: "Adit", Note: "step 6 of 6"}, Span: span(12), Goal: 108, Takes: climbing(92, 1.2, 12, 5, 1, 0)},
	}
	scale := chart.TempoScale(all...)
	for i := range all {
		all[i].Scale = scale
	}
	return all
}

// steps reaches four steps in eight weeks, one of them in a day, and owns none
// on the newest.
func steps(newest float64) chart.Tempo {
	c := chart.Tempo{Heading: chart.Heading{Title: "Ore Pass", Note: "step 5 of 9"}, Span: span(8), Goal: 116}
	for _, s := range []struct {
		days, step int
		bpm, owned float64
	}{
		{50, 1, 84, 0}, {49, 1, 84, 84}, {45, 1, 96, 96}, {38, 1, 108, 108}, {36, 2, 80, 0}, {35, 2, 80, 80}, {30, 2, 92, 92}, {22, 2, 104, 104},
		{20, 3, 100, 100}, {19, 4, 76, 0}, {17, 4, 76, 76}, {12, 4, 88, 88}, {6, 4, 96, 96}, {4, 5, 80, 0}, {2, 5, 80, newest}, {0, 1, 112, newest},
	} {
		c.Takes = append(c.Takes, chart.Pace{At: ago(0, s.days), BPM: s.bpm, Owned: s.owned, Step: s.step})
	}
	c.Takes[len(c.Takes)-1].Step = 5 // back on an old step, which changes nothing
	return c
}

func few() chart.Tempo {
	return chart.Tempo{Heading: chart.Heading{Title: "Stope", Note: "step 1 of 8"}, Span: span(12), Goal: 96,
		Takes: []chart.Pace{{At: ago(1, 0), BPM: 72}, {At: ago(0, 1), BPM: 80}}}
}

func leaning() chart.Leaning {
	c := chart.Leaning{Heading: chart.Heading{Title: "Leaning and spread, ms", Note: "all climbs"}, Span: span(12)}
	for w, ms := range []float64{-7, -9, -13, -12, -15, -14, -18, -17, -19, -23, -22, -24} {
		c.Takes = append([]chart.Lean{{At: ago(w, 0), MS: ms, SpreadMS: 9 + float64(w), N: 60}}, c.Takes...)
	}
	return c
}

// wide leans beyond the scale, both ways.
func wide() chart.Leaning {
	return chart.Leaning{Heading: chart.Heading{Title: "Leaning and spread, ms", Note: "Headframe"}, Span: span(4), Takes: []chart.Lean{
		{At: ago(3, 0), MS: -64, SpreadMS: 22, N: 40}, {At: ago(2, 0), MS: 52, SpreadMS: 30, N: 40},
		{At: ago(1, 0), MS: 22, SpreadMS: 25, N: 40}, {At: ago(0, 0), MS: 3, SpreadMS: math.NaN(), N: 3},
	}}
}

func triplets() chart.Split {
	c := chart.Split{Heading: chart.Heading{Title: "Triplet split", Note: "dashed: even"}, Span: span(12), Written: []float64{1, 1, 1}}
	for w := 7; w >= 0; w-- {
		late := 0.007 * float64(w)
		c.Takes = append(c.Takes, chart.Division{At: ago(w, 1), Shares: []float64{1./3 + late, 1./3 + 0.02, 1./3 - 0.02 - late}, N: 24})
	}
	return c
}

func septuplet() chart.Split {
	c := chart.Split{Heading: chart.Heading{Title: "Split of the seven on 2", Note: "Drift, step 4"}, Span: span(12)}
	for _, w := range []int{11, 10, 6, 3, 1} {
		d := 0.02 * float64(w) / 11
		c.Takes = append(c.Takes, chart.Division{At: ago(w, 1), Shares: []float64{1 + d*7, 1, 1, 1 - d*5, 1, 1, 1 - d}, N: 8})
	}
	return c
}

// step reads one line of kicks.
func step(t interface {
	Helper()
	Fatal(...any)
}, metre, tempo, rows string) passage.Passage {
	t.Helper()
	text := "title: Headframe\nmetre: " + metre + "\ntempo: " + tempo + "\n\nstep: One\n" + rows + "\n"
	climb, problems := drill.Parse("headframe.drill", []byte(text), nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return climb.Steps[0].Passage
}

func weak(t testing.TB) chart.Weak {
	spot := func(n, d int64, ms float64, hits, missed int) chart.Spot {
		return chart.Spot{At: meter.R(n, d), MS: ms, Hits: hits, Missed: missed}
	}
	return chart.Weak{Heading: chart.Heading{Title: "Weak places in the bar", Note: "Headframe, 4 weeks, ms"},
		Passage: step(t, "4/4", "96", "kick | x.xx .x.. .x.. xx.. |"),
		Spots: []chart.Spot{spot(0, 1, -2, 24, 0), spot(1, 2, 4, 24, 0), spot(3, 4, -6, 24, 0), spot(5, 4, 3, 23, 1),
			spot(9, 4, -17, 24, 0), spot(3, 1, -3, 24, 0), spot(13, 4, -12, 24, 0)}}
}

// sevenEighths has groups, a triplet, misses, and a mark beyond the scale.
func sevenEighths(t testing.TB) chart.Weak {
	spot := func(n, d int64, ms float64, hits, missed int) chart.Spot {
		return chart.Spot{At: meter.R(n, d), MS: ms, Hits: hits, Missed: missed}
	}
	return chart.Weak{Heading: chart.Heading{Title: "Weak places in the bar", Note: "Adit, 4 weeks, ms"},
		Passage: step(t, "7/8 (2+2+3)", "120", "kick | x.x. xxx x.xx.x |"),
		Spots: []chart.Spot{spot(0, 1, -2, 12, 0), spot(1, 2, 21, 12, 0), spot(1, 1, 0, 12, 0), spot(4, 3, 58, 12, 0), spot(5, 3, math.NaN(), 0, 12),
			spot(2, 1, 1, 12, 0), spot(5, 2, 13, 8, 4), spot(11, 4, 12, 12, 0)}}
}

func minutes() chart.Minutes {
	c := chart.Minutes{Heading: chart.Heading{Title: "Practice, minutes a day", Note: "this week 68 min on three days"}, Span: span(6)}
	c.From = c.From.AddDate(0, 0, 5)
	for i, m := range []float64{14, 38, 14, 14, 38, 44, 18, 12, 38, 14, 9, 44, 12, 0, 14, 22, 12, 0, 38, 9, 0, 44, 31, 14, 9, 44, 9, 12, 44, 0, 38, 0, 0, 0, 18, 26, 18, 24} {
		if m > 0 {
			c.Takes = append(c.Takes, chart.Practice{At: ago(0, 37-i), Minutes: m})
		}
	}
	return c
}

// years are three years and a half of practice.
func years() chart.Minutes {
	c := chart.Minutes{Heading: chart.Heading{Title: "Practice, minutes a month"}, Span: chart.Span{To: now}}
	for d := 1270; d >= 0; d -= 1 + d%3 {
		c.Takes = append(c.Takes, chart.Practice{At: ago(0, d), Minutes: float64(8 + d*7%23)})
	}
	return c
}

// hearing is a staircase about 12 ms.
func hearing() chart.Hearing {
	c := chart.Hearing{Heading: chart.Heading{Title: "Ahead or behind", Note: "24 answers"}, Unit: "ms", Threshold: 12, Low: 9, High: 16.4, Published: []float64{6}}
	for i, ms := range []float64{40, 40, 28, 28, 20, 20, 14, 14, 10, 14, 14, 10, 10, 14, 14, 12, 12, 10, 10, 12, 12, 10, 12, 12} {
		c.Answers = append(c.Answers, chart.Heard{At: ago(0, 24-i), Size: ms, Right: ms > 10})
	}
	return c
}

func hearingFew() chart.Hearing {
	return chart.Hearing{Heading: chart.Heading{Title: "What changed", Note: "2 answers"}, Unit: "strokes", Answers: []chart.Heard{{At: ago(0, 1), Size: 8, Right: true}, {At: now, Size: 6}}}
}

// charts are the pictures that people look at; each has a golden file.
func charts(t testing.TB) map[string]chart.Chart {
	all := map[string]chart.Chart{
		"tempo-few": few(), "tempo-steps": steps(80), "tempo-steps-none": steps(0), "tempo-none": chart.Tempo{Heading: chart.Heading{Title: "Cleat"}, Span: span(4)},
		"leaning": leaning(), "leaning-wide": wide(), "leaning-none": chart.Leaning{Span: span(4)},
		"split": triplets(), "split-seven": septuplet(), "split-none": chart.Split{Span: span(4)},
		"weak": weak(t), "weak-seven-eighths": sevenEighths(t), "weak-none": chart.Weak{},
		"hearing": hearing(), "hearing-few": hearingFew(), "hearing-none": chart.Hearing{Unit: "%"},
		"minutes": minutes(), "minutes-years": years(), "minutes-none": chart.Minutes{Span: span(4)},
	}
	for i, c := range tempi() {
		all["tempo-"+string(rune('1'+i))] = c
	}
	return all
}

// widths are those of the pictures: beside others in a wide window, and alone
// on a phone.
var widths = map[string]float64{"tempo": 204, "hearing": 204, "leaning": 284, "split": 234, "weak": 332, "minutes": 926}

// phone is the room of a chart on a phone 390 wide.
const phone = 334

func widthOf(name string) float64 {
	kind, _, _ := strings.Cut(name, "-")
	return widths[kind]
}

func TestPictures(t *testing.T) {
	for name, c := range charts(t) {
		t.Run(name, func(t *testing.T) {
			golden(t, name+".svg", c.SVG(widthOf(name))+"\n")
			if name == "tempo-1" || widths[name] > 0 {
				golden(t, name+"-phone.svg", c.SVG(phone)+"\n")
				golden(t, name+"-file.svg", c.Standalone(chart.Light))
			}
		})
	}
}

// Words and tables stand in one file, to be read together.
func TestWordsAndRows(t *testing.T) {
	all := charts(t)
	var names []string
	for name := range all {
		names = append(names, name)
	}
	var b strings.Builder
	slices.Sort(names)
	for _, name := range names {
		b.WriteString("# " + name + "\n" + all[name].Words() + "\n" + strings.ReplaceAll(chart.CSV(all[name].Rows()), "\r", "") + "\n")
	}
	golden(t, "words.txt", b.String())
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
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
	if strings.HasSuffix(name, ".svg") {
		wellFormed(t, got)
	}
}

// wellFormed reads a picture as XML.
func wellFormed(t interface{ Errorf(string, ...any) }, picture string) {
	d := xml.NewDecoder(strings.NewReader(picture))
	for {
		switch _, err := d.Token(); err {
		case nil:
		case io.EOF:
			return
		default:
			t.Errorf("not well-formed: %v", err)
			return
		}
	}
}
