package plan

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/open-spaced-repetition/go-fsrs/v4"
)

// The vectors of FSRS 6 are those that its own repository publishes
// (open-spaced-repetition/go-fsrs at 81c1d8c, MIT), for its default weights and
// a retention of 0.9. All of them hold for v4.0.0 of the module.

const (
	a = fsrs.Again
	h = fsrs.Hard
	g = fsrs.Good
	e = fsrs.Easy
)

var fsrsStart = time.Date(2022, 11, 29, 12, 30, 0, 0, time.UTC)

// thirteen are the ratings of both scheduler vectors.
var thirteen = []fsrs.Rating{g, g, g, g, g, g, a, a, g, g, g, g, g}

func round4(x float64) float64 { return math.Round(x*1e4) / 1e4 }

func TestFSRSWeights(t *testing.T) {
	want := fsrs.Weights{.212, 1.2931, 2.3065, 8.2956, 6.4133, .8334, 3.0194, .001, 1.8722, .1666, .796, 1.4835, .0614, .2629, 1.6483, .6014, 1.8729, .5425, .0912, .0658, .1542}
	if scheduler.W != want || scheduler.RequestRetention != .9 {
		t.Errorf("weights %v, retention %v", scheduler.W, scheduler.RequestRetention)
	}
}

func TestFSRSBasicScheduler(t *testing.T) {
	f := fsrs.NewFSRS(fsrs.DefaultParam())
	card, now := fsrs.NewCard(fsrsStart), fsrsStart
	var days []uint64
	var states []fsrs.State
	for _, r := range thirteen {
		info, err := f.Next(card, now, r)
		if err != nil {
			t.Fatal(err)
		}
		card = info.Card
		days, states = append(days, card.ScheduledDays), append(states, info.ReviewLog.State)
		now = card.Due
	}
	if want := []uint64{0, 2, 11, 46, 163, 498, 0, 0, 2, 4, 7, 12, 21}; !slices.Equal(days, want) {
		t.Errorf("intervals %v, want %v", days, want)
	}
	want := slices.Concat([]fsrs.State{fsrs.New, fsrs.Learning}, slices.Repeat([]fsrs.State{fsrs.Review}, 5),
		slices.Repeat([]fsrs.State{fsrs.Relearning}, 2), slices.Repeat([]fsrs.State{fsrs.Review}, 4))
	if !slices.Equal(states, want) {
		t.Errorf("states %v, want %v", states, want)
	}
}

// The long-term vector, through the module's scheduler and through memory,
// which is what a plan goes by.
func TestFSRSLongTerm(t *testing.T) {
	wantDays := []int{3, 14, 57, 196, 586, 1559, 10, 1, 3, 5, 9, 15, 25}
	wantS := []float64{2.3065, 13.8269, 56.9567, 196.2353, 586.4835, 1559.3567, 9.8832, 1.3527, 2.392, 4.8562, 8.7624, 15.186, 25.1362}
	wantD := []float64{2.1181, 2.1112, 2.1043, 2.0975, 2.0906, 2.0837, 7.3832, 9.1251, 9.1112, 9.0973, 9.0835, 9.0696, 9.0558}
	f := scheduler
	card, now := fsrs.NewCard(fsrsStart), fsrsStart
	var m memory
	day := 0
	for i, r := range thirteen {
		info, err := f.Next(card, now, r)
		if err != nil {
			t.Fatal(err)
		}
		card = info.Card
		now = card.Due
		m = m.after(day, Rating(r))
		day = m.due
		if int(card.ScheduledDays) != wantDays[i] || round4(card.Stability) != wantS[i] || round4(card.Difficulty) != wantD[i] {
			t.Errorf("review %d: %d days, S %.4f, D %.4f, want %d, %v, %v", i+1, card.ScheduledDays, card.Stability, card.Difficulty, wantDays[i], wantS[i], wantD[i])
		}
		if m.due-m.last != wantDays[i] || round4(m.card.Stability) != wantS[i] || round4(m.card.Difficulty) != wantD[i] {
			t.Errorf("review %d, memory: %d days, %+v, want %d, %v, %v", i+1, m.due-m.last, m.card, wantDays[i], wantS[i], wantD[i])
		}
	}
}

