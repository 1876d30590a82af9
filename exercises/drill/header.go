package drill

import (
	"strings"

	"stampmill/exercises/passage"
)

// header reads what belongs to the whole climb.
func (m *maker) header(f file) {
	h := f.header
	for _, example := range []string{"title: Headframe", "tempo: 104", "metre: 4/4"} {
		key, _, _ := strings.Cut(example, ":")
		if _, ok := h.value(key); !ok && !h.meant[key] {
			m.note(h.at, "add a line such as "+example, "the climb has no %s", key)
		}
	}
	if len(f.steps) == 0 {
		m.note(h.at, "add a line such as step: The floor, and voice lines under it", "the climb has no steps")
	}
	text := func(key string) string { v, _ := h.value(key); return v.text }
	m.out = passage.Climb{Title: text("title"), By: text("by"), About: text("about"), Tuning: passage.DefaultTuning}
	m.tempo, _ = h.value("tempo")
	m.out.Tempo, _ = m.tempos(h)
	m.out.Metre, _ = m.metres(h)
	if v, ok := h.value("tuning"); ok {
		m.tuning(v)
	}
	if v, ok := h.value("machine"); ok {
		m.machine(v)
	}
}

func (m *maker) tuning(v piece) {
	p, err := passage.ParsePitch(v.text)
	if err != nil {
		m.addErr(v, err, "write it like A1")
		return
	}
	m.out.Tuning = p
}

func (m *maker) machine(v piece) {
	switch strings.ToLower(v.text) {
	case "yes":
		m.out.Machine = true
	case "no":
	default:
		m.add(v, "write yes or no", "machine is not %.20q", v.text)
	}
}
