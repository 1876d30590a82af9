package meter

import (
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func constant(t *testing.T, quarters Rat) TempoMap {
	t.Helper()
	m, err := NewTempoMap([]Segment{{Quarters: quarters}})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Milliseconds of note values by 60000/BPM (arithmetic; common practice tables
// of note lengths): at 120 a quarter note lasts 500 ms.
func TestNoteLengthsInMilliseconds(t *testing.T) {
	at120 := constant(t, Int(120))
	for _, c := range []struct {
		name  string
		value Rat
		ms    float64
	}{
		{"quarter", Int(1), 500}, {"eighth", R(1, 2), 250}, {"sixteenth", R(1, 4), 125},
		{"dotted eighth", R(3, 4), 375}, {"triplet eighth", R(1, 3), 500.0 / 3},
		{"sixteenth triplet", R(1, 6), 83.333}, {"quintuplet sixteenth", R(1, 5), 100},
		{"septuplet sixteenth", R(1, 7), 71.429}, {"thirty-second", R(1, 8), 62.5},
	} {
		if got := at120.Seconds(c.value) * 1000; math.Abs(got-c.ms) > 0.0005 {
			t.Errorf("%s at 120 lasts %g ms, want %g", c.name, got, c.ms)
		}
	}
	for bpm, seconds := range map[int64]string{20: "3", 60: "1", 80: "3/4", 90: "2/3", 100: "3/5", 104: "15/26", 180: "1/3", 240: "1/4", 400: "3/20"} {
		if got := constant(t, Int(bpm)).Exact(Int(1)).RatString(); got != seconds {
			t.Errorf("a beat at %d lasts %s s, want %s", bpm, got, seconds)
		}
	}
}

// Metric modulations: BPM x (pivot in new beats)/(pivot in old beats)
// (arithmetic; the definition is common practice).
func TestMetricModulations(t *testing.T) {
	for _, c := range []struct {
		name               string
		bpm, old, new, got int64
		oldOver, newOver   int64
	}{
		{"triplet eighth becomes eighth", 120, 1, 1, 180, 3, 2},
		{"dotted eighth becomes quarter", 120, 3, 1, 160, 4, 1},
		{"quintuplet sixteenth becomes sixteenth", 100, 1, 1, 125, 5, 4},
		{"eighth becomes quarter: double time", 90, 1, 1, 180, 2, 1},
	} {
		if got := Modulate(Int(c.bpm), R(c.old, c.oldOver), R(c.new, c.newOver)); got != Int(c.got) {
			t.Errorf("%s: %d becomes %s, want %d", c.name, c.bpm, got, c.got)
		}
	}
}

// A tempo without a note value counts the shortest beat of the metre.
func TestTempoCountsBeats(t *testing.T) {
	for _, c := range []struct{ tempo, metre, quarters string }{
		{"120", "4/4", "120"}, {"80", "6/8", "120"}, {"3/8=80", "4/4", "120"},
		{"60", "2/2", "120"}, {"140", "7/8 (2+2+3)", "140"}, {"1/8=240", "7/8 (2+2+3)", "120"},
		{"104.5", "4/4", "209/2"}, {"400/3", "6/8", "200"}, {"1/4.=80", "4/4", "120"},
	} {
		tempo, err1 := ParseTempo(c.tempo)
		metre, err2 := ParseMetre(c.metre)
		if err1 != nil || err2 != nil {
			t.Error(err1, err2)
			continue
		}
		if got := tempo.Quarters(metre).String(); got != c.quarters {
			t.Errorf("%s in %s: %s quarter notes a minute, want %s", c.tempo, c.metre, got, c.quarters)
		}
	}
}

func TestTempoText(t *testing.T) {
	for text, want := range map[string]string{
		"120": "120", " 120 ": "120", "104.50": "104.5", "3/8 = 80": "3/8=80", "1/4.=80": "3/8=80", "400/3": "400/3", "240/2": "120",
	} {
		if got, err := ParseTempo(text); err != nil || got.String() != want {
			t.Errorf("%q is %s (%v), want %s", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"":        `"" is not a tempo; write beats a minute like 120 or 3/8=80`,
		"fast":    `"fast" is not a tempo; write beats a minute like 120 or 3/8=80`,
		"1e2":     `"1e2" is not a tempo; write beats a minute like 120 or 3/8=80`,
		"19.9":    "a tempo of 19.9 is outside 20 to 400 beats a minute; choose one inside",
		"401":     "a tempo of 401 is outside 20 to 400 beats a minute; choose one inside",
		"-120":    "a tempo of -120 is outside 20 to 400 beats a minute; choose one inside",
		"4=120":   `"4" before the = is not a note value; write it like 3/8=80`,
		"=120":    `"" before the = is not a note value; write it like 3/8=80`,
		"1/4=1=2": `"1=2" is not a tempo; write beats a minute like 120 or 3/8=80`,
	} {
		_, err := ParseTempo(text)
		if err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

func TestTempoCheckInvalid(t *testing.T) {
	err := Tempo{BPM: Int(120)}.By(R(1_000_000, 999_983)).By(R(1, 7)).Check() // 999983 is prime: the product is above MaxDen
	if want := "the tempo leaves the range of exact numbers; use a simpler number"; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

// segments draws a tempo map.
func segments() *rapid.Generator[[]Segment] {
	return rapid.Custom(func(t *rapid.T) []Segment {
		var segs []Segment
		var at Rat
		for range rapid.IntRange(1, 5).Draw(t, "segments") {
			bpm := R(rapid.Int64Range(20*30, 400*30).Draw(t, "bpm"), 30)
			segs = append(segs, Segment{at, bpm})
			at = at.Add(R(rapid.Int64Range(1, 200).Draw(t, "length"), rapid.Int64Range(1, 16).Draw(t, "over")))
		}
		return segs
	})
}

// naive sums the seconds of every segment from the first downbeat to a place.
func naive(segs []Segment, at Rat) *big.Rat {
	sum := new(big.Rat)
	for i, s := range segs {
		end := at
		if i+1 < len(segs) && segs[i+1].At.Less(at) {
			end = segs[i+1].At
		}
		if s.At.Less(end) || i == 0 {
			quarters := new(big.Rat).Sub(end.Big(), s.At.Big())
			sum.Add(sum, quarters.Mul(quarters, new(big.Rat).Quo(big.NewRat(60, 1), s.Quarters.Big())))
		}
	}
	return sum
}

func TestTempoMapProperties(t *testing.T) {
	place := rapid.Custom(func(t *rapid.T) Rat {
		return R(rapid.Int64Range(-4000, 40000).Draw(t, "n"), rapid.Int64Range(1, 63).Draw(t, "d"))
	})
	rapid.Check(t, func(t *rapid.T) {
		segs := segments().Draw(t, "segments")
		m, err := NewTempoMap(segs)
		if err != nil {
			t.Fatal(err)
		}
		a, b := place.Draw(t, "a"), place.Draw(t, "b")
		if got, want := m.Exact(a), naive(segs, a); got.Cmp(want) != 0 {
			t.Fatalf("%s is at %s s, want %s", a, got, want)
		}
		if a.Cmp(b) != m.Exact(a).Cmp(m.Exact(b)) {
			t.Fatalf("%s and %s are at %s and %s s", a, b, m.Exact(a), m.Exact(b))
		}
		if got := m.At(m.Seconds(a)); math.Abs(got-a.Float()) > 1e-9*(1+math.Abs(a.Float())) {
			t.Fatalf("%s is drawn at %g", a, got)
		}
		exact := new(big.Rat).Mul(m.Exact(a), big.NewRat(48000, 1))
		off := new(big.Rat).Sub(exact, new(big.Rat).SetInt64(m.Sample(a, 48000)))
		if off.Abs(off).Cmp(big.NewRat(1, 2)) > 0 {
			t.Fatalf("%s is on sample %d, exactly %s", a, m.Sample(a, 48000), exact.FloatString(3))
		}
		half, err := m.By(R(1, 2))
		if err != nil || half.Exact(a).Cmp(new(big.Rat).Mul(m.Exact(a), big.NewRat(2, 1))) != 0 {
			t.Fatalf("at half the tempo %s is at %s s, want twice %s (%v)", a, half.Exact(a), m.Exact(a), err)
		}
	})
}

func TestSamplesRoundHalfAwayFromZero(t *testing.T) {
	for _, c := range []struct {
		num, den int64 // seconds
		rate     int
		want     int64
	}{
		{1, 2, 1, 1}, {-1, 2, 1, -1}, {3, 2, 1, 2}, {-3, 2, 1, -2}, {1, 3, 1, 0}, {-1, 3, 1, 0}, {2, 3, 1, 1}, {-2, 3, 1, -1},
		{0, 1, 48000, 0}, {1, 96000, 48000, 1}, {-1, 96000, 48000, -1}, {1, 96001, 48000, 0},
		{1, 3, 44100, 14700}, {1, 7, 48000, 6857}, {1, 7, 44100, 6300},
	} {
		if got := RoundSample(big.NewRat(c.num, c.den), c.rate); got != c.want {
			t.Errorf("%d/%d s at %d is sample %d, want %d", c.num, c.den, c.rate, got, c.want)
		}
	}
}

func TestTempoMapsRefused(t *testing.T) {
	for name, segs := range map[string][]Segment{
		"no segment":      nil,
		"late first":      {{At: Int(1), Quarters: Int(120)}},
		"no speed":        {{}},
		"negative speed":  {{Quarters: Int(-1)}},
		"invalid speed":   {{Quarters: Invalid}},
		"invalid place":   {{Quarters: Int(120)}, {Invalid, Int(120)}},
		"same place":      {{Quarters: Int(120)}, {Int(0), Int(60)}},
		"places unsorted": {{Quarters: Int(120)}, {Int(2), Int(60)}, {Int(1), Int(60)}},
	} {
		if _, err := NewTempoMap(segs); err == nil || !strings.Contains(err.Error(), "; ") {
			t.Errorf("%s: %v", name, err)
		}
	}
	var none TempoMap
	if none.Exact(Int(1)).Sign() != 0 || none.At(1) != 0 || none.Sample(Invalid, 48000) != 0 {
		t.Error("the zero TempoMap is not still")
	}
}

func FuzzParseTempo(f *testing.F) {
	for _, s := range []string{"120", "104.5", "400/3", "3/8=80", "1/1000000.=20", "1000000/4000000=400", "=", "1/4==120", "0x78", "120.0000001", "399.999999"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		tempo, err := ParseTempo(s)
		if err != nil {
			if !strings.Contains(err.Error(), "; ") {
				t.Fatalf("%q: %v does not say what to do", s, err)
			}
			return
		}
		if again, err := ParseTempo(tempo.String()); err != nil || again != tempo {
			t.Fatalf("%q is %s, read again %s (%v)", s, tempo, again, err)
		}
	})
}
