package progress

import (
	"testing"
	"time"
)

func TestWhatAPictureMeans(t *testing.T) {
	tempo := func(change func(*Tempo)) string {
		x := Tempo{Step: 5, Of: 8, Owned: 100, Highest: 100, Since: now.AddDate(0, 0, -3), Played: 30, Last: 20, Next: 102}
		x.Goal = 104
		change(&x)
		return x.Says(now)
	}
	leaning := func(first, lately Leaning, unknown int) string {
		return Report{First: first, Lately: lately, Unknown: unknown}.LeaningSays()
	}
	week := func(n Day, ms, half, spread float64) Leaning {
		return Leaning{Week: n, Takes: 9, MS: ms, Low: ms - half, High: ms + half, OK: half > 0, SpreadMS: spread}
	}
	split := func(shares ...float64) string {
		s := Split{Lately: shares}
		for range shares {
			s.Written = append(s.Written, 1/float64(len(shares)))
		}
		return s.Says()
	}
	for _, c := range []struct{ got, want string }{
		{tempo(func(*Tempo) {}), "4 under the goal: next at 102."},
		{tempo(func(x *Tempo) { x.Next = 0 }), "4 under the goal."},
		{tempo(func(x *Tempo) { x.Next = 98 }), "4 under the goal: next a little slower, at 98."},
		{tempo(func(x *Tempo) { x.Since = now.AddDate(0, 0, -24) }), "4 under the goal, the same since 2 Nov: try its hardest bar alone."},
		{tempo(func(x *Tempo) { x.Since = now.AddDate(-1, 0, 0); x.Last = 2 }), "4 under the goal: next at 102."},
		{tempo(func(x *Tempo) { x.Since = now.AddDate(-1, 0, 0) }), "4 under the goal, the same since 26 Nov 2025: try its hardest bar alone."},
		{tempo(func(x *Tempo) { x.Highest = 102 }), "4 under the goal. Passed once at 102: once more there and it is owned."},
		{tempo(func(x *Tempo) { x.Owned = 104 }), "The goal is reached: step 6 is next."},
		{tempo(func(x *Tempo) { x.Owned, x.Of = 104, 5 }), "The goal is reached."},
		{tempo(func(x *Tempo) { x.Owned, x.Highest = 0, 92 }), "Passed once, at 92: once more there and it is owned."},
		{tempo(func(x *Tempo) { x.Owned, x.Highest = 0, 0 }), "Not passed at any tempo yet: next at 102."},
		{tempo(func(x *Tempo) { x.Played = 2 }), ""},
		{tempo(func(x *Tempo) { x.Goal = 0 }), ""},

		{leaning(week(0, -24, 3, 30), week(77, -7, 2, 9), 0), "From 24 ms early to 7 ms early, give or take 2. That is tight: nothing to change."},
		{leaning(week(0, -24, 9, 30), week(77, -14, 9, 9), 0), "14 ms early, give or take 9. Wait a little longer before each stroke."},
		{leaning(week(77, 14, 0, 9), week(77, 14, 0, 9), 0), "14 ms late. Begin each stroke a little sooner."},
		{leaning(week(77, 14, 4, 26), week(77, 14, 4, 26), 0), "14 ms late, give or take 4. The hits lie far apart, ±26: slower, until they stand together."},
		{leaning(week(77, -0.3, 2, 9), week(77, -0.3, 2, 9), 0), "0 ms, give or take 2. That is tight: nothing to change."},
		{leaning(Leaning{}, Leaning{}, 4), "Early and late are not known: the delay was not measured. That takes half a minute."},
		{leaning(Leaning{}, Leaning{}, 0), ""},

		{split(.38, .34, .28), "Lately 38·34·28 %, even is 33·33·33. The third comes late: bring it forward."},
		{split(.27, .36, .37), "Lately 27·36·37 %, even is 33·33·33. The second comes early: hold it back."},
		{split(.33, .38, .29), "Lately 33·38·29 %, even is 33·33·33. The third comes late: bring it forward."},
		{split(.34, .33, .33), "Lately 34·33·33 %, even is 33·33·33. That is even: nothing to change."},
		{split(.345, .35, .305), "Lately 35·35·31 %, even is 33·33·33. The third comes late: bring it forward."},
		{split(), ""},

		{Week{0.4, 1}.Words(), "this week 1 min on one day"},
		{Week{}.Words(), "this week none yet"},
		{date(time.Date(2026, 1, 9, 23, 30, 0, 0, time.UTC), now.In(time.FixedZone("", 3600))), "10 Jan"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
