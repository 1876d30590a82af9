package transport

import "stampmill/exercises/passage"

// Mute silences a voice, or lets it sound again, at once; it holds for every
// plan to come.
func (t *Transport) Mute(v passage.Voice, muted bool) {
	t.muted[v] = muted
	t.audio.Level(v, t.level(v))
}

// Level sets how loud a voice is, linear, 1 as mixed; it holds for every plan
// to come. A muted voice stays silent.
func (t *Transport) Level(v passage.Voice, gain float32) {
	t.levels[v] = max(gain, 0)
	t.audio.Level(v, t.level(v))
}

func (t *Transport) level(v passage.Voice) float32 {
	gain, set := t.levels[v]
	switch {
	case t.muted[v]:
		return 0
	case set:
		return gain
	}
	return 1
}

// Master sets how loud all is, linear, 1 as mixed.
func (t *Transport) Master(gain float32) {
	t.master = max(gain, 0)
	t.audio.Master(t.master)
}
