package plan

import (
	"time"

	"github.com/open-spaced-repetition/go-fsrs/v4"
)

// scheduler has the published weights of FSRS 6, with steps of days only: the
// steps of minutes are for cards, and a sitting has its own turns. Nothing is
// drawn by lot.
var scheduler = func() *fsrs.FSRS {
	p := fsrs.DefaultParam()
	p.EnableShortTerm, p.EnableFuzz = false, false
	return fsrs.NewFSRS(p)
}()

// A memory is what is known of an item after its last day; the zero value is
// that of an item never played.
type memory struct {
	card fsrs.Card
	last int // day played last
	due  int // day it comes back
}

// remember folds what was done, in order of time, day by day. Of a day the
// better of the first two takes counts, for the first may be the warm-up; that
// is our choice.
func remember(done []Done, zone *time.Location) memory {
	var m memory
	for i := 0; i < len(done); {
		day := dayOf(done[i].At, zone)
		rating, n := Again, 0
		for ; i < len(done) && dayOf(done[i].At, zone) == day; i++ {
			if n++; n <= 2 {
				rating = max(rating, done[i].Rating.sound())
			}
		}
		m = m.after(day, rating)
	}
	return m
}

// after returns the memory after a day that went as rated. A day that FSRS
// cannot reckon with leaves the item due on the next.
func (m memory) after(day int, r Rating) memory {
	next, err := scheduler.Next(m.card, noon(day), fsrs.Rating(r))
	if err != nil {
		return memory{m.card, day, day + 1}
	}
	return memory{next.Card, day, day + int(next.Card.ScheduledDays)}
}

// recall returns the probability that the item holds on a day, 0 to 1.
func (m memory) recall(day int) float64 {
	return scheduler.ForgettingCurve(float64(max(0, day-m.last)), m.card.Stability)
}

// noon is a moment of a day, as FSRS counts days.
func noon(day int) time.Time { return time.Unix(int64(day)*daySeconds+daySeconds/2, 0).UTC() }
