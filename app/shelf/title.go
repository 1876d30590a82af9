package shelf

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxTitle is the most characters of a title, as in package drill.
const maxTitle = 120

// Summary returns the title that a text gives itself and how many steps it
// begins, whatever else is wrong with it.
func Summary(text string) (title string, steps int) {
	titled := false
	for line := range strings.Lines(text) {
		key, value := split(line)
		switch {
		case key == "step":
			steps++
		case key == "title" && !titled && steps == 0:
			title, titled = value.of(line), true
		}
	}
	return title, steps
}

// A span is a part of a line, in bytes.
type span struct{ from, to int }

func (s span) of(line string) string { return line[s.from:s.to] }

// split returns the key that a line begins with, in small letters, and where
// its value is, without white space and comment; "" where it has no key.
func split(line string) (key string, value span) {
	colon := strings.IndexByte(line, ':')
	if colon < 0 {
		return "", span{}
	}
	rest := uncommented(line[colon+1:])
	text := strings.TrimSpace(rest)
	from := colon + 1 + strings.Index(rest, text)
	key = strings.TrimSpace(strings.TrimPrefix(line[:colon], "\ufeff")) // a byte order mark
	return strings.ToLower(key), span{from, from + len(text)}
}

// uncommented cuts a comment off: from a # after white space, as in package
// drill. What comes before is behind a colon, so the start of it counts as none.
func uncommented(s string) string {
	before := ':'
	for i, c := range s {
		if c == '#' && unicode.IsSpace(before) {
			return s[:i]
		}
		before = c
	}
	return s
}

// Retitle returns the text with another title. Nothing else in it changes; a
// text without a title gets one as its first line. It refuses what the form of
// the text cannot hold.
func Retitle(text, title string) (string, error) {
	title = strings.TrimSpace(title)
	if err := goodTitle(title); err != nil {
		return "", err
	}
	at := 0
	for line := range strings.Lines(text) {
		key, value := split(line)
		if key == "step" {
			break
		}
		if key == "title" {
			return text[:at+value.from] + spaced(line, value, title) + text[at+value.to:], nil
		}
		at += len(line)
	}
	bom := ""
	if strings.HasPrefix(text, "\ufeff") {
		bom, text = "\ufeff", text[len("\ufeff"):]
	}
	return bom + "title: " + title + "\n" + text, nil
}

// spaced puts a space before a title where the line has none.
func spaced(line string, value span, title string) string {
	if line[value.from-1] == ':' {
		return " " + title
	}
	return title
}

func goodTitle(title string) error {
	switch {
	case title == "":
		return errors.New("the title is empty; write a few words")
	case utf8.RuneCountInString(title) > maxTitle:
		return fmt.Errorf("the title has more than %d characters; shorten it", maxTitle)
	case !utf8.ValidString(title), strings.ContainsFunc(title, func(r rune) bool { return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' }):
		return errors.New("the title holds a sign that is no letter; write it anew")
	case strings.HasPrefix(title, "#"), uncommented(title) != title:
		return errors.New("the title has a # that begins a comment; put something before it")
	}
	return nil
}

// suffixed returns a text with words in brackets after its title, and a number
// where another exercise has that title: "Headframe (copy 2)". A title that is
// too long for that loses its end.
func (s Shelf) suffixed(text, words string) string {
	title, _ := Summary(text)
	if title == "" {
		title = untitled
	}
	title = unsuffixed(title, words)
	taken := map[string]bool{}
	for _, e := range s.List() {
		taken[e.Title] = true
	}
	for n := 1; ; n++ {
		suffix := " (" + words + ")"
		if n > 1 {
			suffix = fmt.Sprintf(" (%s %d)", words, n)
		}
		longer := shortened(title, maxTitle-utf8.RuneCountInString(suffix)) + suffix
		if taken[longer] {
			continue
		}
		out, err := Retitle(text, longer)
		if err != nil {
			return text // a title that is wrong already stays as it is
		}
		return out
	}
}

// untitled stands for the title of a text without one in the title of its copy.
const untitled = "Without a title"

// unsuffixed takes off what suffixed put there.
func unsuffixed(title, words string) string {
	before, after, ok := strings.Cut(title, " ("+words)
	if number := strings.TrimSuffix(after, ")"); ok && before != "" && number != after && strings.Trim(number, " 0123456789") == "" {
		return before
	}
	return title
}

func shortened(s string, most int) string {
	if letters := []rune(s); len(letters) > most {
		return strings.TrimSpace(string(letters[:most]))
	}
	return s
}
