package drill

import (
	"fmt"
	"strings"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// tempos reads the tempo list of a section: nil when it has none, false when
// it has mistakes.
func (m *maker) tempos(s *section) ([]meter.Tempo, bool) {
	return values(m.report, s, "tempo", meter.ParseTempo)
}

func (m *maker) metres(s *section) ([]meter.Metre, bool) {
	return values(m.report, s, "metre", meter.ParseMetre)
}

// values reads a list with one value for each bar. Since the last goes on,
// repeats at the end are dropped.
func values[T comparable](r *report, s *section, key string, parse func(string) (T, error)) ([]T, bool) {
	v, ok := s.value(key)
	if !ok || v.text == "" {
		return nil, !ok
	}
	items := v.split(passage.MaxBars + 1)
	if len(items) > passage.MaxBars {
		r.add(items[passage.MaxBars].trim(), fmt.Sprintf("write at most %d", passage.MaxBars), "%s is given for %d bars", key, strings.Count(v.text, "|")+1)
		return nil, false
	}
	var all []T
	good := true
	for _, item := range items {
		if n := len(item.text); n > maxItem {
			r.add(item, "write it shorter", "a %s of %d characters", key, n)
			good = false
			continue
		}
		x, err := parse(item.trim().text)
		if err != nil {
			r.addErr(item.trim(), err, "write one value for each bar, separated by |")
			good = false
		}
		all = append(all, x)
	}
	if !good {
		return nil, false
	}
	return shorten(all), true
}

// spread gives each of n bars its value of a list whose last goes on.
func spread[T any](list []T, n int) []T {
	all := make([]T, n)
	for i := range all {
		all[i] = list[min(i, len(list)-1)]
	}
	return all
}

// shorten drops repeats at the end of a list whose last goes on.
func shorten[T comparable](list []T) []T {
	for len(list) > 1 && list[len(list)-1] == list[len(list)-2] {
		list = list[:len(list)-1]
	}
	return list
}
