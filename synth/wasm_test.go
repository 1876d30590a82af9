//go:build !js

package synth

import (
	"encoding/binary"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"stampmill/exercises/passage"
)

// The sounds that the browser makes are those made natively: of each, the
// energy of the difference is 90 dB below its own. They need not be equal bit by
// bit, because compilers may fuse multiplications and additions and because the
// mathematical functions of a machine may be its own.
func TestBrowserMakesTheSameSounds(t *testing.T) {
	if testing.Short() {
		t.Skip("compiles a program")
	}
	got := soundsUnderNode(t)
	bank := probeBank(t, 48000, nil)
	worst, of := math.Inf(-1), Key{}
	for _, k := range written() {
		bank.Make(k)
		want := bank.Sound(k).PCM
		if len(got) < len(want) {
			t.Fatalf("%v: %d samples are left, want %d", k, len(got), len(want))
		}
		if db := differenceLevel(got[:len(want)], want); db > worst || math.IsNaN(db) {
			worst, of = db, k
		}
		got = got[len(want):]
	}
	if len(got) != 0 {
		t.Errorf("%d samples too many", len(got))
	}
	t.Logf("the most different is %v: %.0f dB", of, worst)
	if !(worst < -90) {
		t.Errorf("%v differs by %.1f dB, want below -90", of, worst)
	}
}

// written lists what the program of testdata/bank writes.
func written() []Key {
	var keys []Key
	for _, k := range Repertoire(passage.DefaultTuning) {
		if k.Take != 0 {
			continue
		}
		keys = append(keys, k)
		if k.Kind == passage.Hit {
			k.Room = -1
			keys = append(keys, k)
		}
	}
	return keys
}

// differenceLevel returns the energy of the difference against that of want, in
// dB.
func differenceLevel(got, want []float32) float64 {
	off, all := 0.0, 0.0
	for i, x := range want {
		d := float64(got[i]) - float64(x)
		off += d * d
		all += float64(x) * float64(x)
	}
	return 10 * math.Log10(off/all)
}

// soundsUnderNode compiles the program of testdata/bank for the browser and
// returns what it writes.
func soundsUnderNode(t *testing.T) []float32 {
	t.Helper()
	if _, err := exec.LookPath("node"); err != nil {
		t.Skip("node is not here; make tools installs it")
	}
	program := filepath.Join(t.TempDir(), "bank.wasm")
	build := exec.Command("go", "build", "-o", program, "./testdata/bank")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	node := exec.Command(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "go_js_wasm_exec"), program)
	node.Env = []string{"PATH=" + os.Getenv("PATH"), "HOME=" + os.Getenv("HOME")} // it hands on at most 8 KiB of environment
	node.Stderr = os.Stderr
	out, err := node.Output()
	if err != nil {
		t.Fatal(err)
	}
	pcm := make([]float32, len(out)/4)
	for i := range pcm {
		pcm[i] = math.Float32frombits(binary.LittleEndian.Uint32(out[4*i:]))
	}
	return pcm
}
