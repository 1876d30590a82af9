package main

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/passage"
	"stampmill/synth"
	"stampmill/synth/wav"
)

// The table has a row for each stroke of a voice that makes a sound of its own,
// in the order of the strokes, with the note it sounds at.
func TestSoundsTable(t *testing.T) {
	out, stderr, code := call(t, "", "sounds", "--voices", "hat,bass,sub,click", "--tuning", "E2")
	if code != exitDone || stderr != "" {
		t.Fatalf("exit %d, %q", code, stderr)
	}
	var want [][]string
	for _, v := range []passage.Voice{passage.Hat, passage.Bass, passage.Sub, passage.Click} {
		for _, k := range v.Kinds() {
			note := map[passage.Voice]string{passage.Bass: "E1", passage.Sub: "E2"}[v]
			switch {
			case k == passage.Choke:
				continue
			case k == passage.Harmonic: // two octaves above the open string
				note = "E3"
			case k == passage.Bend:
				want = append(want, []string{v.String(), k.String(), "b(+1)", note})
			}
			want = append(want, []string{v.String(), k.String(), string(k.Letter()), note})
		}
	}
	lines := strings.Split(out, "\n")
	for i, w := range want {
		line := strings.Fields(lines[i+1])
		begins := strings.Fields(strings.Join(w, " "))
		if diff := cmp.Diff(begins, line[:min(len(line), len(begins))]); diff != "" || len(line) != len(begins)+17 {
			t.Errorf("line %d has %d columns after %v (-want +got):\n%s", i+1, len(line)-len(begins), w, diff)
		}
	}
	if lines[len(want)+1] != "" {
		t.Errorf("one row more: %s", lines[len(want)+1])
	}
	if last := "Lowest string E2; --tuning takes F1 F#1"; !strings.Contains(out, last) {
		t.Errorf("%q is not told:\n%s", last, out)
	}
}

// Each file is the sound of the bank, to half a step of 24 bits.
func TestSoundsAreWritten(t *testing.T) {
	t.Chdir(t.TempDir())
	out, stderr, code := call(t, "", "sounds", "--voices", "guitar,click", "--tuning", "F#1", "--rate", "44100", "--wav", "made/here")
	if code != exitDone || stderr != "" {
		t.Fatalf("exit %d, %q", code, stderr)
	}
	files, _ := filepath.Glob("made/here/*.wav")
	keys := 0
	for _, k := range synth.Repertoire(30) { // F#1
		if k.Voice == passage.Guitar || k.Voice == passage.Click {
			keys++
		}
	}
	if len(files) != keys || !strings.Contains(out, "files are in made/here.") {
		t.Errorf("%d files of %d sounds; %q", len(files), keys, out[max(0, len(out)-60):])
	}
	data, err := os.ReadFile("made/here/guitar-open-Fsharp1-right-take2.wav")
	if err != nil {
		t.Fatal(err)
	}
	format, got, err := wav.Decode(data)
	if err != nil || format.Rate != 44100 || format.Channels != 1 {
		t.Fatalf("%+v, %v", format, err)
	}
	bank, err := synth.NewBank(44100, renderSeed)
	if err != nil {
		t.Fatal(err)
	}
	key := synth.Key{Voice: passage.Guitar, Kind: passage.Open, Pitch: 30, Side: 1, Take: 1, Millis: 2000}
	bank.Make(key)
	want := bank.Sound(key).PCM
	if len(got) != len(want) {
		t.Fatalf("%d samples, want %d", len(got), len(want))
	}
	for i := range want {
		if off := math.Abs(float64(got[i] - want[i])); off > 1.0/(1<<23) {
			t.Fatalf("sample %d is %g, want %g", i, got[i], want[i])
		}
	}
}

// What cannot be made or written is refused in words, before anything is made.
func TestSoundsRefuses(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("taken", nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll("full/snare-hit-take1.wav", 0o700); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		exit int
		says string
	}{
		{[]string{"--wav", "taken"}, exitFailed, "taken: it is not a folder; name a folder"},
		{[]string{"--wav", "taken/below"}, exitFailed, "taken/below"},
		{[]string{"--wav", "full", "--voices", "snare"}, exitFailed, "snare-hit-take1.wav: it is a folder; name a file"},
		{[]string{"--rate", "8000"}, exitMisuse, "use 44100, 48000 or 96000"},
		{[]string{"--tuning", "H1"}, exitMisuse, "write the lowest string as a note from F1 to E2"},
		{[]string{"--voices", "harp"}, exitMisuse, "there is no voice"},
		{[]string{"kick"}, exitMisuse, `"kick" is one too many`},
	} {
		out, stderr, code := call(t, "", append([]string{"sounds"}, c.args...)...)
		if code != c.exit || !strings.Contains(stderr, c.says) || out != "" {
			t.Errorf("%v: exit %d, %q; want exit %d, %q", c.args, code, stderr, c.exit, c.says)
		}
	}
}
