package synth

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/passage"
)

// A bank made in slices, as the browser does, is the bank made in one go.
func TestBankInSlices(t *testing.T) {
	keys := sequence(t, Plan{Passage: strip(t, "4/4", "240", "kick:x x . .", "guitar:x . o .")}).Keys()
	whole, sliced := probeBank(t, 48000, nil), probeBank(t, 48000, nil)
	whole.Make(keys...)
	for n, missing := 0, sliced.Missing(keys); len(missing) > 0; n++ {
		if n > len(keys) {
			t.Fatal("the bank is never complete")
		}
		m := sliced.Begin(missing[0])
		for !m.Step(333) {
		}
		if !m.Step(333) {
			t.Error("a finished sound goes on")
		}
		missing = sliced.Missing(keys)
	}
	for _, k := range keys {
		if d := difference(whole.Sound(k).PCM, sliced.Sound(k).PCM); d != 0 {
			t.Errorf("%v differs by %g", k, d)
		}
	}
	if whole.Bytes() != sliced.Bytes() || whole.Bytes() == 0 {
		t.Errorf("%d and %d bytes", whole.Bytes(), sliced.Bytes())
	}
}

// While the bank is being made, the nearest finished sound stands in: another
// take first, then another length, then another pitch, then the other guitar;
// never another stroke.
func TestNear(t *testing.T) {
	open := Key{Voice: passage.Guitar, Kind: passage.Open, Pitch: 33, Side: 1, Millis: 1000}
	with := func(f func(*Key)) Key { k := open; f(&k); return k }
	take := with(func(k *Key) { k.Take = 1 })
	longer := with(func(k *Key) { k.Millis = 2000 })
	higher := with(func(k *Key) { k.Pitch = 35 })
	other := with(func(k *Key) { k.Side = -1 })
	muted := with(func(k *Key) { k.Kind = passage.Hit })
	b := probeBank(t, 48000, []Key{muted})
	if s := b.Near(open); s != nil {
		t.Errorf("%v stands in for an open string", s.Key)
	}
	for _, k := range []Key{other, higher, longer, take, open} { // each nearer than the one before
		b.Put(&Sound{Key: k, PCM: []float32{1}})
		if diff := cmp.Diff(k, b.Near(open).Key); diff != "" {
			t.Errorf("-want +got\n%s", diff)
		}
	}
}

func TestBankRefusesRates(t *testing.T) {
	if _, err := NewBank(22050, 1); err == nil {
		t.Error("22050 Hz was taken")
	}
}

// Whatever a key says, its sound is finite and within full scale.
func FuzzBegin(f *testing.F) {
	f.Add(uint8(passage.Guitar), uint8(passage.Bend), 33, uint8(2), uint8(1), int8(-1), int32(500), uint64(1))
	f.Add(uint8(passage.Lead), uint8(passage.Tremolo), 88, uint8(0), uint8(0), int8(0), int32(10), uint64(2))
	f.Add(uint8(passage.Sub), uint8(passage.Accent), 29, uint8(0), uint8(0), int8(0), int32(8000), uint64(3))
	f.Add(uint8(passage.China), uint8(passage.Hit), -7, uint8(9), uint8(3), int8(1), int32(-1), uint64(0))
	f.Fuzz(func(t *testing.T, voice, kind uint8, pitch int, bend, take uint8, side int8, millis int32, seed uint64) {
		key := Key{passage.Voice(voice), passage.Kind(kind), passage.Pitch(pitch), bend, take, side, millis, 0}
		part := make([]float32, 4410)
		n := Begin(key, 44100, seed).Read(part)
		for i, x := range part[:n] {
			if !(math.Abs(float64(x)) <= 1) {
				t.Fatalf("%v: sample %d is %g", key, i, x)
			}
		}
	})
}
