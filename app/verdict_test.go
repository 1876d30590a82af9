package app

import (
	"strings"
	"testing"

	goapp "github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// playBoth plays snare and kick by their keys, the snare late by some ms.
func playBoth(s State, snareLate float64) State {
	s, _ = after(s, does("start"), Began{Rate: 48000}, Reached{Pass: 0, Bar: 1})
	snares := 0
	for _, o := range s.Take.Expected.Onsets {
		code, label, late := "KeyF", "f", 0.010
		if s.Take.Expected.Positions[o.Position].Voices.Has(passage.Snare) {
			code, label, late = "KeyJ", "j", 0.010+snareLate/1000
			if snareLate > 100 { // no one distance: that would be a misreading
				late *= 0.4 + 0.15*float64(snares*3%7)
				snares++
			}
		}
		s, _ = after(s, down(code, label).at(o.Seconds+late))
	}
	s, _ = after(s, Ended{noon})
	return s
}

// A voice that stands in the way is suggested by itself, by one key; when it
// passes, all of the part together.
func TestOneVoiceAlone(t *testing.T) {
	s := practising(2)
	s, _ = after(s, sets("part", "snare+kick"))
	s = playBoth(s, 300) // half of the beat: beyond every window
	first := s.actions()[0]
	if first != (action{"alone", "snare", "Only the snare", "V"}) {
		t.Fatalf("first action %+v after %q", first, s.Verdict.sentences())
	}
	s, _ = after(s, down("KeyV", "v"))
	if s.Phase != Starting || s.part() != (Part{"snare", false}) || !s.alone() {
		t.Fatalf("phase %v, part %v", s.Phase, s.part())
	}
	s, _ = after(s, Began{Rate: 48000}, Reached{Pass: 0, Bar: 1})
	for i, o := range s.Take.Expected.Onsets {
		s, _ = after(s, down("KeyJ", "j").at(o.Seconds+0.010+float64(i%2)*.002))
	}
	s, _ = after(s, Ended{noon})
	if words := suggestionWords(s); words != "The snare alone is done at 92. Now the snare and kick together." {
		t.Errorf("says %q", words)
	}
	if first := s.actions()[0]; first.act != "together" || first.key != "V" {
		t.Errorf("first action %+v", first)
	}
	s, _ = after(s, down("KeyV", "v"))
	if s.Phase != Starting || s.part() != (Part{"snare+kick", false}) || s.alone() {
		t.Errorf("phase %v, part %v", s.Phase, s.part())
	}
}

// Every kind of suggestion starts by one key, which no other action has.
func TestEverySuggestionHasAKey(t *testing.T) {
	s, _ := playTake(practising(2), 22)
	s.Settings.Follow = false // else the tempo is that of the staircase
	for kind, act := range map[grade.NextKind]string{
		grade.Again: "again", grade.Slower: "faster", grade.Faster: "faster", grade.LoopBars: "loop", grade.WholeStep: "whole-go",
		grade.NextStep: "next", grade.MeasureDelay: "measure-go", grade.VoiceAlone: "alone", grade.HearIt: "hear",
	} {
		v := *s.Verdict
		v.Next = grade.Next{Kind: kind, BPM: 80, First: 1, Last: 1, Voice: passage.Snare}
		s.Verdict = &v
		all := s.actions()
		if _, there := acts[all[0].act]; !there || all[0].act != act || all[0].key == "" {
			t.Errorf("%v: first action %+v", v.Next, all[0])
		}
		seen := map[string]bool{}
		for _, a := range all {
			if seen[a.key] {
				t.Errorf("%v: two actions for %s", v.Next, a.key)
			}
			seen[a.key] = true
		}
	}
}

// What it takes to move on is the player's to set: takes are graded by it, the
// last one too, and Practise says it.
func TestMarksAreThePlayersOwn(t *testing.T) {
	s, _ := playTake(practising(1), 10)
	if !s.Verdict.Passed {
		t.Fatalf("a clean take does not pass: %v", s.Verdict.sentences())
	}
	s = practising(1)
	s, _ = after(s, does("start"), Began{Rate: 48000}, Reached{Pass: 0, Bar: 1})
	for i, o := range s.Take.Expected.Onsets {
		if (i+i/8)%8 > 0 { // 28 of 32 hit, and no stroke left out in every pass
			s, _ = after(s, down("KeyF", "f").at(o.Seconds+.010+float64(i%2)*.002))
		}
	}
	s, _ = after(s, Ended{noon})
	if s.Verdict.Passed {
		t.Fatal("28 of 32 pass by the usual marks")
	}
	marks := func(name, value string) Acted { return Acted{Act: "marks", Arg: name, Value: value} }
	s, effects := after(s, marks("hits", "80"))
	if own, ok := has[Own](effects); !s.Verdict.Passed || !ok || own.Tempo != s.Tempo {
		t.Errorf("at 80 of 100: passed %v, %+v", s.Verdict.Passed, own)
	}
	for _, m := range []Acted{marks("hits", "49"), marks("hits", "many"), marks("extra", "-1"), marks("spread", "51")} {
		refused, _ := after(s, m)
		if refused.Settings.passing() != s.Settings.passing() || !strings.Contains(refused.Setup.Marked, " holds.") {
			t.Errorf("%s %s: %+v, said %q", m.Arg, m.Value, refused.Settings.passing(), refused.Setup.Marked)
		}
	}
	s, _ = after(practising(1), marks("hits", "100"), marks("extra", "0"), marks("spread", "12,4"))
	html := goapp.HTMLString(view(s, draw(s)))
	if !strings.Contains(html, "32 of 32") || !strings.Contains(html, "at most 0 too many, spread within ±12 ms") {
		t.Error("Practise does not say the marks that hold")
	}
	if s, _ = after(s, does("marks-usual")); s.Settings.passing() != grade.DefaultPassing {
		t.Errorf("the usual values: %+v", s.Settings.passing())
	}
}
