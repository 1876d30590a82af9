package progress

import "sort"

// Minutes are the minutes of takes of one day.
type Minutes struct {
	On      Day
	Minutes float64
}

// days are the days that were practised, in order.
func (w *work) days() []Minutes {
	var all []Minutes
	for d, m := range w.minutes {
		all = append(all, Minutes{d, m})
	}
	sort.Slice(all, func(i, j int) bool { return all[i].On < all[j].On })
	return all
}

// ThisWeek is the sum of the week that is now, and on how many days it was
// practised.
func (r Report) ThisWeek() (minutes float64, days int) {
	for _, d := range r.Days {
		if d.On >= r.Now.Monday() {
			minutes, days = minutes+d.Minutes, days+1
		}
	}
	return minutes, days
}
