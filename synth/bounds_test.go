package synth

import (
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth/loudness"
)

// Ten minutes take no more memory than one: what is held after the first minute
// and at the end, the bank left out, differs by the account of the passes, less
// than 256 KiB, where ten minutes of sound would be 230 MB.
func TestMemoryIsConstant(t *testing.T) {
	plan := bandStand(t)
	plan.Passes *= 10
	bank := probeBank(t, plan.Rate, nil)
	bank.Make(sequence(t, plan).Keys()...)
	r, err := NewRenderer(sequence(t, plan), bank, AsMixed)
	if err != nil {
		t.Fatal(err)
	}
	part := make([]float32, 2*plan.Rate)
	minutes := func(n int) uint64 {
		for range 60 * n {
			r.Read(part)
		}
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	one := minutes(1)
	if ten := minutes(9); ten > one+256<<10 {
		t.Errorf("%d KiB more after ten minutes than after one", (ten-one)>>10)
	}
	if n := r.Read(part); n == 0 {
		t.Error("the sound ended before ten minutes")
	}
	runtime.KeepAlive(bank)
}

// What comes out is finite and holds its peaks, whatever is asked for within
// the limits; what is outside is refused.
func FuzzRender(f *testing.F) {
	all := []byte("\x06\x01\x00\x05\x02\x04\x0b\x01\x00\x0b\x06\x04\x0c\x0a\x08\x0d\x0b\x0c\x01\x02\x00\x0e\x01\x00")
	f.Add(all, 120.0, uint8(33), uint8(1), uint8(0), float32(1), float32(1), uint64(1))
	f.Add(all, 400.0, uint8(29), uint8(2), uint8(1), float32(1000), float32(1000), uint64(2))
	f.Add(all, 20.0, uint8(40), uint8(0), uint8(1), float32(0), float32(.001), uint64(3))
	f.Add([]byte{}, 97.3, uint8(0), uint8(1), uint8(0), float32(math.Inf(1)), float32(math.NaN()), uint64(0))
	f.Add([]byte("\x0b\x0a\x00\x0b\x10\x03\x0d\x09\x06"), 180.0, uint8(12), uint8(1), uint8(5), float32(-1), float32(4), uint64(9))
	banks := map[int]*Bank{} // sounds are made once; FuzzBegin makes all kinds of them
	for _, rate := range Rates() {
		banks[rate] = probeBank(f, rate, nil)
	}
	f.Fuzz(func(t *testing.T, strokes []byte, bpm float64, tuning, rate, view uint8, master, level float32, seed uint64) {
		p := loose(strokes, bpm, passage.Pitch(tuning))
		plan := Plan{Passage: p, Rate: append(Rates(), 8000)[rate%4], Passes: 1, Click: ClickBeats, View: View(view % 4), Seed: seed}
		seq, err := NewSequence(plan)
		if err != nil {
			return
		}
		r, err := NewRenderer(seq, banks[plan.Rate], Mix{Master: master, Levels: map[passage.Voice]float32{passage.Guitar: level}})
		if err != nil {
			return
		}
		peak := loudness.NewPeakMeter(2)
		part := make([]float32, plan.Rate) // half a second at a time
		for n, halves := len(part)/2, 0; 2*n == len(part) && halves < 3; halves++ {
			n = r.Read(part)
			for i, x := range part[:2*n] {
				if !(x >= -1 && x <= 1) {
					t.Fatalf("sample %d of half-second %d is %g", i, halves, x)
				}
			}
			peak.Add(part[:2*n])
		}
		if peak.Peak() > -1 {
			t.Fatalf("a true peak of %.2f dB", peak.Peak())
		}
	})
}

// loose makes a bar of strokes of bytes: voice, kind and sixteenth, in threes.
func loose(bytes []byte, bpm float64, tuning passage.Pitch) passage.Passage {
	p := passage.Passage{Tuning: tuning}
	tempo, err := meter.ParseTempo(fmt.Sprintf("%.1f", bpm))
	if err != nil {
		return p
	}
	p.Bars = []passage.Bar{{Metre: meter.CommonTime, Tempo: tempo}}
	lines := map[passage.Voice]int{}
	for ; len(bytes) >= 3; bytes = bytes[3:] {
		v := passage.Voice(bytes[0])
		i, known := lines[v]
		if !known {
			i = len(p.Lines)
			lines[v], p.Lines = i, append(p.Lines, passage.Line{Voice: v})
		}
		s := passage.Stroke{At: meter.R(int64(bytes[2]%16), 4), Length: meter.R(1, 4), Kind: passage.Kind(bytes[1])}
		if s.Kind == passage.Bend {
			s.Bend = passage.DefaultBend
		}
		p.Lines[i].Strokes = append(p.Lines[i].Strokes, s)
	}
	return p
}

func TestGainsOutOfRange(t *testing.T) {
	p := strip(t, "4/4", "120", "kick:x . . .")
	nan := float32(math.NaN())
	for _, m := range []Mix{{Master: nan}, {Master: -1}, {Master: 2 * MaxGain}, {Master: 1, Levels: map[passage.Voice]float32{passage.Kick: nan}}} {
		if _, err := Render(Plan{Passage: p, Rate: 48000, Passes: 1}, probeBank(t, 48000, nil), m); err == nil || !strings.Contains(err.Error(), "use 0 to 1000") {
			t.Errorf("%v: %v", m, err)
		}
	}
}

// BenchmarkStrokes renders passages of one bar up to 64 with every voice on
// every sixteenth: the time a stroke takes does not depend on how many there
// are.
func BenchmarkStrokes(b *testing.B) {
	for _, bars := range []int{1, 4, 16, 64} {
		b.Run(fmt.Sprintf("%d bars", bars), func(b *testing.B) {
			var lines []string
			for _, v := range passage.Voices()[:14] {
				lines = append(lines, v.String()+":"+strings.Repeat("|xxxx xxxx xxxx xxxx", bars)[1:])
			}
			plan := Plan{Passage: strip(b, "4/4", "180", lines...), Rate: 48000, Passes: 1}
			bank := probeBank(b, 48000, nil)
			bank.Make(sequence(b, plan).Keys()...)
			renderAgain(b, plan, bank)
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(14*16*bars), "µs/stroke")
		})
	}
}
