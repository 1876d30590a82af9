package main

import (
	"flag"
	"fmt"

	"stampmill/exercises"
	"stampmill/exercises/meter"
)

var listCommand = command{
	name: "list", least: 0, most: 0,
	does:     "list the climbs of the library",
	examples: []string{"list", "list --json"},
	setup: func(flags *flag.FlagSet) action {
		asJSON := jsonFlag(flags)
		return func(t terminal, _ []string) error {
			all := listed()
			if *asJSON {
				return writeJSON(t.stdout, all)
			}
			for _, c := range all {
				c.print(t)
			}
			fmt.Fprintln(t.stdout, "In teaching order. stampmill show NAME draws a step, stampmill rate NAME says how hard each is.")
			return nil
		}
	},
}

type listedClimb struct {
	Name  string       `json:"name"`
	Title string       `json:"title"`
	Steps []listedStep `json:"steps"`
	Tempo float64      `json:"tempo"` // of the first bar
	Metre string       `json:"metre"` // of the first bar
	about string
	speed meter.Tempo // Tempo with its note value
}

type listedStep struct {
	N     int    `json:"n"`
	Title string `json:"title"`
	Says  string `json:"says"`
}

func listed() []listedClimb {
	all := []listedClimb{}
	for _, e := range exercises.Library() {
		c := listedClimb{
			Name: e.Name, Title: e.Climb.Title, Steps: []listedStep{}, about: e.Climb.About, speed: e.Climb.Tempo[0],
			Tempo: e.Climb.Tempo[0].BPM.Float(), Metre: e.Climb.Metre[0].String(),
		}
		for i, s := range e.Climb.Steps {
			c.Steps = append(c.Steps, listedStep{i + 1, s.Title, s.Says})
		}
		all = append(all, c)
	}
	return all
}

func (c listedClimb) print(t terminal) {
	fmt.Fprintf(t.stdout, "%s: %s, %s at %s\n%s", c.Name, c.Title, c.Metre, c.speed, wrap(c.about, 2))
	for _, s := range c.Steps {
		fmt.Fprintf(t.stdout, "  %2d  %s\n", s.N, s.Title)
	}
	fmt.Fprintln(t.stdout)
}
