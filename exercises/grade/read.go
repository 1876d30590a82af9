package grade

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// ReadTake reads the JSON of a take. It is strict: every field but "bars",
// "stopped" and a tap's "voice", "strength" and "release" must stand there,
// once, within its limits. All faults, up to 20, are returned together as
// [Faults], each with its place and what to do.
//
// Unknown fields are ignored, so that a newer program may add some, unless
// the name looks like a misspelt known one. Taps may stand in any order and
// come back in order of time: a recorder that waits for the release of each
// key writes them in order of releases, and no time is lost by sorting.
func ReadTake(data []byte) (Take, error) {
	if f, bad := unreadable(data); bad {
		return Take{}, Faults{f}
	}
	r := &reader{data: data, dec: json.NewDecoder(bytes.NewReader(data))}
	r.dec.UseNumber()
	t := r.take()
	if len(r.faults) > 0 {
		return Take{}, r.faults
	}
	slices.SortStableFunc(t.Taps, func(a, b Tap) int { return cmp.Compare(a.Seconds, b.Seconds) })
	return t, nil
}

// unreadable returns the fault of a text that is no JSON at all.
func unreadable(data []byte) (Fault, bool) {
	if len(data) > MaxTakeBytes {
		return Fault{Line: 1, Column: 1, What: fmt.Sprintf("the take has more than %d MiB", MaxTakeBytes>>20), Do: "split it"}, true
	}
	if bytes.HasPrefix(data, []byte("\ufeff")) {
		return Fault{Line: 1, Column: 1, What: "a byte order mark before the JSON", Do: "save the file as UTF-8 without it"}, true
	}
	if !utf8.Valid(data) {
		at := 0
		for r, n := utf8.DecodeRune(data); r != utf8.RuneError || n > 1; r, n = utf8.DecodeRune(data[at:]) {
			at += n
		}
		line, column := lineColumn(data, at)
		return Fault{Line: line, Column: column, What: "a byte that is no UTF-8", Do: "save the file as UTF-8"}, true
	}
	var raw json.RawMessage
	err := json.Unmarshal(data, &raw)
	if err == nil {
		return Fault{}, false
	}
	at := len(data)
	if syntax := (*json.SyntaxError)(nil); errors.As(err, &syntax) {
		at = max(int(syntax.Offset)-1, 0)
		if strings.HasPrefix(err.Error(), "unexpected end") {
			at = len(data)
		}
	}
	line, column := lineColumn(data, at)
	return Fault{Line: line, Column: column, What: "no valid JSON: " + err.Error(), Do: "write a take as one JSON object, as simulate does"}, true
}
