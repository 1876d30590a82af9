package drill

import (
	"fmt"
	"slices"
	"strings"
)

// A mending is a text some of whose lines become others, while all the rest
// stays as it is to the last byte.
type mending struct {
	textLines
	set   map[int]string   // other text for lines, from 1
	gone  map[int]bool     // lines left out
	after map[int][]string // new lines behind a line, 0 for the front
	order []int            // the lines in their new order; nil for the old
}

func (t textLines) mend() *mending {
	return &mending{textLines: t, set: map[int]string{}, gone: map[int]bool{}, after: map[int][]string{}}
}

// line returns a line as it is so far, from 1.
func (m *mending) line(n int) string {
	if text, ok := m.set[n]; ok {
		return text
	}
	return m.lines[n-1]
}

// value puts another text in place of a piece, the only one mended in its line.
func (m *mending) value(p piece, text string) {
	line := m.lines[p.line-1]
	if p.text == "" && strings.HasSuffix(line[:p.off], ":") {
		text = " " + text
	}
	m.set[p.line] = line[:p.off] + text + line[p.off+len(p.text):]
}

// drop leaves a line out; its comment stays.
func (m *mending) drop(n int) {
	line := m.line(n)
	if comment := line[len(stripComment(line)):]; comment != "" {
		m.set[n] = comment
		return
	}
	m.gone[n] = true
}

// put adds lines behind a line, and behind those added there before.
func (m *mending) put(after int, lines ...string) {
	m.after[after] = append(m.after[after], lines...)
}

// blank tells whether a line, from 1, is empty as it stood.
func (t textLines) blank(n int) bool { return strings.TrimSpace(t.lines[n-1]) == "" }

// comment tells whether a line, from 1, is a comment and nothing else.
func (t textLines) comment(n int) bool {
	return !t.blank(n) && strings.TrimSpace(stripComment(t.lines[n-1])) == ""
}

// newline returns the ending for new lines: that of the first line.
func (t textLines) newline() string {
	if t.ends[0] == "\r\n" {
		return "\r\n"
	}
	return "\n"
}

// bytes puts the text together.
func (m *mending) bytes() ([]byte, error) {
	var out strings.Builder
	out.WriteString(m.mark)
	newline, pending := m.newline(), ""
	write := func(line, end string) {
		out.WriteString(pending)
		out.WriteString(line)
		if pending = end; !strings.HasSuffix(end, "\n") {
			pending = newline // for when something follows
		}
	}
	end := "" // of the last line, where nothing follows
	add := func(n int) {
		if n > 0 && !m.gone[n] {
			write(m.line(n), m.ends[n-1])
			end = m.ends[n-1]
		}
		for _, line := range m.after[n] {
			write(line, newline)
			end = newline
		}
	}
	if m.order == nil {
		m.order = span(1, len(m.lines))
	}
	add(0)
	for _, n := range m.order {
		add(n)
	}
	out.WriteString(end)
	if out.Len() > MaxFile {
		return nil, fmt.Errorf("the text would have %d bytes, more than %d; shorten it, or make two climbs of it", out.Len(), MaxFile)
	}
	return []byte(out.String()), nil
}

// span returns the numbers from first to last.
func span(first, last int) []int {
	var all []int
	for n := first; n <= last; n++ {
		all = append(all, n)
	}
	return all
}

// keys gives a key of a section other values, in place of those that it has;
// order is that of the keys of the section.
func (m *mending) keys(s *section, order []string, key string, want ...string) {
	have := s.keys[key]
	for i, p := range have {
		switch {
		case i >= len(want):
			m.drop(p.line)
		case p.text != want[i]:
			m.value(p, want[i])
		}
	}
	if len(want) <= len(have) {
		return
	}
	for _, value := range want[len(have):] {
		m.put(s.anchor(order, key), key+": "+value)
	}
}

// anchor returns the line behind which a key belongs: the last with that key,
// or with one that stands before it.
func (s *section) anchor(order []string, key string) int {
	for i := slices.Index(order, key); i >= 0; i-- {
		if have := s.keys[order[i]]; len(have) > 0 {
			return have[len(have)-1].line
		}
	}
	return s.at.line - 1 // only the header can be without any
}
