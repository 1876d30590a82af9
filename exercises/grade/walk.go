package grade

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// A reader walks the tokens of a text that is valid JSON.
type reader struct {
	data   []byte
	dec    *json.Decoder
	path   []pathPart // to the value that is being read
	faults Faults
}

// A pathPart is the name of a field, or where that is empty an index.
type pathPart struct {
	name  string
	index int
}

// fault notes a fault of the value at the path that begins at a byte.
func (r *reader) fault(at int, what, do string) {
	if len(r.faults) == maxFaultsRead {
		return
	}
	line, column := lineColumn(r.data, at)
	r.faults = append(r.faults, Fault{line, column, pathString(r.path), what, do})
}

// faultOf notes a fault of a field of the object at the path.
func (r *reader) faultOf(name string, at int, what, do string) {
	r.path = append(r.path, pathPart{name: name})
	r.fault(at, what, do)
	r.path = r.path[:len(r.path)-1]
}

// pathString returns the path as people write it, such as "taps[17].seconds".
func pathString(path []pathPart) string {
	s := ""
	for _, p := range path {
		switch {
		case p.name == "":
			s += "[" + strconv.Itoa(p.index) + "]"
		case s == "":
			s = p.name
		default:
			s += "." + p.name
		}
	}
	return s
}

// begin returns where the next value begins.
func (r *reader) begin() int {
	at := int(r.dec.InputOffset())
	for at < len(r.data) && strings.IndexByte(" \t\r\n,:", r.data[at]) >= 0 {
		at++
	}
	return at
}

// token returns the next token; the text is valid, so there is one.
func (r *reader) token() json.Token {
	tok, _ := r.dec.Token()
	return tok
}

// skip passes over the rest of a value whose first token was tok.
func (r *reader) skip(tok json.Token) {
	depth := 0
	for {
		switch tok {
		case json.Delim('{'), json.Delim('['):
			depth++
		case json.Delim('}'), json.Delim(']'):
			depth--
		}
		if depth <= 0 {
			return
		}
		tok = r.token()
	}
}

// A field of an object: what to do when it is missing, "" where it may be,
// and how its value is read.
type field struct {
	name   string
	needed string
	read   func()
}

// object reads an object of at most 64 fields: for each field that is known
// its reader is called.
func (r *reader) object(fields []field) {
	at := r.begin()
	if tok := r.token(); tok != json.Delim('{') {
		r.skip(tok)
		r.fault(at, "this is no JSON object", "write it in { }")
		return
	}
	seen := uint64(0) // a bit for each field
	for r.dec.More() {
		nameAt := r.begin()
		name, _ := r.token().(string)
		i := slices.IndexFunc(fields, func(f field) bool { return f.name == name })
		switch {
		case i < 0:
			r.unknown(nameAt, name, fields)
			r.skip(r.token())
		case seen&(1<<i) != 0:
			r.faultOf(name, nameAt, "the field stands twice", "leave one out")
			r.skip(r.token())
		default:
			seen |= 1 << i
			r.path = append(r.path, pathPart{name: name})
			fields[i].read()
			r.path = r.path[:len(r.path)-1]
		}
	}
	end := r.begin()
	r.token()
	for i, f := range fields {
		if f.needed != "" && seen&(1<<i) == 0 {
			r.faultOf(f.name, end, "the field is missing", f.needed)
		}
	}
}

// unknown notes a fault where an unknown field looks like a misspelt one: the
// same but for case and separators, or with one letter of six wrong. There may
// be a million of them, so most are told apart by their length.
func (r *reader) unknown(at int, name string, fields []field) {
	if len(name) > 20 || len(r.faults) == maxFaultsRead {
		return
	}
	plain := plainName(name)
	for _, f := range fields {
		wrong := len(f.name) / 6
		if plain == plainName(f.name) || abs(len(name)-len(f.name)) <= wrong && edits(name, f.name) <= wrong {
			r.faultOf(name, at, "an unknown field", fmt.Sprintf("is it %q?", f.name))
			return
		}
	}
}

func abs(n int) int { return max(n, -n) }

// plainName leaves out case and separators.
func plainName(s string) string {
	return strings.Map(func(c rune) rune {
		if c == '_' || c == '-' || c == ' ' {
			return -1
		}
		return unicode.ToLower(c)
	}, s)
}

// edits returns how many bytes must be added, left out or changed to make a
// into b (Levenshtein 1966).
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}

// list reads an array of at most most values.
func (r *reader) list(most int, read func()) {
	at := r.begin()
	tok := r.token()
	if tok != json.Delim('[') {
		r.skip(tok)
		r.fault(at, "this is no list", "write it in [ ]")
		return
	}
	for n := 0; r.dec.More(); n++ {
		if n == most {
			r.fault(r.begin(), fmt.Sprintf("more than %d values", most), "leave the rest out")
		}
		if n >= most || len(r.faults) >= maxFaultsRead {
			r.skip(r.token())
			continue
		}
		r.path = append(r.path, pathPart{index: n})
		read()
		r.path = r.path[:len(r.path)-1]
	}
	r.token()
}

// number reads a number from low to high.
func (r *reader) number(low, high float64, do string) float64 {
	at := r.begin()
	tok := r.token()
	n, ok := tok.(json.Number)
	if !ok {
		r.skip(tok)
		r.fault(at, "this is no number", do)
		return 0
	}
	x, err := n.Float64()
	if err != nil || !(x >= low && x <= high) {
		what := fmt.Sprintf("%s is outside %g to %g", clip(n.String()), low, high)
		if low == high {
			what = fmt.Sprintf("%s is not %g", clip(n.String()), low)
		}
		r.fault(at, what, do)
		return 0
	}
	return x
}

// whole reads a whole number from low to high.
func (r *reader) whole(low, high int, do string) int {
	at := r.begin()
	before := len(r.faults)
	x := r.number(float64(low), float64(high), do)
	if x != math.Trunc(x) && len(r.faults) == before {
		r.fault(at, fmt.Sprintf("%g is no whole number", x), do)
	}
	return int(x)
}

// text reads a string of at most MaxNameBytes bytes.
func (r *reader) text(do string) string {
	at := r.begin()
	tok := r.token()
	s, ok := tok.(string)
	switch {
	case !ok:
		r.skip(tok)
		r.fault(at, "this is no text", do)
	case len(s) > MaxNameBytes:
		r.fault(at, fmt.Sprintf("a text of %d bytes", len(s)), fmt.Sprintf("use at most %d", MaxNameBytes))
		return ""
	}
	return s
}

// clip shortens a text for a message.
func clip(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "") + "..."
	}
	return s
}
