package change

import "testing"

// What cannot be read says what is wrong and what to do.
func TestParseSays(t *testing.T) {
	for text, want := range map[string]string{
		"":                                           "there is no change; write one such as half-time china",
		"haf-time china":                             "no change is called \"haf-time\"; did you mean half-time?",
		"polka":                                      "no change is called \"polka\"; see the list of changes, or write the voice lines out",
		"cut 2 to 3/4":                               "no change is called \"cut\"; write cut bar {bar} to {metre}, such as cut bar 2 to 7/8 (2+2+3)",
		"half-time":                                  "half-time names no voices; write half-time {voices} [at {ranges}], such as half-time china",
		"half-time chnia":                            "\"chnia\" is not a voice; did you mean china?",
		"half-time drums":                            "\"drums\" is not a voice; the voices are china, crash-left, crash-right, ride, hat, snare, kick, tom-high, tom-mid, tom-floor, guitar, bass, lead, sub, click",
		"half-time kick kick":                        "kick stands there twice; name each voice once",
		"half-time china by 2":                       "half-time takes no \"by\"; write half-time {voices} [at {ranges}], such as half-time china",
		"half-time china at":                         "nothing follows \"at\"; write half-time {voices} [at {ranges}], such as half-time china",
		"half-time at 2":                             "half-time names no voices; write half-time {voices} [at {ranges}], such as half-time china",
		"half-time china at 2 at 3":                  "\"at\" stands there twice; write it once",
		"half-time china at two":                     "\"two\" is not a place; write a bar, as 2, or bar and beat, as 2.4",
		"half-time china at 0":                       "bar 0 is out of bounds; choose one from 1 to 64",
		"half-time china at 65":                      "bar 65 is out of bounds; choose one from 1 to 64",
		"half-time china at 1.33":                    "beat 33 is out of bounds; choose one from 1 to 32",
		"half-time china at 3-2":                     "the range \"3-2\" ends before it begins; write the earlier place first",
		"half-time china at 1-2.3":                   "\"1-2.3\" goes from a bar to a beat; write bars on both sides, as 1-3, or beats, as 1.3-2.2",
		"half-time china at 1.1-1.2+1/8":             "the range \"1.1-1.2+1/8\" ends inside a beat; leave the + out after the -",
		"half-time china at 2+1/8":                   "the + of \"2+1/8\" stands after a bar; write bar and beat before it, as 2.4+1/8",
		"half-time all china":                        "\"china\" is not expected after half-time all; write half-time all, such as half-time all",
		"retime kick at 2.4":                         "retime lacks \"as {count}\"; write retime {voices} at {range} as {count}, such as retime guitar kick at 2.4 as 3",
		"retime kick at 2.4 as three":                "\"three\" is not a number of strokes; write a whole number such as 3",
		"retime kick at 2.4 as 99999999999999999999": "number of strokes 99999999999999999999 is out of bounds; choose one from 1 to 64",
		"retime kick at 2.4 as 65":                   "number of strokes 65 is out of bounds; choose one from 1 to 64",
		"retime kick at 1 2 as 3":                    "\"2\" is one too many: there is one range; leave the rest out",
		"add kick at 2":                              "\"2\" names no beat; write bar and beat, as 2.4",
		"displace china by 8":                        "\"8\" is not a note value; write it like 1/8, 1/4. or 1/12",
		"displace china by -0/8":                     "\"0/8\" is not a note value; write it like 1/8, 1/4. or 1/12",
		"squeeze kick at 1 by two":                   "\"two\" is not a factor; write it like 2, 3/2 or 1.5",
		"squeeze kick at 1 by 99":                    "the factor 99 is out of bounds; choose one from 1/16 to 16",
		"group kick in 3 3 2 filled full":            "\"full\" is not expected after \"filled\"; leave it out",
		"group kick in 0":                            "group of cells 0 is out of bounds; choose one from 1 to 32",
		"noise guitar at 1.1 as hum":                 "\"hum\" is not one of the choices; write scrape, scrape-down or harmonic",
		"swap kick at 1":                             "1 voice named where two belong; name two",
	} {
		if _, err := Parse(text); err == nil || err.Error() != want {
			t.Errorf("%q:\n is   %v\n want %s", text, err, want)
		}
	}
}