func TestFSRSMemoryState(t *testing.T) {
	gaps := []uint64{0, 0, 1, 3, 8, 21}
	short := fsrs.DefaultParam()
	long := fsrs.DefaultParam()
	long.W[17], long.W[18], long.W[19] = 0, 0, 0
	tests := []struct {
		name    string
		weights fsrs.Parameters
		ratings []fsrs.Rating
		s, d    float64
	}{
		{"short-term", short, []fsrs.Rating{a, g, g, g, g, g}, 53.6269, 6.3575},
		{"long-term", long, []fsrs.Rating{a, g, g, g, g, g}, 53.3351, 6.3575},
		{"all ratings", short, []fsrs.Rating{a, h, g, e, g, g}, 51.0810, 6.7493},
	}
	for _, test := range tests {
		var state *fsrs.MemoryState
		for i, r := range test.ratings {
			next := test.weights.NextState(state, .9, gaps[i], r)
			state = &next.Memory
		}
		if round4(state.Stability) != test.s || round4(state.Difficulty) != test.d {
			t.Errorf("%s: %+v, want S %v D %v", test.name, *state, test.s, test.d)
		}
	}
}

// The last state vector goes through the scheduler and asks, after the six
// reviews, what one more Good at once would give.
func TestFSRSMemoryStateThroughTheScheduler(t *testing.T) {
	f := fsrs.NewFSRS(fsrs.DefaultParam())
	card, now := fsrs.NewCard(fsrsStart), fsrsStart
	for i, r := range append([]fsrs.Rating{a, g, g, g, g, g}, g) {
		info, err := f.Next(card, now, r)
		if err != nil {
			t.Fatal(err)
		}
		card = info.Card
		if i < 6 {
			now = now.Add(time.Duration([]int{0, 0, 1, 3, 8, 21}[i]) * 24 * time.Hour)
		}
	}
	if round4(card.Stability) != 54.0393 || round4(card.Difficulty) != 6.3464 {
		t.Errorf("S %.4f D %.4f, want 54.0393 and 6.3464", card.Stability, card.Difficulty)
	}
}

// Interval for stability 1 at retention .1 to 1.0. With the first four weights
// at 1 a first review leaves a stability of 1.
func TestFSRSIntervals(t *testing.T) {
	var got []float64
	for i := 1; i <= 10; i++ {
		p := fsrs.DefaultParam()
		p.W[0], p.W[1], p.W[2], p.W[3] = 1, 1, 1, 1
		next := p.NextState(nil, float64(i)/10, 0, g)
		got = append(got, min(max(math.Round(next.Interval), 1), p.MaximumInterval))
	}
	if diff := cmp.Diff([]float64{36500, 34793, 2508, 387, 90, 27, 9, 3, 1, 1}, got); diff != "" {
		t.Errorf("-want +got\n%s", diff)
	}
}

// A day counts once, by the better of its first two takes.
func TestOneRatingADay(t *testing.T) {
	at := func(day, hour int) time.Time { return time.Date(2026, 3, day, hour, 0, 0, 0, time.UTC) }
	one := remember([]Done{{At: at(1, 9), Rating: Good}, {At: at(3, 9), Rating: Easy}}, time.UTC)
	many := remember([]Done{
		{At: at(1, 9), Rating: Again}, {At: at(1, 10), Rating: Good}, {At: at(1, 11), Rating: Easy},
		{At: at(3, 9), Rating: Easy}, {At: at(3, 10), Rating: Again}, {At: at(3, 11), Rating: Again},
	}, time.UTC)
	if diff := cmp.Diff(one.card, many.card); diff != "" || one.due != many.due {
		t.Errorf("-one +many\n%s", diff)
	}
}
