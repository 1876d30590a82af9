package logbook

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"strings"

	"stampmill/app/port"
	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
)

// TextPrefix begins the names of the texts, each with its [Hash].
const TextPrefix = "text/"

// TextOf returns a climb as text with every step written out, so that a take
// can be judged by what was played whatever becomes of the climb and of the
// changes that made its steps. Reading it with [Steps] gives steps that sound
// and are graded the same. The error is for a climb that has no such text.
func TextOf(c passage.Climb) (string, error) {
	c.About, c.By = "", ""
	steps := make([]passage.Step, len(c.Steps))
	for i, s := range c.Steps {
		steps[i] = drill.Written(s.Title, "", s.Passage)
	}
	c.Steps = steps
	text, err := drill.Print(c)
	return string(text), err
}

// Hash names a text: the first 16 bytes of its SHA-256 (FIPS 180-4), in
// hexadecimal. So many make no two texts of a player share a name.
func Hash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:hashBytes])
}

const hashBytes = 16

func isHash(s string) bool {
	return len(s) == 2*hashBytes && strings.Trim(s, "0123456789abcdef") == ""
}

// Steps reads the steps of a stored text.
func Steps(text string) ([]passage.Step, error) {
	climb, problems := drill.Parse("text", []byte(text), nil)
	if len(problems) > 0 {
		return nil, errors.New("the text it was played from cannot be read; the take is kept")
	}
	return climb.Steps, nil
}

// shelfOfTexts are the steps of the texts that were read, by their hash; none
// for those that are not there.
type shelfOfTexts struct {
	b     *Book
	steps map[string][]passage.Step
}

func newSteps() map[string][]passage.Step { return map[string][]passage.Step{} }

// with reads the texts of takes that are not read yet, and then goes on.
func (x shelfOfTexts) with(takes []port.Record, then func(error)) {
	var names []string
	for _, r := range takes {
		hash := textOf(r.Value)
		if _, ok := x.steps[hash]; hash != "" && !ok {
			x.steps[hash] = nil
			names = append(names, TextPrefix+hash)
		}
	}
	if len(names) == 0 {
		then(nil)
		return
	}
	x.b.device.Archive.Get(names, func(texts []port.Record, err error) {
		for _, t := range texts {
			x.steps[strings.TrimPrefix(t.Name, TextPrefix)], _ = Steps(string(t.Value))
		}
		then(err)
	})
}

// textOf is the hash of the text of a stored take; "" where it names none.
func textOf(record []byte) string {
	var r struct {
		Text string `json:"text"`
	}
	if json.Unmarshal(record, &r) != nil || !isHash(r.Text) {
		return ""
	}
	return r.Text
}