// What makes no sense on a passage is refused, and says why and what to do.
func TestApplyRefuses(t *testing.T) {
	for _, c := range []struct{ metre, lines, change, want string }{
		{"4/4", "kick | x x x x |", "half-time china", "the passage has no china; name one of kick"},
		{"4/4", "kick | x x x x |", "half-time kick at 2", "there is no bar 2; choose bar 1"},
		{"4/4", "kick | x x x x |", "half-time kick at 1.5", "bar 1, in 4/4, has no beat 5; choose beats 1 to 4"},
		{"4/4", "kick | x x x x |", "half-time kick at 1.4+1/4", "beat 4 of bar 1 ends before 1.4+1/4; name a place less than a quarter after it, or count from a later beat"},
		{"4/4", "kick | x x x x |", "half-time kick at 1 1.2", "the ranges overlap at 1.2; name each part once"},
		{"4/4", "kick | x . . . |", "half-time kick", "nothing would change; choose another, or another place"},
		{"4/4", "kick | . . . x |", "half-time kick", "nothing of the kick would be left; choose a smaller step or a longer part"},
		{"4/4", "kick | x . . . |", "half-time kick at 1.2-1.4", "the kick has no strokes on beats 2 to 4 of bar 1; name another voice or place"},
		{"4/4", "kick | x x x x |", "displace kick by 1/1", "nothing of the kick would be left; choose a smaller step or a longer part"},
		{"4/4", "kick | x x x x |", "displace kick by 1/249999", "a stroke of the kick in bar 1 would stand in parts of a beat that are too fine to write; use simpler note values"},
		{"4/4", "kick | x x x x | / guitar | x . . . |", "lock guitar to guitar", "the guitar cannot be locked to itself; name another voice to follow"},
		{"4/4", "kick | x x x x | / guitar | . . . . |", "lock kick to guitar", "the guitar has no strokes; name another voice or place"},
		{"4/4", "kick | x x x x | / guitar | x x x x |", "lock kick to guitar", "nothing would change; choose another, or another place"},
		{"4/4", "kick | x x x x | / guitar | x . . . | / bass | x x x x |", "lock guitar bass to kick", "nothing would change in the bass; leave it out, or choose another place"},
		{"4/4", "kick | x x x x |", "add kick at 1.2", "the kick has a stroke at 1.2; name another place"},
		{"4/4", "kick | x . x x |", "add kick at 1.2 1.2", "1.2 stands there twice; name each place once"},
		{"4/4", "kick | x . x x |", "drop kick at 1.2", "the kick has no stroke at 1.2; name a place where one begins"},
		{"4/4", "kick | x x x x |", "fill kick by 1/1000", "1/1000 of a whole note is too short to fill with; choose 1/16 or 1/32, say"},
		{"4/4", "kick | .x .x .x .x |", "thin kick to 1/4", "nothing of the kick would be left; choose a smaller step or a longer part"},
		{"4/4", "kick | x x x.x. x |", "even kick", "the kick is straight already, or too dense to be; leave it out, or choose another place"},
		{"4/4", "kick | x xxx x x |", "swing kick", "the kick has no second half of a beat, nor of a half beat, to come late; choose another place"},
		{"4/4", "kick | x x x x |", "squeeze kick at 1 by 1/2", "the factor is 1/2; choose one above 1, such as 3/2 or 2"},
		{"4/4", "kick | x x x x |", "retime kick at 1.1 as 64", "the change leaves the limits: kick at 1.1: 64 cells in a group; write 1 to 32 cells a beat"},
		{"4/4", "kick | x x x x |", "group kick in 3 of 1/1000", "1/1000 of a whole note is too short for a cell; choose 1/16, say"},
	} {
		change, err := Parse(c.change)
		if err != nil {
			t.Errorf("%s: %v", c.change, err)
			continue
		}
		if _, err = change.Apply(read(t, c.metre, c.lines)); err == nil || err.Error() != c.want {
			t.Errorf("%s of %s:\n is   %v\n want %s", c.change, c.lines, err, c.want)
		}
	}
}

// Parameters that no text can give are refused like any others.
func TestApplyRefusesMadeUpParameters(t *testing.T) {
	p := read(t, "4/4", "kick | x x x x |")
	for _, e := range entries() {
		if len(e.clauses) == 0 {
			continue
		}
		if _, err := (Change{&e, Args{}}).Apply(p); err == nil {
			t.Errorf("%s is made without parameters", e.Name)
		}
		bad := Args{Voices: p.Voices(), At: []Range{{Spot{Bar: -1}, Spot{Bar: 99}}}, Places: []Spot{{Bar: 1 << 40}}, Count: -1, Groups: []int{0}, Bar: -1, As: "x"}
		if _, err := (Change{&e, bad}).Apply(p); err == nil {
			t.Errorf("%s is made with impossible parameters", e.Name)
		}
	}
	if _, err := (Change{}).Apply(p); err == nil {
		t.Error("no change at all is made")
	}
}
