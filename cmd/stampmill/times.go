package main

import (
	"cmp"
	"flag"
	"fmt"
	"slices"
	"text/tabwriter"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

var timesCommand = command{
	name: "times", operands: "FILE", least: 1, most: 1,
	does: "tell the exact place of every stroke",
	examples: []string{
		"times headframe",
		"times --step 6 --tempo 120 headframe",
		"times quarry.drill --step 'Three over two' --json",
	},
	setup: func(flags *flag.FlagSet) action {
		var pick choice
		pick.register(flags)
		asJSON := jsonFlag(flags)
		return func(t terminal, operands []string) error {
			c, err := pick.open(t, operands[0])
			if err != nil {
				return err
			}
			times, err := timesOf(c)
			if err != nil {
				return err
			}
			if *asJSON {
				return writeJSON(t.stdout, times)
			}
			return times.print(t)
		}
	},
}

// clockRate is the rate of the sample numbers, in hertz: that of video and of
// most devices, common practice.
const clockRate = 48000

type stepTimes struct {
	Title   string       `json:"title"` // of the climb
	Step    int          `json:"step"`
	Tempo   float64      `json:"tempo"`   // beats a minute of the first bar
	Seconds float64      `json:"seconds"` // of one pass
	Strokes []strokeTime `json:"strokes"` // by time, then voice
}

type strokeTime struct {
	Voice   passage.Voice `json:"voice"`
	Stroke  passage.Kind  `json:"stroke"`
	Bar     int           `json:"bar"`
	Beat    int           `json:"beat"`
	At      meter.Rat     `json:"at"`     // quarter notes from the first downbeat
	Length  meter.Rat     `json:"length"` // quarter notes
	Seconds float64       `json:"seconds"`
	Sample  int64         `json:"sample48k"`
}

func timesOf(c chosen) (stepTimes, error) {
	tempo, err := c.passage.TempoMap()
	if err != nil {
		return stepTimes{}, err
	}
	out := stepTimes{
		Title: c.climb.Title, Step: c.number, Tempo: c.bpm().Float(),
		Seconds: tempo.Seconds(c.passage.Length()), Strokes: []strokeTime{},
	}
	for _, l := range c.passage.Lines {
		for _, s := range l.Strokes {
			place := c.passage.Place(s.At)
			out.Strokes = append(out.Strokes, strokeTime{
				l.Voice, s.Kind, place.Bar, place.Beat, s.At, s.Length,
				tempo.Seconds(s.At), tempo.Sample(s.At, clockRate),
			})
		}
	}
	slices.SortStableFunc(out.Strokes, func(a, b strokeTime) int {
		return cmp.Or(a.At.Cmp(b.At), cmp.Compare(a.Voice, b.Voice))
	})
	return out, nil
}

func (s stepTimes) print(t terminal) error {
	fmt.Fprintf(t.stdout, "%s, step %d, tempo %.6g, %.3f s a pass\n\n", s.Title, s.Step, s.Tempo, s.Seconds)
	tab := tabwriter.NewWriter(t.stdout, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(tab, "bar\tbeat\tat\tlength\tseconds\tsample48k\tvoice\tstroke\t")
	for _, x := range s.Strokes {
		fmt.Fprintf(tab, "%d\t%d\t%s\t%s\t%.6f\t%d\t%s\t%s\t\n", x.Bar, x.Beat, x.At, x.Length, x.Seconds, x.Sample, x.Voice, x.Stroke)
	}
	return tab.Flush()
}
