package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"stampmill/exercises"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// The JSON of simulate --misread all.
type confusionsJSON struct {
	Steps  int               `json:"steps"` // that were tried
	Passes int               `json:"passes"`
	Seed   uint64            `json:"seed"`
	Totals []confusionTotal  `json:"totals"`
	Rows   []confusionRow    `json:"rows"`
	Wrong  []confusionSample `json:"wrong"` // every misreading that was not named rightly, and every clean take that was named
}

type confusionTotal struct {
	SpreadMS    float64 `json:"spread_ms"`
	Right       float64 `json:"right"`        // share of the misreadings
	FalseAlarms float64 `json:"false_alarms"` // share of the clean takes
}

type confusionRow struct {
	Played   string           `json:"played"`
	SpreadMS float64          `json:"spread_ms"`
	Takes    int              `json:"takes"`
	Right    int              `json:"right"`
	Named    []confusionNamed `json:"named"`
}

type confusionNamed struct {
	Kind  string `json:"kind"` // "" for nothing
	Takes int    `json:"takes"`
}

type confusionSample struct {
	Climb    string  `json:"climb"`
	Step     int     `json:"step"`
	SpreadMS float64 `json:"spread_ms"`
	Played   string  `json:"played"`
	Text     string  `json:"text"`
	Named    string  `json:"named"`
	NamedAs  string  `json:"named_as"`
}

// A confusion is what has been tried so far.
type confusion struct {
	trials player.Trials
	table  player.Table
	wrong  []player.Trial
	done   int // steps
}

// confuse prints the table of what is named of every misreading.
func (s *simulation) confuse(t terminal, files []string) error {
	if name := s.needless("o", "days", "until", "tempo", "lean", "drift", "miss", "extra", "uneven", "grace", "strength", "release"); name != "" {
		return misusef("%s is for one take, not for --misread all; leave it out", dashes(name))
	}
	climbs, err := s.climbs(t, files)
	if err != nil {
		return err
	}
	c := confusion{trials: player.Trials{
		Climbs: climbs, Part: s.part.voices, OneKey: s.oneKey, SpreadsMS: []float64{5, 10, 15, 25}, Passes: 4, Takes: s.takes.value, Seed: s.seed,
	}}
	if s.given["spread"] {
		c.trials.SpreadsMS = []float64{s.spread.value}
	}
	if s.given["passes"] {
		c.trials.Passes = s.passes.value
	}
	if err := c.try(t); err != nil {
		return err
	}
	if c.trials.Steps() == 0 {
		return misusef("no step has all of --part %s; name other voices", s.part.String())
	}
	if c.done == c.trials.Steps() && len(c.table.Rows()) == 0 {
		return misusef("no step has strokes of the part; name other files or voices")
	}
	if s.asJSON {
		return writeJSON(t.stdout, c.json())
	}
	c.print(t.stdout)
	return nil
}

// climbs reads the files, or takes the library, and of each climb the step that
// was asked for.
func (s *simulation) climbs(t terminal, files []string) ([]passage.Climb, error) {
	var all []passage.Climb
	for _, file := range files {
		c, err := readClimb(t, file)
		if err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	if len(files) == 0 {
		for _, e := range exercises.Library() {
			all = append(all, e.Climb)
		}
	}
	if s.given["step"] {
		return nil, misusef("--step is for one take; leave it out")
	}
	return all, nil
}

// try makes the trials until they are done or the player of the command line
// stops them.
func (c *confusion) try(t terminal) error {
	ctx, stop := interruptible(t)
	defer stop()
	tell := progress(t)
	err := player.Confuse(ctx, c.trials, func(done, of int, trials []player.Trial) {
		c.done = done
		c.table.Add(trials)
		for _, trial := range trials {
			if !trial.Right {
				c.wrong = append(c.wrong, trial)
			}
		}
		tell(float64(done) / float64(of))
	})
	if errors.Is(err, context.Canceled) {
		if isTerminal(t.stderr) {
			fmt.Fprint(t.stderr, "\r")
		}
		fmt.Fprintf(t.stderr, "stampmill simulate: stopped after %d of %d steps\n", c.done, c.trials.Steps())
		err = nil
	}
	slices.SortFunc(c.wrong, func(a, b player.Trial) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Named, b.Named), cmp.Compare(a.SpreadMS, b.SpreadMS),
			cmp.Compare(a.Climb, b.Climb), cmp.Compare(a.Step, b.Step), cmp.Compare(a.Text, b.Text), cmp.Compare(a.Take, b.Take))
	})
	return err
}

