package player

import (
	"strings"

	"stampmill/exercises/change"
)

// named returns the truth that the text of a misreading stands for; false with
// only the kind where its strokes are not known.
func (t task) named(text string) (Truth, bool) {
	if c, err := change.Parse(text); err == nil {
		return t.misread(c.Entry.Name, text)
	}
	kind, _, _ := strings.Cut(text, " ")
	return Truth{Kind: kind, Text: text}, false
}
