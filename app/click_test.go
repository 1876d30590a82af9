package app

import (
	"testing"

	"stampmill/synth"
)

func TestClickOfYourOwn(t *testing.T) {
	s := practising(1)
	steps := []struct {
		act         Acted
		cells, uses string
	}{
		{does("click-own"), "4 of 4", "4 of 4"},
		{doesTo("cell", "2"), "2,4 of 4", "2,4 of 4"},
		{doesTo("cell", "4"), "2 of 4", "2 of 4"},
		{doesTo("cell", "2"), "2 of 4", "2 of 4"}, // the last one stays
		{doesTo("cell", "9"), "2 of 4", "2 of 4"},
		{sets("cells-of", "3"), "2 of 3", "2 of 3"},
		{sets("cells-of", "1"), "1 of 1", "1 of 1"}, // a beat has no second cell then
		{sets("cells-of", "5"), "1 of 5", "1 of 5"},
		{doesTo("click-beat", "1"), "1 of 5 on 2,3,4,5,6,7", "1 of 5 on 2,3,4,5,6,7"},
		{doesTo("click-beat", "1"), "1 of 5", "1 of 5"},
		{does("click-own"), "1 of 5", "beats"},
		{doesTo("cell", "3"), "1,3 of 5", "beats"},
		{sets("click", "offbeats"), "1,3 of 5", "offbeats"},
		{sets("click", "nonsense"), "1,3 of 5", "offbeats"},
	}
	for i, step := range steps {
		s, _ = after(s, step.act)
		if s.Settings.Cells != step.cells || s.Settings.Click != step.uses {
			t.Fatalf("step %d: cells %q, click %q, want %q and %q", i+1, s.Settings.Cells, s.Settings.Click, step.cells, step.uses)
		}
	}
	stored, bad := readSettings(s.Settings.write())
	if bad != "" || stored.Click != "offbeats" || stored.Cells != "1,3 of 5" {
		t.Errorf("stored: %q, %q, %s", stored.Click, stored.Cells, bad)
	}
}

func TestClickAndSilenceReachThePlan(t *testing.T) {
	s, _ := after(practising(1), sets("click", "2 of 3 on 4"), sets("silence", "1+1"), sets("silence", "0+1"))
	p, err := plan(s, ForTake)
	if err != nil || p.Click != synth.ClickPlaces || p.Places.String() != "2 of 3 on 4" || p.Silence != (synth.Silence{Heard: 1, Silent: 1}) {
		t.Errorf("%v %v %v, %v", p.Click, p.Places, p.Silence, err)
	}
	if p, _ = plan(s, ForHearing); p.Silence != (synth.Silence{}) {
		t.Error("hearing has silent bars")
	}
}

// The line of a take says when nothing is heard, and is drawn anew where that
// changes.
func TestSilentBarsAreSaid(t *testing.T) {
	s, _ := after(practising(1), sets("silence", "1+1"), does("start"), Began{Rate: 48000}, Reached{Pass: 0, Bar: 1})
	if got := placeWords(s); got != "Bars 1–4, pass 1 of 4" && got != "Bars 1–2, pass 1 of 4" {
		t.Errorf("heard: %q", got)
	}
	heard := placeWords(s)
	s, effects := after(s, Reached{Pass: 0, Bar: 2})
	if got := placeWords(s); got != heard+". Silent: play on" {
		t.Errorf("silent: %q", got)
	}
	if _, same := has[Same](effects); same {
		t.Error("the page was not drawn anew")
	}
}
