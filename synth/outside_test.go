//go:build unix

package synth

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"syscall"
	"testing"
	"time"

	"stampmill/exercises"
	"stampmill/exercises/passage"
	"stampmill/synth/loudness"
)

// Other programs' judgement of what is rendered. They are used where they are
// installed (Debian: ffmpeg, fluidsynth, fluid-soundfont-gm).

// tool returns the path of a program, or skips what needs it.
func tool(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("%s is not installed", name)
	}
	return path
}

// Loudness and true peak are what ffmpeg's filter ebur128 measures of the same
// samples, to its last digit of .1; the true peak within .2 dB, as both look
// between samples in their own ways.
func TestMetersAgreeWithFFmpeg(t *testing.T) {
	ffmpeg := tool(t, "ffmpeg")
	bank := probeBank(t, 48000, nil)
	for _, e := range exercises.Library()[:4] {
		s := e.Climb.Steps[len(e.Climb.Steps)-1]
		plan := Plan{Passage: s.Passage, Rate: 48000, Passes: 1, Click: ClickNone}
		for _, master := range []float32{1, 4} {
			pcm := rendered(t, plan, bank, Mix{Master: master})
			m, p := loudness.NewMeter(48000, 2), loudness.NewPeakMeter(2)
			m.Add(pcm)
			p.Add(pcm)
			lufs, peak := ebur128(t, ffmpeg, pcm)
			if math.Abs(m.Integrated()-lufs) > .11 {
				t.Errorf("%s at %g: %.2f LUFS, ffmpeg says %.1f", e.Name, master, m.Integrated(), lufs)
			}
			if math.Abs(p.Peak()-peak) > .2 {
				t.Errorf("%s at %g: %.2f dBTP, ffmpeg says %.1f", e.Name, master, p.Peak(), peak)
			}
			if peak > -1 {
				t.Errorf("%s at %g: ffmpeg finds a true peak of %.1f dB, want at most -1", e.Name, master, peak)
			}
		}
	}
}

var summary = regexp.MustCompile(`(?s)Summary:.*I:\s+(\S+) LUFS.*Peak:\s+(\S+) dBFS`)

// ebur128 lets ffmpeg measure interleaved stereo at 48 kHz.
func ebur128(t *testing.T, ffmpeg string, pcm []float32) (lufs, peak float64) {
	t.Helper()
	var in bytes.Buffer
	_ = binary.Write(&in, binary.LittleEndian, pcm) // to memory: cannot fail
	cmd := exec.Command(ffmpeg, "-hide_banner", "-nostats", "-f", "f32le", "-ar", "48000", "-ac", "2", "-i", "-",
		"-af", "ebur128=peak=true:framelog=verbose", "-f", "null", "-")
	cmd.Stdin = &in
	out, err := cmd.CombinedOutput()
	found := summary.FindSubmatch(out)
	if err != nil || found == nil {
		t.Fatalf("%v: %s", err, out)
	}
	lufs, _ = strconv.ParseFloat(string(found[1]), 64)
	peak, _ = strconv.ParseFloat(string(found[2]), 64)
	return lufs, peak
}

