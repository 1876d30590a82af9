//go:build !(js && wasm)

package browser

import "stampmill/app/port"

// Ports returns ports behind which there is nothing: outside a browser the
// package only has to compile.
func Ports() port.Ports { return port.Ports{} }
