package main

import (
	"flag"
	"fmt"
	"math"
	"strconv"
	"strings"

	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/synth"
)

// parseInterleaved reads flags that may stand before, between or after the
// operands, which it returns. Everything behind -- is an operand.
func parseInterleaved(flags *flag.FlagSet, args []string) ([]string, error) {
	var operands []string
	for {
		if err := flags.Parse(args); err != nil {
			return nil, err
		}
		left := flags.Args()
		if read := len(args) - len(left); read > 0 && args[read-1] == "--" {
			return append(operands, left...), nil
		}
		if len(left) == 0 {
			return operands, nil
		}
		operands = append(operands, left[0])
		args = left[1:]
	}
}

// plainFlagError says in plain words what package flag says of a wrong flag.
func plainFlagError(err error) string {
	text := err.Error()
	if name, ok := strings.CutPrefix(text, "flag provided but not defined: -"); ok {
		return "there is no flag " + dashes(name) + " here"
	}
	if name, ok := strings.CutPrefix(text, "flag needs an argument: -"); ok {
		return dashes(name) + " needs a value"
	}
	if rest, ok := strings.CutPrefix(text, "invalid boolean value "); ok {
		value, rest, _ := strings.Cut(rest, " for -")
		name, _, _ := strings.Cut(rest, ": ")
		return fmt.Sprintf("%s takes no value, and got %s", dashes(name), value)
	}
	if rest, ok := strings.CutPrefix(text, "invalid value "); ok {
		if value, rest, ok := strings.Cut(rest, " for flag -"); ok {
			name, why, _ := strings.Cut(rest, ": ")
			if why == "parse error" || why == "value out of range" {
				why = "not a whole number from 0 on"
			}
			return fmt.Sprintf("%s %s: %s", dashes(name), value, why)
		}
	}
	return text
}

// A tempoFlag is a tempo in beats a minute; zero when it was not given.
type tempoFlag struct{ bpm meter.Rat }

func (f *tempoFlag) String() string {
	if f.bpm == (meter.Rat{}) {
		return ""
	}
	return f.bpm.String()
}

func (f *tempoFlag) Set(s string) error {
	bpm, err := meter.ParseRat(s)
	if err != nil {
		return fmt.Errorf("not a tempo; write beats a minute like 104 or 99.5")
	}
	f.bpm = bpm
	return meter.Tempo{BPM: bpm}.Check()
}

// A voicesFlag is a list of voices, each once; nil when it was not given.
type voicesFlag struct{ voices []passage.Voice }

func (f *voicesFlag) String() string {
	names := make([]string, len(f.voices))
	for i, v := range f.voices {
		names[i] = v.String()
	}
	return strings.Join(names, ",")
}

func (f *voicesFlag) Set(s string) error {
	f.voices = nil
	seen := map[passage.Voice]bool{}
	for _, name := range strings.Split(s, ",") {
		v, ok := passage.VoiceNamed(strings.TrimSpace(name))
		if !ok {
			return fmt.Errorf("there is no voice %q; %s", name, suggestVoice(name))
		}
		if !seen[v] {
			f.voices = append(f.voices, v)
		}
		seen[v] = true
	}
	return nil
}

func suggestVoice(name string) string {
	var names []string
	for _, v := range passage.Voices() {
		names = append(names, v.String())
	}
	if near, ok := drill.Nearest(name, names); ok {
		return "did you mean " + near + "?"
	}
	return "they are " + strings.Join(names, " ")
}

// A numberFlag is a finite number within bounds.
type numberFlag struct {
	value, least, most float64
	unset              bool // print no default
	given              bool
}

func (f *numberFlag) String() string {
	if f.unset {
		return ""
	}
	return strconv.FormatFloat(f.value, 'g', -1, 64)
}

func (f *numberFlag) Set(s string) error {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(x) || x < f.least || x > f.most {
		return fmt.Errorf("not a number from %g to %g", f.least, f.most)
	}
	f.value, f.given = x, true
	return nil
}

// A countFlag is a whole number within bounds.
type countFlag struct{ value, least, most int }

func (f *countFlag) String() string { return strconv.Itoa(f.value) }

func (f *countFlag) Set(s string) error {
	n, err := strconv.Atoi(s)
	if err != nil || n < f.least || n > f.most {
		return fmt.Errorf("not a whole number from %d to %d", f.least, f.most)
	}
	f.value = n
	return nil
}

// A clickFlag says where a metronome sounds; nowhere when it was not given.
type clickFlag struct {
	click  synth.Click
	places synth.Places
	text   string
}

func (f *clickFlag) String() string { return f.text }

func (f *clickFlag) Set(s string) (err error) {
	f.text = s
	f.click, f.places, err = synth.ParseClick(s)
	return err
}

// A silenceFlag is bars heard and bars silent in turn.
type silenceFlag struct{ synth.Silence }

func (f *silenceFlag) String() string { return f.Silence.String() }

func (f *silenceFlag) Set(s string) (err error) {
	f.Silence, err = synth.ParseSilence(s)
	return err
}

// A tuningFlag is the note of the lowest string; 0 when it was not given.
type tuningFlag struct{ pitch passage.Pitch }

func (f *tuningFlag) String() string {
	if f.pitch == 0 {
		return ""
	}
	return f.pitch.String()
}

func (f *tuningFlag) Set(s string) (err error) {
	f.pitch, err = passage.ParsePitch(s)
	return err
}

// A viewFlag is from where the drums are heard.
type viewFlag struct{ synth.View }

func (f *viewFlag) Set(s string) (err error) {
	f.View, err = synth.ParseView(s)
	return err
}
