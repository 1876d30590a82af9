package player_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/player"
)

// TestTable: trials are summed by what was played and what was named.
func TestTable(t *testing.T) {
	var table player.Table
	trial := func(kind, named string, right bool) player.Trial {
		return player.Trial{Kind: kind, Named: named, Right: right, SpreadMS: 15}
	}
	table.Add([]player.Trial{
		trial(player.Clean, "", true), trial(player.Clean, "", true), trial(player.Clean, "shift", false), trial(player.Clean, "", true),
		trial("shift", "shift", true), trial("shift", "rotate", true), trial("shift", "shift", false), trial("shift", "", false), trial("drop", "drop", true),
	})
	want := []player.Row{
		{Kind: "drop", SpreadMS: 15, Takes: 1, Right: 1, Named: []player.Named{{Kind: "drop", Takes: 1}}},
		{Kind: "shift", SpreadMS: 15, Takes: 4, Right: 2, Named: []player.Named{{Kind: "shift", Takes: 2}, {Kind: "", Takes: 1}, {Kind: "rotate", Takes: 1}}},
		{Kind: player.Clean, SpreadMS: 15, Takes: 4, Right: 3, Named: []player.Named{{Kind: "", Takes: 3}, {Kind: "shift", Takes: 1}}},
	}
	if diff := cmp.Diff(want, table.Rows()); diff != "" {
		t.Errorf("rows (-want +got):\n%s", diff)
	}
	if right, alarms := table.Rates(15); right != .6 || alarms != .25 {
		t.Errorf("right %g, false alarms %g; want .6 and .25", right, alarms)
	}
	if right, alarms := table.Rates(5); right != 0 || alarms != 0 {
		t.Errorf("nothing at 5 ms: %g, %g", right, alarms)
	}
}