func (c *confusion) json() confusionsJSON {
	out := confusionsJSON{Steps: c.done, Passes: c.trials.Passes, Seed: c.trials.Seed, Rows: []confusionRow{}, Wrong: []confusionSample{}}
	for _, ms := range c.trials.SpreadsMS {
		right, alarms := c.table.Rates(ms)
		out.Totals = append(out.Totals, confusionTotal{ms, right, alarms})
	}
	for _, r := range c.table.Rows() {
		row := confusionRow{r.Kind, r.SpreadMS, r.Takes, r.Right, nil}
		for _, n := range r.Named {
			row.Named = append(row.Named, confusionNamed{n.Kind, n.Takes})
		}
		out.Rows = append(out.Rows, row)
	}
	for _, w := range c.wrong {
		out.Wrong = append(out.Wrong, confusionSample{w.Climb, w.Step, w.SpreadMS, w.Kind, w.Text, w.Named, w.NamedAs})
	}
	return out
}

// nameWidth is that of the first column.
const nameWidth = 18

// print prints the tables for a person, on 80 columns.
func (c *confusion) print(w io.Writer) {
	fmt.Fprintf(w, "What players played in the place of %s, %s, seed %d,\nand how much of it was named rightly, in %%.\n\n",
		counted(c.done, "step"), passesOf(c.trials.Passes), c.trials.Seed)
	fmt.Fprintf(w, "%-*s", nameWidth, "spread in ms")
	for _, ms := range c.trials.SpreadsMS {
		fmt.Fprintf(w, "%8g", ms)
	}
	fmt.Fprintf(w, "%8s\n", "takes")
	rows := c.table.Rows()
	for i := 0; i < len(rows); {
		n := 1
		for i+n < len(rows) && rows[i+n].Kind == rows[i].Kind {
			n++
		}
		if rows[i].Kind != player.Clean {
			c.row(w, rows[i].Kind, rows[i:i+n])
		}
		i += n
	}
	c.totals(w, rows)
	c.others(w)
}

// row prints one line of the table: a kind of misreading at every spread.
func (c *confusion) row(w io.Writer, name string, rows []player.Row) {
	fmt.Fprintf(w, "%-*s", nameWidth, name)
	takes := 0
	for _, ms := range c.trials.SpreadsMS {
		i := slices.IndexFunc(rows, func(r player.Row) bool { return r.SpreadMS == ms })
		fmt.Fprintf(w, "%8s", percent(rows[i].Right, rows[i].Takes))
		takes += rows[i].Takes
	}
	fmt.Fprintf(w, "%8d\n", takes)
}

func percent(n, of int) string { return fmt.Sprintf("%.1f", 100*float64(n)/float64(of)) }

// totals prints the lines of all misreadings, and of clean takes.
func (c *confusion) totals(w io.Writer, rows []player.Row) {
	var all, clean strings.Builder
	truths, cleanTakes := 0, 0
	for _, r := range rows {
		if r.Kind == player.Clean {
			cleanTakes += r.Takes
		} else {
			truths += r.Takes
		}
	}
	for _, ms := range c.trials.SpreadsMS {
		right, alarms := c.table.Rates(ms)
		fmt.Fprintf(&all, "%8.1f", 100*right)
		fmt.Fprintf(&clean, "%8.1f", 100*alarms)
	}
	fmt.Fprintf(w, "\n%-*s%s%8d\n", nameWidth, "all", &all, truths)
	fmt.Fprintf(w, "%-*s%s%8d\n", nameWidth, "false alarms", &clean, cleanTakes)
}

// others prints what was named otherwise, the most frequent first, with a case
// of each.
func (c *confusion) others(w io.Writer) {
	type pair struct {
		takes int
		such  player.Trial
	}
	var pairs []pair
	for _, trial := range c.wrong {
		i := slices.IndexFunc(pairs, func(p pair) bool { return p.such.Kind == trial.Kind && p.such.Named == trial.Named })
		if i < 0 {
			i = len(pairs)
			pairs = append(pairs, pair{0, trial})
		}
		pairs[i].takes++
	}
	if len(pairs) == 0 {
		return
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(b.takes, a.takes) })
	fmt.Fprintf(w, "\nnamed otherwise, over all spreads, with one case of each:\n")
	for _, p := range pairs {
		fmt.Fprintf(w, "%5d  %s as %s\n", p.takes, p.such.Kind, orNothing(p.such.Named))
		fmt.Fprint(w, wrapTo(80, fmt.Sprintf("%s %d, %g ms: %s; named: %s", p.such.Climb, p.such.Step, p.such.SpreadMS,
			orNothing(p.such.Text), orNothing(p.such.NamedAs)), 9))
	}
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}
