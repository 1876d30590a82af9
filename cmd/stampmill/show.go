package main

import (
	"flag"
	"fmt"
	"strings"

	"stampmill/exercises/limbs"
	"stampmill/exercises/passage"
)

var showCommand = command{
	name: "show", operands: "FILE", least: 1, most: 1,
	does: "draw a step as a strip in text, with its counts and sticking",
	examples: []string{
		"show headframe",
		"show --step 'Three over two' --pedals 1 headframe",
		"show - --step 2 < quarry.drill",
	},
	setup: func(flags *flag.FlagSet) action {
		var pick choice
		pick.register(flags)
		feet := pedalsFlag()
		feet.register(flags)
		return func(t terminal, operands []string) error {
			c, err := pick.open(t, operands[0])
			if err != nil {
				return err
			}
			fmt.Fprintf(t.stdout, "%s, step %d of %d: %s\n", c.climb.Title, c.number, len(c.climb.Steps), c.step.Title)
			fmt.Fprint(t.stdout, wrap(metresAndTempi(c.passage.Bars), 0))
			fmt.Fprint(t.stdout, wrap(c.step.Says, 0))
			fmt.Fprint(t.stdout, picture(c.passage, feet.limbs()))
			fmt.Fprint(t.stdout, unplayable(feet.judge(c.passage)))
			return nil
		}
	},
}

// picture draws a passage with its sticking, and names the letters under it.
func picture(p passage.Passage, feet limbs.Pedals) string {
	under := sticking(p, feet)
	drawn := strings.Join(strip(p, under), "\n")
	key := legend(p)
	if strings.ContainsRune(drawn, several) {
		key += fmt.Sprintf(", %c more than fits", several)
	}
	return fmt.Sprintf("%s\n\n%s%s", drawn, wrap(key, 0), wrap(letters(under), 0))
}

// metresAndTempi tells the metre and tempo of the first bar, and those of each
// bar that changes one of them.
func metresAndTempi(bars []passage.Bar) string {
	text := ""
	for i, b := range bars {
		switch {
		case i == 0:
			text = fmt.Sprintf("%s at %s", b.Metre, b.Tempo)
		case b != bars[i-1]:
			text += fmt.Sprintf("; %s at %s from bar %d", b.Metre, b.Tempo, i+1)
		}
	}
	return text
}

// legend names the letters that a passage uses.
func legend(p passage.Passage) string {
	used := map[passage.Kind]bool{}
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			used[s.Kind] = true
		}
	}
	var words []string
	for _, k := range passage.Kinds() {
		if used[k] {
			words = append(words, string(k.Letter())+" "+k.String())
		}
	}
	return strings.Join(words, ", ")
}

// wrap breaks a text into lines of the strip's width, indented; "" stays "".
func wrap(text string, indent int) string { return wrapTo(stripWidth, text, indent) }

// wrapTo is wrap to so many columns.
func wrapTo(width int, text string, indent int) string {
	var out strings.Builder
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && indent+len([]rune(line))+1+len([]rune(word)) > width {
			fmt.Fprintf(&out, "%*s%s\n", indent, "", line)
			line = ""
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	if line != "" {
		fmt.Fprintf(&out, "%*s%s\n", indent, "", line)
	}
	return out.String()
}
