package main

import (
	"encoding/json"
	"flag"
	"io"
	"os"
)

func jsonFlag(flags *flag.FlagSet) *bool {
	return flags.Bool("json", false, "print JSON")
}

// writeJSON prints one value for other programs, indented so that people can
// read it too.
func writeJSON(w io.Writer, value any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(value)
}

// isTerminal reports whether a person may be looking at w.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
