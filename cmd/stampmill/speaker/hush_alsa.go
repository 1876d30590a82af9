//go:build alsa && cgo && linux

package speaker

// #cgo pkg-config: alsa
//
// #include <alsa/asoundlib.h>
//
// static void quiet(const char *file, int line, const char *function, int err, const char *fmt, ...) {}
//
// static void hush(void) { snd_lib_error_set_handler(quiet); }
import "C"

// hush keeps ALSA from writing to standard error: what fails is told once, by
// Open.
func hush() { C.hush() }
