package app

import (
	"strconv"
	"strings"

	"stampmill/app/chart"
	"stampmill/app/progress"
	agenda "stampmill/exercises/plan"
)

func init() {
	for name, act := range map[string]func(State, Acted) (State, []Effect){
		"due": openItem,
		"practise-go": func(s State, _ Acted) (State, []Effect) {
			s.Target = "go"
			return s, []Effect{Go{"/practise/"}}
		},
		"minutes": haveMinutes,
		"progress-span": func(s State, m Acted) (State, []Effect) {
			if _, ok := progress.SpanNamed(m.Arg); ok {
				s.Progress.Span = m.Arg
			}
			return s, nil
		},
		"progress-every":  func(s State, _ Acted) (State, []Effect) { s.Progress.Every = !s.Progress.Every; return s, nil },
		"progress-tuplet": func(s State, m Acted) (State, []Effect) { s.Progress.Tuplet = m.Value; return s, nil },
		"progress-weak":   chooseWeak,
		"progress-bar":    practiseBar,
		"chart-svg":       saveChart("image/svg+xml", ".svg", func(c chart.Chart, s State) string { return c.Standalone(s.chartTheme()) }),
		"chart-csv":       saveChart("text/csv;charset=utf-8", ".csv", func(c chart.Chart, _ State) string { return chart.CSV(c.Rows()) }),
		"takes-page":      turnPage,
		"listen-go": func(s State, _ Acted) (State, []Effect) {
			s.Target = "listen-start"
			return s, []Effect{Go{listenPath}}
		},
		"take-open": func(s State, m Acted) (State, []Effect) {
			if s.Progress.Open == m.Arg {
				m.Arg = ""
			}
			s.Progress.Open = m.Arg
			return s, nil
		},
		"take-save": func(s State, m Acted) (State, []Effect) { return s, []Effect{SaveTake{m.Arg}} },
		"print":     func(s State, _ Acted) (State, []Effect) { return s, []Effect{Print{}} },
	} {
		acts[name] = act
	}
}

func haveMinutes(s State, m Acted) (State, []Effect) {
	n, err := strconv.Atoi(m.Value)
	if err != nil || !within(n, 1, agenda.MaxMinutes) {
		return s, nil
	}
	return with(s, func(x *Settings) { x.Minutes = n })
}

func chooseWeak(s State, m Acted) (State, []Effect) {
	if names := strings.SplitN(m.Value, "\n", 3); len(names) == 3 {
		s.Progress.Weak = progress.Chosen{Exercise: names[0], Title: names[1], Part: names[2]}
	}
	return s, nil
}

// practiseBar opens Practise on the bar of the weak places.
func practiseBar(s State, m Acted) (State, []Effect) {
	bar, err := strconv.Atoi(m.Arg)
	if err != nil {
		return s, nil
	}
	w := s.sight().report.Weak
	return practiseStep(s, w.Exercise, w.Title, w.Part, Range{bar, bar})
}

// sight is what the page shows, made anew: for what happens seldom.
func (s State) sight() sight { return sightOf(s, progress.Of(s.Book, s.question())) }

// saveChart hands out a chart as a file.
func saveChart(mime, ending string, write func(chart.Chart, State) string) func(State, Acted) (State, []Effect) {
	return func(s State, m Acted) (State, []Effect) {
		for _, c := range s.sight().cards() {
			if c.id == m.Arg && c.chart != nil {
				return s, []Effect{SaveFile{"stampmill-" + c.id + ending, mime, []byte(write(c.chart, s))}}
			}
		}
		return s, nil
	}
}

// chartTheme is the theme of files: what the player chose, else light, as paper.
func (s State) chartTheme() chart.Theme {
	if s.Settings.Theme == "dark" {
		return chart.Dark
	}
	return chart.Light
}

// turnPage goes to a page of the takes.
func turnPage(s State, m Acted) (State, []Effect) {
	page, err := strconv.Atoi(m.Arg + m.Value) // a button says it in one, the list in the other
	if err != nil {
		return s, nil
	}
	s.Progress.Page, s.Progress.Open = min(max(page, 0), pagesOf(len(s.Book))-1), ""
	return s, nil
}
