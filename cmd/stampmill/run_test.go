package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"stampmill/exercises"
)

// call carries out a command line and returns what it prints.
func call(t *testing.T, stdin string, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, err bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(stdin), &out, &err)
	return out.String(), err.String(), code
}

// TestFields holds the names and the order of the fields of every JSON: other
// programs read them.
func TestFields(t *testing.T) {
	t.Chdir(t.TempDir())
	if _, stderr, code := call(t, "", "simulate", "headframe", "--step", "6", "--part", "kick", "-o", "take.json"); code != exitDone {
		t.Fatal(stderr)
	}
	cases := []struct {
		args  []string
		exit  int
		paths string
	}{
		{[]string{"list"}, exitDone, "name title steps.n steps.title steps.says tempo metre"},
		{[]string{"check", "absent.drill"}, exitFailed, "file line column problem hint"},
		{[]string{"times", "headframe"}, exitDone, "title step tempo seconds strokes.voice strokes.stroke strokes.bar strokes.beat strokes.at strokes.length strokes.seconds strokes.sample48k"},
		{[]string{"rate", "headframe"}, exitDone, "step title syncopation wnbd peak_rate new_strokes playable load bars limbs.limb limbs.wnbd limbs.wnbd_per_note limbs.peak_rate"},
		{[]string{"changes"}, exitDone, "name group form about example sentence"},
		{[]string{"ear"}, exitDone, "name title question about unit means easiest hardest start published.value published.where published.source"},
		{[]string{"ear", "what", "headframe", "--wav", "what.wav"}, exitDone, "task title climb step bars seed difficulty made unit question " +
			"sounds.label sounds.text sounds.seconds.china sounds.seconds.guitar sounds.seconds.kick sounds.count_in sounds.passes sounds.length sounds.click " +
			"asks.kind asks.question asks.choices.words asks.choices.says asks.choices.from asks.choices.to asks.places right.answer right.choice right.place.bar right.place.beat said hint wav.file wav.rate wav.downbeats"},
		{[]string{"sounds", "--voices", "click,hat"}, exitDone, "rate tuning tunings sounds.voice sounds.stroke sounds.letter sounds.note sounds.hertz sounds.features.seconds sounds.features.peak_db sounds.features.att_ms sounds.features.c0_hz sounds.features.c1_hz sounds.features.c2_hz sounds.features.t20_ms ..."},
		{[]string{"grade", "headframe", "take.json"}, exitDone, "expected matched missed extra f25 f50 leaning_ms spread_ms drift_bpm tuplets.at tuplets.written tuplets.played tuplets.nearest misreading sentences passed grader next ..."},
	}
	for _, c := range cases {
		out, _, code := call(t, "", append(c.args, "--json")...)
		if code != c.exit {
			t.Errorf("%s: exit %d, want %d", c.args[0], code, c.exit)
		}
		want, got := strings.Fields(c.paths), fieldPaths(t, out)
		if n := len(want) - 1; want[n] == "..." { // what follows is held where it is made
			want, got = want[:n], got[:min(n, len(got))]
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.args[0], diff)
		}
	}
}

// fieldPaths lists the leaves of a JSON text, each once, in the order in which
// they come; the elements of a list count as one.
func fieldPaths(t *testing.T, text string) []string {
	t.Helper()
	d := json.NewDecoder(strings.NewReader(text))
	var paths []string
	seen := map[string]bool{}
	var walk func(path string)
	walk = func(path string) {
		token, err := d.Token()
		if err != nil {
			t.Fatalf("no JSON: %v\n%s", err, text)
		}
		delim, _ := token.(json.Delim)
		for delim != 0 && d.More() {
			below := path
			if delim == '{' {
				key, _ := d.Token()
				below = strings.TrimPrefix(path+"."+key.(string), ".")
			}
			walk(below)
		}
		if delim != 0 {
			d.Token()
			return
		}
		if !seen[path] {
			seen[path] = true
			paths = append(paths, path)
		}
	}
	walk("")
	return leaves(paths)
}

// leaves drops paths that only lead to others, as of a list that was empty
// once.
func leaves(paths []string) []string {
	var out []string
	for _, p := range paths {
		leads := false
		for _, q := range paths {
			leads = leads || strings.HasPrefix(q, p+".")
		}
		if !leads {
			out = append(out, p)
		}
	}
	return out
}

// TestLibraryShows draws, times and checks every step of the library: within
// the width, and a stroke in the picture for each one in the passage.
func TestLibraryShows(t *testing.T) {
	for _, e := range exercises.Library() {
		if _, stderr, code := call(t, "", "check", e.Name); code != exitDone {
			t.Error(stderr)
		}
		for _, s := range e.Climb.Steps {
			out, stderr, code := call(t, "", "show", e.Name, "--step", s.Title)
			if code != exitDone || stderr != "" {
				t.Fatalf("%s, %s: exit %d, %s", e.Name, s.Title, code, stderr)
			}
			for _, line := range strings.Split(out, "\n") {
				if n := len([]rune(line)); n > stripWidth {
					t.Errorf("%s, %s: a line of %d columns: %s", e.Name, s.Title, n, line)
				}
			}
			for _, l := range s.Passage.Lines {
				drawn := 0
				for _, line := range strings.Split(out, "\n") {
					if name, bars, ok := strings.Cut(line, "|"); ok && strings.TrimSpace(name) == l.Voice.String() {
						drawn += len(strings.Map(strokeLetter, bars))
					}
				}
				if drawn != len(l.Strokes) {
					t.Errorf("%s, %s: %d strokes of %s drawn, want %d", e.Name, s.Title, drawn, l.Voice, len(l.Strokes))
				}
			}
		}
	}
}

