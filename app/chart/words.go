package chart

import "strings"

// wrap cuts words into lines of at most so many letters; a longer word has a
// line of its own.
func wrap(words string, most int) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(words) {
		switch {
		case line == "":
			line = w
		case len(line)+1+len(w) <= most:
			line += " " + w
		default:
			lines, line = append(lines, line), w
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// needed is how many takes a line takes to be one. Our choice.
const needed = 3

// missing says how many takes are missing for a line.
func missing(takes int) string {
	return [...]string{"Three more takes", "Two more takes", "One more take"}[min(takes, needed-1)] + " and a line can be drawn."
}

// list joins words: "a", "a and b", "a, b and c".
func list(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

func sentence(words string) string {
	if words == "" {
		return ""
	}
	return strings.ToUpper(words[:1]) + words[1:] + "."
}
