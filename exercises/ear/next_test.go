package ear

import (
	"runtime"
	"testing"
)

// A making goes on in pieces, and one that is given up in the middle of a trial
// leaves nothing behind that waits.
func TestMakingIsGivenUp(t *testing.T) {
	before, waited := runtime.NumGoroutine(), 0
	for i, s := range some(10) {
		m := Begin(what(), []Source{s}, 4, uint64(i), Trial{})
		if !m.Next() {
			waited++
		}
		m.Stop()
	}
	if waited == 0 {
		t.Error("no trial was made in pieces")
	}
	if n := runtime.NumGoroutine() - before; n > 0 {
		t.Errorf("%d of %d trials still wait", n, waited)
	}
}