func strokeLetter(r rune) rune {
	if strings.ContainsRune("xXgfdoc!hsSbtpr", r) {
		return r
	}
	return -1
}

type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'x'
	}
	return len(p), nil
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

// TestHostileInput: input of any kind is refused in words, in bounded time and
// memory.
func TestHostileInput(t *testing.T) {
	dir := t.TempDir()
	take := filepath.Join(dir, "endless.json")
	if err := os.WriteFile(take, bytes.Repeat([]byte("["), 17<<20), 0o644); err != nil {
		t.Fatal(err)
	}
	cases := []struct {
		name  string
		stdin io.Reader
		args  []string
		exit  int
		says  string
	}{
		{"endless exercise", endless{}, []string{"check", "-"}, exitFailed, "-:1:1: the file has more than 262144 bytes; "},
		{"endless take", endless{}, []string{"grade", "headframe", "-"}, exitFailed, "-:1:1: the take has more than 16 MiB; "},
		{"large take", nil, []string{"grade", "headframe", take}, exitFailed, ":1:1: "},
		{"a take that stopped before it began", strings.NewReader(strings.Replace(manyTaps(200), `"taps"`, `"stopped":-5,"taps"`, 1)), []string{"grade", "headframe", "-"}, exitDone, ""},
		{"a take of noise", strings.NewReader(manyTaps(20_000)), []string{"grade", "headframe", "-"}, exitDone, ""},
		{"nul", strings.NewReader("title: a\x00b\n"), []string{"check", "-"}, exitFailed, "-:1:9: a control character; "},
		{"not UTF-8", strings.NewReader("title: \xff\xfe\n"), []string{"check", "-"}, exitFailed, "-:1:8: a byte that is not UTF-8; "},
		{"empty", strings.NewReader(""), []string{"times", "-"}, exitFailed, "-:1:1: "},
		{"empty to rate", strings.NewReader(""), []string{"rate", "-"}, exitFailed, "-:1:1: "},
		{"a long change", nil, []string{"changes", strings.Repeat("x", 1<<20)}, exitMisuse, "no change is called"},
		{"a long misreading", nil, []string{"simulate", "headframe", "-o", "-", "--misread", strings.Repeat("add ", 1<<18)}, exitMisuse, "; "},
		{"a misreading of bytes", nil, []string{"simulate", "headframe", "-o", "-", "--misread", "shift kick\xff at 1 by 1/0"}, exitMisuse, "; "},
		{"a folder", nil, []string{"show", dir}, exitFailed, "it is a folder; name a file"},
		{"a folder as a take", nil, []string{"grade", "headframe", dir}, exitFailed, "it is a folder; name a file"},
		{"a name with a nul", nil, []string{"show", "a\x00b"}, exitFailed, "invalid argument; check the file"},
		{"a device to write to", nil, []string{"simulate", "headframe", "-o", filepath.Join(dir, "link.json")}, exitFailed, "it is not an ordinary file; name another"},
	}
	if err := os.Symlink(os.DevNull, filepath.Join(dir, "link.json")); err != nil {
		t.Fatal(err)
	}
	for _, c := range cases {
		var stderr bytes.Buffer
		code := run(context.Background(), c.args, c.stdin, io.Discard, &stderr)
		if code != c.exit || !strings.Contains(stderr.String(), c.says) {
			t.Errorf("%s: exit %d, %q; want exit %d, %q", c.name, code, stderr.String(), c.exit, c.says)
		}
	}
}

// manyTaps is a take of taps that fall anywhere.
func manyTaps(n int) string {
	var taps []string
	s := source(5)
	for range n {
		taps = append(taps, fmt.Sprintf(`{"voice":"kick","seconds":%.4f}`, 20*s.even()))
	}
	return `{"stampmill":1,"exercise":"headframe","step":6,"tempo":100,"passes":4,"part":["kick"],"input":"","latency_ms":0,"taps":[` + strings.Join(taps, ",") + `]}`
}

// TestOutputThatFails: what could not be written is not passed over in silence.
func TestOutputThatFails(t *testing.T) {
	for _, args := range [][]string{{"list"}, {"times", "headframe", "--json"}, {"show", "headframe"}, {"check", "headframe"}} {
		var stderr bytes.Buffer
		if code := run(context.Background(), args, nil, full{}, &stderr); code != exitFailed || !strings.Contains(stderr.String(), "no space left") {
			t.Errorf("%v: exit %d, %q", args, code, stderr.String())
		}
	}
}

// TestWriteKeepsOld: a file is replaced as a whole or not at all, and keeps
// its mode.
func TestWriteKeepsOld(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("take.json", []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	err := writeFile("take.json", func(f *os.File) error {
		f.WriteString("half of the n")
		return errors.New("power cut")
	})
	if data, _ := os.ReadFile("take.json"); err == nil || string(data) != "old" {
		t.Errorf("after a failure: %q, %v; want the old content and an error", data, err)
	}
	err = writeFile("take.json", func(f *os.File) error { _, err := f.WriteString("new"); return err })
	info, _ := os.Stat("take.json")
	if data, _ := os.ReadFile("take.json"); err != nil || string(data) != "new" || info.Mode().Perm() != 0o600 {
		t.Errorf("after success: %q, %v, %v", data, info.Mode(), err)
	}
	if left, _ := filepath.Glob(".*"); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}
