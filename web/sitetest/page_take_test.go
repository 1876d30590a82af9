//go:build !js

package sitetest

import (
	"testing"

	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// tapPrecision is how far a tap in the saved take may be from the time it was
// sent with. A page that is not isolated from other origins tells times to
// 0.1 ms, and stamped taps were measured to come back within 0.2 ms (p95); the
// test makes a fit of the two clocks of its own, from other output pairs, which
// doubles that. Measured here: 0.11 ms at most in four takes of 15 hits.
const tapPrecision = 0.4 // ms

func TestTapsComeBackWithTheErrorsTheyWereSentWith(t *testing.T) {
	host := serve(t, "/")
	tab := listener(t)
	tab.stored("settings", map[string]any{
		"v": 1, "climb": "headframe", "step": 3, "part": "kick", "passes": 2, "countin": 1, "heard": true,
		"delays": map[string]any{"keyboard": map[string]any{"ms": 30}},
	})
	tab.goTo(host.at("practise/"))
	choose(tab, "tempo", "150")
	tab.screens("practise-ready")
	tab.size(1280, 800)
	pl := plan{
		step:    climbStep(t, "headframe", 3),
		take:    grade.Take{Exercise: "headframe", Step: 3, Tempo: 150, Passes: 2, Part: []passage.Voice{passage.Kick}, Input: "keyboard"},
		errors:  func(i int) float64 { return []float64{-13, -12, 4, 0, 22, -3, 2, 38}[i%8] },
		missed:  func(i int) bool { return i == 5 },
		latency: 30,
	}
	tab.press(key{Code: "Space"})
	tab.waitFor(`document.querySelector(".page.taking .place")?.innerText.includes("Count-in")`, "the count-in")
	downbeat := tab.downbeat(4 * 60.0 / 150)
	tab.play(pl, downbeat)
	tab.theme("dark")
	tab.screen("practise-playing-dark")
	tab.waitFor(`document.querySelector(".page.judged")`, "the verdict")
	tab.screens("practise-verdict")
	tab.checkAxe()
	tab.size(1280, 800)
	tab.click(`button[data-act="save"]`)
	file := tab.offered()
	take, err := grade.ReadTake(file)
	if err != nil {
		t.Fatalf("the saved take: %v\n%s", err, file)
	}
	verdict, err := grade.Grade(pl.step, take, grade.Options{})
	if err != nil {
		t.Fatal(err)
	}
	e := pl.expected(t)
	hits := 0
	for i, pos := range verdict.Positions {
		for _, h := range pos.Hits {
			n := (h.Pass-1)*len(e.Positions) + i
			closeTo(t, "error of stroke", h.ErrorMS, pl.errors(n), tapPrecision)
			hits++
		}
	}
	if hits != len(e.Onsets)-1 || verdict.Missed != 1 || verdict.Extra != 0 {
		t.Errorf("%d hits of %d, %d missed, %d extra; want all but one", hits, len(e.Onsets), verdict.Missed, verdict.Extra)
	}
}

// In a take the words of the steps are hidden; all that stands there still has
// its name.
func TestATakeIsNamedThroughout(t *testing.T) {
	tab := listener(t)
	tab.stored("settings", map[string]any{"v": 1, "climb": "headframe", "step": 2, "part": "kick", "passes": 4, "heard": true})
	tab.size(1280, 800)
	tab.goTo(serve(t, "/").at("practise/"))
	focusOn(tab, "h1")
	tab.press(key{Code: "Space"})
	tab.waitFor(taking, "a take")
	tab.checkAxe()
	if !eval[bool](tab, taking+` !== null`) {
		t.Error("the take was over before it was looked at")
	}
}
