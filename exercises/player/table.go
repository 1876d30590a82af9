package player

import (
	"cmp"
	"slices"
)

// A Table sums trials up: what was played against what was named. Its zero
// value is empty.
type Table struct {
	cells map[cell]int
	right map[cell]int // Named left out
}

// A cell counts the takes of one kind of truth that were named alike.
type cell struct {
	kind     string
	spreadMS float64
	named    string
}

// Add counts some trials.
func (t *Table) Add(trials []Trial) {
	if t.cells == nil {
		t.cells, t.right = map[cell]int{}, map[cell]int{}
	}
	for _, trial := range trials {
		t.cells[cell{trial.Kind, trial.SpreadMS, trial.Named}]++
		if trial.Right {
			t.right[cell{trial.Kind, trial.SpreadMS, ""}]++
		}
	}
}

// A Named kind is one that was named, and in how many takes.
type Named struct {
	Kind  string // Unnamed for none
	Takes int
}

// A Row is what became of the takes of one kind of truth at one spread.
type Row struct {
	Kind     string
	SpreadMS float64
	Takes    int
	Right    int     // named as what was played; of clean takes: not named
	Named    []Named // all of them, right or not; the most first
}

// Rows returns a row for each kind and spread, by kind, then spread; clean
// takes last.
func (t Table) Rows() []Row {
	var rows []Row
	for c, n := range t.cells {
		i := slices.IndexFunc(rows, func(r Row) bool { return r.Kind == c.kind && r.SpreadMS == c.spreadMS })
		if i < 0 {
			i = len(rows)
			rows = append(rows, Row{Kind: c.kind, SpreadMS: c.spreadMS, Right: t.right[cell{c.kind, c.spreadMS, ""}]})
		}
		rows[i].Takes += n
		rows[i].Named = append(rows[i].Named, Named{c.named, n})
	}
	for _, r := range rows {
		slices.SortFunc(r.Named, func(a, b Named) int {
			return cmp.Or(cmp.Compare(b.Takes, a.Takes), cmp.Compare(a.Kind, b.Kind))
		})
	}
	slices.SortFunc(rows, func(a, b Row) int {
		return cmp.Or(last(a, b), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.SpreadMS, b.SpreadMS))
	})
	return rows
}

// last puts clean takes last.
func last(a, b Row) int {
	switch {
	case a.Kind == b.Kind:
		return 0
	case a.Kind == Clean:
		return 1
	case b.Kind == Clean:
		return -1
	}
	return 0
}

// Rates returns, over all truths at a spread, which share was named rightly,
// and which share of the clean takes was named anything; 0 where there were
// none.
func (t Table) Rates(spreadMS float64) (right, alarms float64) {
	var truths, named, clean, quiet int
	for _, r := range t.Rows() {
		switch {
		case r.SpreadMS != spreadMS:
		case r.Kind == Clean:
			clean, quiet = clean+r.Takes, quiet+r.Right
		default:
			truths, named = truths+r.Takes, named+r.Right
		}
	}
	return float64(named) / float64(max(truths, 1)), float64(clean-quiet) / float64(max(clean, 1))
}