// BenchmarkAgainstFluidsynth renders a minute of eight voices, and lets
// fluidsynth render the same notes, dry, from sampled sounds, in the same run.
// Both are told in seconds of processor time: ours with the bank being made
// and from a finished bank.
func BenchmarkAgainstFluidsynth(b *testing.B) {
	fluidsynth := tool(b, "fluidsynth")
	const font = "/usr/share/sounds/sf2/FluidR3_GM.sf2"
	if _, err := os.Stat(font); err != nil {
		b.Skip("the sounds of fluid-soundfont-gm are not installed")
	}
	plan := bandStand(b)
	dir := b.TempDir()
	song := filepath.Join(dir, "song.mid")
	if err := os.WriteFile(song, midi(b, plan), 0o666); err != nil {
		b.Fatal(err)
	}
	var ours, made, theirs time.Duration
	part := make([]float32, 1<<16)
	for b.Loop() {
		start := processor(b)
		bank := probeBank(b, plan.Rate, nil)
		bank.Make(sequence(b, plan).Keys()...)
		begun := processor(b)
		r, err := NewRenderer(sequence(b, plan), bank, AsMixed)
		if err != nil {
			b.Fatal(err)
		}
		for 2*r.Read(part) == len(part) {
		}
		end := processor(b)
		ours, made = ours+end-begun, made+begun-start

		cmd := exec.Command(fluidsynth, "-q", "-n", "-i", "-R", "0", "-C", "0", "-r", strconv.Itoa(plan.Rate), "-F", filepath.Join(dir, "song.wav"), font, song)
		if out, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("%v: %s", err, out)
		}
		theirs += cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	}
	if info, err := os.Stat(filepath.Join(dir, "song.wav")); err != nil || info.Size() < 55*4*int64(plan.Rate) {
		b.Fatalf("fluidsynth wrote no minute: %v, %v", info, err)
	}
	n := float64(b.N)
	b.ReportMetric(ours.Seconds()/n, "s-ours")
	b.ReportMetric((ours+made).Seconds()/n, "s-ours-with-bank")
	b.ReportMetric(theirs.Seconds()/n, "s-fluidsynth")
	b.ReportMetric(theirs.Seconds()/ours.Seconds(), "x-as-fast")
}

// processor returns the processor time that this program has taken.
func processor(t testing.TB) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// keysOf are the keys of General MIDI for drums and cymbals (MIDI 1.0, General
// MIDI System Level 1, percussion key map).
var keysOf = map[passage.Voice]byte{passage.China: 52, passage.CrashLeft: 49, passage.Hat: 42, passage.Snare: 38, passage.Kick: 36}

// programs are the channels and programs of General MIDI for strings.
var programs = map[passage.Voice][2]byte{passage.Guitar: {0, 30}, passage.Bass: {1, 34}, passage.Lead: {2, 29}}

// midi writes the strokes of a plan, dry, as a standard MIDI file of format 0:
// 1000 ticks a second.
func midi(t testing.TB, plan Plan) []byte {
	type event struct {
		tick int64
		data []byte
	}
	plan.Dry = true
	var all []event
	at := func(frame int64) int64 { return frame * 1000 / int64(plan.Rate) }
	for _, p := range programs {
		all = append(all, event{0, []byte{0xC0 | p[0], p[1]}})
	}
	sounding := map[passage.Voice]byte{}
	for _, c := range sequence(t, plan).Next(nil, math.MaxInt64/2) {
		p, pitched := programs[c.Voice]
		switch key := sounding[c.Voice]; {
		case c.Stop && pitched && key != 0:
			all = append(all, event{at(c.Frame), []byte{0x80 | p[0], key, 0}})
		case c.Stop || c.Key.Side > 0:
		case pitched:
			sounding[c.Voice] = byte(c.Key.Pitch)
			all = append(all, event{at(c.Frame), []byte{0x90 | p[0], byte(c.Key.Pitch), 100}})
		default:
			all = append(all, event{at(c.Frame), []byte{0x99, keysOf[c.Voice], 100}})
		}
	}
	slices.SortStableFunc(all, func(a, b event) int { return int(a.tick - b.tick) })
	var track bytes.Buffer
	last := int64(0)
	for _, e := range append(all, event{all[len(all)-1].tick, []byte{0xFF, 0x2F, 0}}) {
		track.Write(variable(e.tick - last))
		track.Write(e.data)
		last = e.tick
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, "MThd\x00\x00\x00\x06\x00\x00\x00\x01%sMTrk", "\x01\xF4") // 500 ticks a quarter note, 120 of which are a minute
	_ = binary.Write(&out, binary.BigEndian, uint32(track.Len()))
	out.Write(track.Bytes())
	return out.Bytes()
}

// variable writes a number as MIDI files do, seven bits a byte.
func variable(n int64) []byte {
	out := []byte{byte(n & 0x7F)}
	for n >>= 7; n > 0; n >>= 7 {
		out = append([]byte{byte(n&0x7F) | 0x80}, out...)
	}
	return out
}
