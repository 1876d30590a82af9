package main

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/player"
)

// TestConfusionPrinted: the table for people, of trials made by hand.
func TestConfusionPrinted(t *testing.T) {
	c := confusion{trials: player.Trials{SpreadsMS: []float64{5, 15}, Passes: 4, Seed: 7}, done: 1}
	for _, ms := range c.trials.SpreadsMS {
		shift := player.Trial{Climb: "Cage", Step: 3, Kind: "shift", Text: "shift kick by 1/16", SpreadMS: ms, Named: "shift", Right: true}
		clean := player.Trial{Climb: "Cage", Step: 3, Kind: player.Clean, SpreadMS: ms, Right: true}
		c.table.Add([]player.Trial{shift, shift, clean, clean, clean})
	}
	missed := player.Trial{Climb: "Cage", Step: 3, Kind: "shift", Text: "shift kick by 1/16", SpreadMS: 15}
	rotated := player.Trial{Climb: "Cage", Step: 3, Kind: "shift", Text: "shift kick by 1/16", SpreadMS: 15, Named: "rotate", NamedAs: "rotate kick by 1/16"}
	alarm := player.Trial{Climb: "Cage", Step: 3, Kind: player.Clean, SpreadMS: 15, Named: "drop", NamedAs: "drop kick at 1.2"}
	c.wrong = []player.Trial{missed, rotated, alarm}
	c.table.Add(c.wrong)
	var out bytes.Buffer
	c.print(&out)
	want := `What players played in the place of 1 step, 4 passes, seed 7,
and how much of it was named rightly, in %.

spread in ms             5      15   takes
shift                100.0    50.0       6

all                  100.0    50.0       6
false alarms           0.0    25.0       7

named otherwise, over all spreads, with one case of each:
    1  shift as nothing
         Cage 3, 15 ms: shift kick by 1/16; named: nothing
    1  shift as rotate
         Cage 3, 15 ms: shift kick by 1/16; named: rotate kick by 1/16
    1  as written as drop
         Cage 3, 15 ms: nothing; named: drop kick at 1.2
`
	if diff := cmp.Diff(strings.Split(want, "\n"), strings.Split(out.String(), "\n")); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// TestConfusionStops: whoever stops the table gets what is done, or nothing
// where nothing is, and neither is a failure of the program.
func TestConfusionStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	var out, stderr bytes.Buffer
	code := run(ctx, []string{"simulate", "--misread", "all", "headframe", "--json"}, strings.NewReader(""), &out, &stderr)
	if code != exitDone || !strings.Contains(stderr.String(), "stopped after 0 of ") {
		t.Errorf("exit %d, %q", code, stderr.String())
	}
	var table confusionsJSON
	if err := json.Unmarshal(out.Bytes(), &table); err != nil || table.Steps != 0 || table.Rows == nil || table.Wrong == nil {
		t.Errorf("%+v, %v", table, err)
	}
}
