package speaker

import "errors"

// What Open fails with.
var (
	// ErrNoDevice: the system has no sound output, or another program holds it.
	ErrNoDevice = errors.New("there is no sound output here; connect a device or close what holds it")
	// ErrNotBuilt: the program was built without sound output.
	ErrNotBuilt = errors.New("this program was built without sound output; with C and the headers of ALSA (Debian: sudo apt-get install gcc pkg-config libasound2-dev) type: go install -tags alsa ./cmd/stampmill")
)
