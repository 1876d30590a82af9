package progress

import (
	"math"
	"time"
)

// A Day is a day of the player's calendar, counted from 1 January 1970.
type Day int

func dayOf(year int, month time.Month, day int) Day {
	return Day(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// Monday returns the Monday of the day's week.
func (d Day) Monday() Day {
	since := (int(d) + 3) % 7 // 1 January 1970 was a Thursday
	if since < 0 {
		since += 7
	}
	return d - Day(since)
}

// A calendar finds the days of moments. Moments that follow each other are most
// often of one day, so it keeps where that begins and ends: days are 23 to 25
// hours long, and asking the time zone takes long.
type calendar struct {
	zone     *time.Location
	from, to int64 // Unix seconds
	at       Day
}

// day returns the day of a moment. Moments before 1970 or beyond 32 bits of Unix
// seconds are no times of takes; a day far off stands for them.
func (c *calendar) day(t time.Time) Day {
	s := t.Unix()
	switch {
	case s >= c.from && s < c.to:
		return c.at
	case s < 0:
		return math.MinInt32
	case s > math.MaxUint32:
		return math.MaxInt32
	}
	y, m, d := t.In(c.zone).Date()
	c.at = dayOf(y, m, d)
	c.from = time.Date(y, m, d, 0, 0, 0, 0, c.zone).Unix()
	c.to = time.Date(y, m, d+1, 0, 0, 0, 0, c.zone).Unix()
	return c.at
}

// midnight returns when a day begins.
func (c *calendar) midnight(d Day) time.Time {
	y, m, day := time.Unix(int64(d)*86400, 0).UTC().Date()
	return time.Date(y, m, day, 0, 0, 0, 0, c.zone)
}

// usable reports whether a number is one.
func usable(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
