//go:build alsa && cgo && linux

package speaker

import (
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// What ALSA is given is the source, frame by frame. The output is a file in
// place of a device, which takes frames faster than they are made, so silence
// stands between them; the source has none.
func TestPlayReachesTheDevice(t *testing.T) {
	dir := t.TempDir()
	raw, conf := filepath.Join(dir, "raw"), filepath.Join(dir, "asound.conf")
	text := fmt.Sprintf("pcm.!default { type file file %q format raw slave.pcm { type null } }\n", raw)
	if err := os.WriteFile(conf, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv("ALSA_CONFIG_PATH", conf)
	out, err := Open(48000)
	if err != nil {
		t.Fatal(err)
	}
	const frames = 20_000
	if err := out.Play(counting(frames)); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(raw)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for i := 0; i+frameBytes <= len(data); i += frameBytes {
		left := math.Float32frombits(binary.LittleEndian.Uint32(data[i:]))
		right := math.Float32frombits(binary.LittleEndian.Uint32(data[i+4:]))
		if left == 0 {
			continue
		}
		if n++; left != float32(n)/1000 || right != -left {
			t.Fatalf("frame %d is %g and %g", n, left, right)
		}
	}
	if n != frames {
		t.Errorf("%d frames of %d reached the device", n, frames)
	}
}
