package drill

import (
	"fmt"
	"slices"
	"strings"
)

// SetHeader returns the text with another value for a key of the header, such
// as title, tempo, metre or tuning; "" leaves out a key that need not be there.
// Steps keep their lines, so what no longer fits a new metre is a problem of
// the next reading.
func (r Reading) SetHeader(key, value string) ([]byte, error) {
	key = strings.ToLower(key)
	if !slices.Contains(headerKeys, key) {
		return nil, fmt.Errorf("%.40q is not a key of the header; the keys are %s", key, strings.Join(headerKeys, ", "))
	}
	if err := r.wasRead(); err != nil {
		return nil, err
	}
	m := r.text.mend()
	if value == "" && (key == "title" || key == "tempo" || key == "metre") {
		return nil, fmt.Errorf("the climb has no %s then; give it one", key)
	}
	if value == "" {
		m.keys(r.file.header, headerKeys, key)
		return m.bytes()
	}
	if why := unprintable(key, value); why != "" {
		return nil, fmt.Errorf("%s %.40q %s", key, value, why)
	}
	if err := wrongValue(key, value); err != nil {
		return nil, err
	}
	m.keys(r.file.header, headerKeys, key, value)
	return m.bytes()
}

// wrongValue reads a value of the header and returns what is wrong with it.
func wrongValue(key, value string) error {
	rep := &report{most: 1, mute: make([]bool, 2)}
	m := newMaker(rep, &memory{})
	at := piece{value, 1, 0}
	s := newSection(at)
	s.keys[key] = []piece{at}
	switch key {
	case "tempo":
		m.tempos(s)
	case "metre":
		m.metres(s)
	case "tuning":
		m.tuning(at)
	case "machine":
		m.machine(at)
	}
	if len(rep.found) > 0 {
		return fmt.Errorf("%s; %s", rep.found[0].what, rep.found[0].do)
	}
	return nil
}
