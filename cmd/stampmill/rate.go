package main

import (
	"flag"
	"fmt"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"stampmill/exercises/complexity"
	"stampmill/exercises/passage"
)

var rateCommand = command{
	name: "rate", operands: "FILE", least: 1, most: 1,
	does:     "tell how hard each step is",
	examples: []string{"rate headframe", "rate --step 6 --tempo 120 headframe", "rate quarry.drill --pedals 1 --json"},
	setup: func(flags *flag.FlagSet) action {
		r := rate{pedals: pedalsFlag()}
		flags.StringVar(&r.step, "step", "", "STEP|only this step, limb by limb: its number or its title")
		flags.Var(&r.tempo, "tempo", "BPM|beats a minute, in place of the written tempo")
		r.pedals.register(flags)
		asJSON := jsonFlag(flags)
		return func(t terminal, operands []string) error { return r.run(t, operands[0], *asJSON) }
	},
}

// A rate is what the flags of rate say.
type rate struct {
	step   string
	tempo  tempoFlag
	pedals pedals
}

// A ratedStep is a step with its measures.
type ratedStep struct {
	Step        int         `json:"step"`
	Title       string      `json:"title"`
	Syncopation int         `json:"syncopation"` // degrees of the hardest bar
	WNBD        float64     `json:"wnbd"`        // a bar, of the limb farthest from the beat
	PeakRate    float64     `json:"peak_rate"`   // strokes a second of the fastest limb
	New         int         `json:"new_strokes"` // that differ from the step before
	Playable    bool        `json:"playable"`    // by four limbs and picking hands
	Load        float64     `json:"load"`        // syncopation plus peak rate
	Bars        []int       `json:"bars"`        // syncopation of each
	Limbs       []ratedLimb `json:"limbs"`       // and string players
	full        complexity.Rating
}

// A rated limb, or the picking hand of a string voice.
type ratedLimb struct {
	Limb     string  `json:"limb"`
	WNBD     float64 `json:"wnbd"` // sum over the passage
	PerNote  float64 `json:"wnbd_per_note"`
	PeakRate float64 `json:"peak_rate"` // strokes a second
}

func (r *rate) run(t terminal, file string, asJSON bool) error {
	climb, err := readClimb(t, file)
	if err != nil {
		return err
	}
	first, last := 1, len(climb.Steps)
	if r.step != "" {
		if first, err = stepNumber(climb, r.step); err != nil {
			return err
		}
		last = first
	}
	var all []ratedStep
	for n := first; n <= last; n++ {
		step, err := r.rated(climb, n)
		if err != nil {
			return err
		}
		all = append(all, step)
	}
	if asJSON {
		return writeJSON(t.stdout, all)
	}
	return r.print(t, climb, all)
}

// rated rates step n, from 1, against the one before it.
func (r *rate) rated(climb passage.Climb, n int) (ratedStep, error) {
	c, err := choose(climb, n, r.tempo.bpm)
	if err != nil {
		return ratedStep{}, err
	}
	var before *passage.Passage
	if n > 1 {
		before = &climb.Steps[n-2].Passage
	}
	full := complexity.RateFor(r.pedals.limbs(), before, c.passage)
	out := ratedStep{
		Step: n, Title: c.step.Title, Syncopation: full.Syncopation, WNBD: round(full.WNBD()),
		PeakRate: round(full.PeakRate), New: full.New, Playable: full.Playable,
		Load: round(full.Load()), Bars: full.Bars, Limbs: []ratedLimb{}, full: full,
	}
	for _, part := range full.Parts {
		out.Limbs = append(out.Limbs, ratedLimb{part.Name, round(part.WNBD.Float()), round(part.WNBD.PerNote()), round(part.Peak.PerSecond)})
	}
	return out, nil
}

// round leaves three digits behind the point, more than any of these numbers
// means.
func round(x float64) float64 { return math.Round(x*1000) / 1000 }

func (r *rate) print(t terminal, climb passage.Climb, all []ratedStep) error {
	fmt.Fprintf(t.stdout, "%s, %s at %s\n\n", climb.Title, strings.Join(metresOf(climb), ", "), r.speed(climb))
	tab := tabwriter.NewWriter(t.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "step\tsyncopation\twnbd\tpeak rate\tnew\tload\tplayable")
	for _, s := range all {
		fmt.Fprintf(tab, "%d  %s\t%s\t%.1f\t%s\t%d\t%.1f\t%s\n", s.Step, s.Title, s.syncopation(), s.WNBD, s.peak(), s.New, s.Load, yes(s.Playable))
	}
	if err := tab.Flush(); err != nil {
		return err
	}
	if r.step != "" {
		if err := all[0].printLimbs(t); err != nil {
			return err
		}
	}
	fmt.Fprintf(t.stdout, "\n%s", wrap(rateLegend, 0))
	return nil
}

// rateLegend explains the columns.
var rateLegend = fmt.Sprintf("syncopation: degrees of the hardest bar, by the index of Witek et al. 2014; wnbd: weighted note-to-beat distance a bar, "+
	"of the limb farthest from the beat; peak rate: strokes a second of the fastest limb, hard from %g on, %g is the limit; new: strokes that "+
	"differ from the step before; load: syncopation plus peak rate.", complexity.HardRate, complexity.MaxRate)

func (r *rate) speed(climb passage.Climb) string {
	if r.tempo.bpm.Sign() > 0 {
		return r.tempo.bpm.Decimal()
	}
	return climb.Tempo[0].String()
}

// metresOf returns the metres of a climb in the order in which they come.
func metresOf(climb passage.Climb) []string {
	var all []string
	for _, s := range climb.Steps {
		for _, b := range s.Passage.Bars {
			if m := b.Metre.String(); !slices.Contains(all, m) {
				all = append(all, m)
			}
		}
	}
	return all
}

// syncopation tells the degrees of the hardest bar, and which it is where bars
// differ.
func (s ratedStep) syncopation() string {
	for _, degree := range s.Bars {
		if degree != s.Syncopation {
			return fmt.Sprintf("%d (bar %d)", s.Syncopation, s.full.Hardest)
		}
	}
	return fmt.Sprint(s.Syncopation)
}

func (s ratedStep) peak() string {
	switch {
	case s.full.Fastest == "":
		return "0"
	case s.PeakRate > complexity.MaxRate:
		return fmt.Sprintf("%.1f %s, over the limit", s.PeakRate, s.full.Fastest)
	case s.PeakRate >= complexity.HardRate:
		return fmt.Sprintf("%.1f %s, hard", s.PeakRate, s.full.Fastest)
	}
	return fmt.Sprintf("%.1f %s", s.PeakRate, s.full.Fastest)
}

// printLimbs tells what each limb and string player has to do, and the
// syncopation of each bar.
func (s ratedStep) printLimbs(t terminal) error {
	fmt.Fprintln(t.stdout)
	tab := tabwriter.NewWriter(t.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "limb\twnbd\ta note\tpeak rate")
	for _, l := range s.Limbs {
		fmt.Fprintf(tab, "%s\t%.1f\t%.2f\t%.1f\n", l.Limb, l.WNBD, l.PerNote, l.PeakRate)
	}
	if err := tab.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(t.stdout, "\nsyncopation bar by bar: %s\n", strings.Trim(fmt.Sprint(s.Bars), "[]"))
	return nil
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
