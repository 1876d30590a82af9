package change

import (
	"testing"

	"stampmill/exercises/meter"
)

// Names of note values: common practice. What has no name is a share of a
// whole note.
func TestLengthWords(t *testing.T) {
	for written, want := range map[string]string{
		"1/1": "a whole note", "2/1": "two whole notes", "1/2": "a half note", "3/2": "a dotted whole note", "1/4": "a quarter", "1/8": "an eighth", "1/16": "a sixteenth",
		"1/32": "a thirty-second", "1/2.": "a dotted half note", "1/4.": "a dotted quarter", "3/8": "a dotted quarter", "1/8.": "a dotted eighth", "5/8": "five eighths",
		"5/16": "five sixteenths", "1/6": "a triplet quarter", "1/12": "a triplet eighth", "1/24": "a triplet sixteenth", "5/12": "five triplet eighths",
		"1/20": "a quintuplet sixteenth", "1/28": "a septuplet sixteenth", "1/36": "1/36 of a whole note", "13/8": "13 eighths",
	} {
		length, err := meter.ParseLength(written)
		if err != nil {
			t.Fatal(err)
		}
		if got := lengthWords(length); got != want {
			t.Errorf("%s is %q, want %q", written, got, want)
		}
		if got := lengthWords(length.Neg()); got != want {
			t.Errorf("-%s is %q, want %q", written, got, want)
		}
	}
}

func TestWhere(t *testing.T) {
	six := read(t, "4/4", "kick | x . . . | x . . . | x . . . | x . . . | x . . . | x . . . |")
	for text, want := range map[string]string{
		"even kick":                "",
		"even kick at 2":           "in bar 2",
		"even kick at 2-3":         "in bars 2 and 3",
		"even kick at 1-4 6":       "in bars 1 to 4 and 6",
		"even kick at 2.4":         "on beat 4 of bar 2",
		"even kick at 2.3-2.4":     "on beats 3 and 4 of bar 2",
		"even kick at 2.1-2.3":     "on beats 1 to 3 of bar 2",
		"even kick at 1.3-2.2":     "from beat 3 of bar 1 to beat 2 of bar 2",
		"even kick at 2.4+1/8":     "in the second half of beat 4 of bar 2",
		"even kick at 2.4+1/8-3.1": "from an eighth after beat 4 of bar 2 to the end of beat 1 of bar 3",
		"add kick at 1.3 2.3":      "on beat 3 of bars 1 and 2",
		"add kick at 1.1+3/16 1.2+3/16 3.1+3/16 3.2+3/16":                   "a sixteenth before beats 2 and 3 of bars 1 and 3",
		"add kick at 1.3+1/16 1.3+3/16 2.3+1/16 2.3+3/16 3.3+1/16 3.3+3/16": "a sixteenth after beat 3 and a sixteenth before beat 4 of bars 1 to 3",
		"add kick at 1.1 1.1+1/8":                                           "on beat 1 and an eighth after beat 1 of bar 1",
		"even kick at 1.2 2.2 4":                                            "in bar 4 and on beat 2 of bars 1 and 2",
		"even kick at 1.2+1/8 2.2+1/8":                                      "in the second half of beat 2 of bars 1 and 2",
		"add kick at 1.2":                                                   "on beat 2 of bar 1",
		"add kick at 1.2 1.4 2.1":                                           "on beats 2 and 4 of bar 1, and on beat 1 of bar 2",
		"add kick at 1.2+1/12 1.4":                                          "on beat 4 and a triplet eighth after beat 2 of bar 1",
		"drop kick at 1.1 1.2 2.3 3.4":                                      "on beats 1 and 2 of bar 1, and on beat 3 of bar 2, and on beat 4 of bar 3",
		"add kick at 1.1+3/16 1.4+3/16 2.1+1/12 2.1+1/6":                    "a sixteenth before beat 2 and a sixteenth before the end of bar 1, and a triplet eighth after beat 1 and a triplet eighth before beat 2 of bar 2",
		"even kick at 1 2.4 3 4 5":                                          "in bars 1 and 3 to 5 and on beat 4 of bar 2",
	} {
		c, err := Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := c.Args.where(six); got != want {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}
