package strip_test

import (
	"regexp"
	"testing"

	"stampmill/app/strip"
	"stampmill/exercises/passage"
)

var mark = regexp.MustCompile(`(?s)<g class="sm-s"[^>]*>(.*?)</g>`)

// Each stroke that a voice plays is drawn in its own way, also one that is
// added later.
func TestEveryStrokeHasItsOwnMark(t *testing.T) {
	for _, v := range passage.Voices() {
		seen := map[string]passage.Kind{}
		for _, k := range v.Kinds() {
			p := written(t, "4/4", "120", v.String()+" | "+string(k.Letter())+" . . . |")
			found := mark.FindStringSubmatch(strip.Sheet{Passage: p, Width: 976}.SVG())
			if found == nil {
				t.Errorf("%s %s is not drawn", v, k)
				continue
			}
			if like, ok := seen[found[1]]; ok {
				t.Errorf("%s %s looks like %s: %s", v, k, like, found[1])
			}
			seen[found[1]] = k
		}
	}
}
