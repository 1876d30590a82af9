//go:build !(js && wasm)

package browser

import "stampmill/app"

// Ports returns ports behind which there is nothing: outside a browser the
// package only has to compile.
func Ports() app.Ports { return app.Ports{} }
