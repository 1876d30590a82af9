package main

import (
	"encoding/json"
	"flag"
	"fmt"
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

// counted writes a number of things: "1 step", "2 steps".
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
