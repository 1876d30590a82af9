package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// TestTimesOfSecondStroke holds the time of the second stroke of a bar against
// the arithmetic of note values at a tempo: a beat lasts 60/BPM seconds, and a
// note of a tuplet n:m is base * m/n (definitions, standard). The milliseconds
// are 60000/BPM of the note value as printed in tables for 120 BPM; the sample
// is the product with 48,000 a second, rounded half away from zero.
func TestTimesOfSecondStroke(t *testing.T) {
	cases := []struct {
		note, tempo, metre, kick string
		ms                       float64
		sample                   int64
	}{
		{"quarter at 120", "120", "4/4", "x x . .", 500, 24000},
		{"eighth at 120", "120", "4/4", "xx . . .", 250, 12000},
		{"sixteenth at 120", "120", "4/4", "xx.. . . .", 125, 6000},
		{"thirty-second at 120", "120", "4/4", "xx...... . . .", 62.5, 3000},
		{"triplet eighth 3:2 at 120", "120", "4/4", "xx. . . .", 166.667, 8000},
		{"sixteenth triplet at 120", "120", "4/4", "xx.... . . .", 83.333, 4000},
		{"quintuplet sixteenth 5:4 at 120", "120", "4/4", "xx... . . .", 100, 4800},
		{"septuplet sixteenth 7:4 at 120", "120", "4/4", "xx..... . . .", 71.429, 3429},
		{"9:8 thirty-second at 120", "120", "4/4", "xx....... . . .", 55.556, 2667},
		{"quarter triplet at 120", "120", "4/4", "2:xx. . .", 333.333, 16000},
		{"triplet in a triplet at 120", "120", "4/4", "[xx.].. . . .", 55.556, 2667},
		{"duplet 2:3 of eighths, dotted quarter at 80", "80", "6/8", "xx .", 375, 18000},
		{"pinned dotted quarter at 80", "3/8=80", "6/8", "x..x.. .", 375, 18000},
		{"eighth of the long beat in seven, quarter at 120", "120", "7/8 (2+2+3)", ". . xx.", 1250, 60000},
		{"triplet eighth at 100, where samples do not divide", "100", "4/4", "xx. . . .", 200, 9600},
		{"septuplet at 105", "105", "4/4", "xx..... . . .", 81.633, 3918},
	}
	dir := t.TempDir()
	for _, c := range cases {
		file := filepath.Join(dir, "case.drill")
		text := fmt.Sprintf("title: T\ntempo: %s\nmetre: %s\n\nstep: A\nkick | %s |\n", c.tempo, c.metre, c.kick)
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		var got struct {
			Strokes []struct {
				Seconds float64
				Sample  int64 `json:"sample48k"`
			}
		}
		out, _, code := call(t, "", "times", "--json", file)
		if err := json.Unmarshal([]byte(out), &got); err != nil || code != exitDone {
			t.Fatalf("%s: exit %d, %v", c.note, code, err)
		}
		second := got.Strokes[1]
		if math.Abs(1000*second.Seconds-c.ms) > 0.0005 || second.Sample != c.sample {
			t.Errorf("%s: %.3f ms, sample %d; want %.3f ms, sample %d", c.note, 1000*second.Seconds, second.Sample, c.ms, c.sample)
		}
	}
}
