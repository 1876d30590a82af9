package synth

import (
	"testing"

	"stampmill/exercises/passage"
)

// Every stroke that a voice can play has its sounds, each once, in all takes.
func TestRepertoireIsWhole(t *testing.T) {
	type stroke struct {
		voice passage.Voice
		kind  passage.Kind
	}
	takesOf, seen := map[stroke]map[uint8]bool{}, map[Key]bool{}
	for _, k := range Repertoire(passage.DefaultTuning) {
		if seen[k] {
			t.Errorf("%v stands twice", k)
		}
		seen[k] = true
		s := stroke{k.Voice, k.Kind}
		if takesOf[s] == nil {
			takesOf[s] = map[uint8]bool{}
		}
		takesOf[s][k.Take] = true
	}
	for _, v := range passage.Voices() {
		for _, kind := range v.Kinds() {
			own := kind != passage.Choke && kind != passage.Flam && kind != passage.Drag
			n := len(takesOf[stroke{v, kind}])
			if own && n != int(takes(Key{Voice: v, Kind: kind})) || !own && n != 0 {
				t.Errorf("%s %s has %d takes", v, kind, n)
			}
		}
	}
}

// BenchmarkRepertoire makes every sound there is: at most 4 s of one native
// core are wanted.
func BenchmarkRepertoire(b *testing.B) {
	keys := Repertoire(passage.DefaultTuning)
	seconds := 0.0
	for b.Loop() {
		bank := probeBank(b, 48000, nil)
		bank.Make(keys...)
		seconds = float64(bank.Bytes()) / 4 / 48000
	}
	b.ReportMetric(float64(len(keys)), "sounds")
	b.ReportMetric(seconds, "s-of-sound")
}
