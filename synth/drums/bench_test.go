package drums

import "testing"

// BenchmarkKit strikes everything once, as long as each one-shot lasts.
func BenchmarkKit(b *testing.B) {
	for b.Loop() {
		for _, s := range []Struck{Kick, Snare, Rim, TomHigh, TomMid, TomFloor, Hat, OpenHat, Ride, CrashLeft, CrashRight, China} {
			play(s, Plain, s.Seconds, 48000, 1)
		}
	}
}
