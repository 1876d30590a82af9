package app

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/synth"
)

func TestStoredSettingsComeBack(t *testing.T) {
	s := startSettings()
	s.Delays["touch"] = Delay{MS: 38.5, Spread: 5, N: 22}
	s.Keys["kick"] = []Key{{"Space", "Space"}, {"KeyQ", "A"}}
	s.Theme, s.Areas, s.Climb, s.Step = "light", 4, "cage", 3
	s.PassHits, s.PassExtra, s.PassSpread = 100, 0, 12
	got, bad := readSettings(s.write())
	if diff := cmp.Diff(s, got); diff != "" || bad != "" {
		t.Errorf("bad %q (-want +got):\n%s", bad, diff)
	}
}

// One bad value costs only itself; a record that is none costs all.
func TestBadSettingsAreThoseOfANewPlayer(t *testing.T) {
	plain := startSettings()
	for _, c := range []struct{ stored, bad string }{
		{``, "all settings"},
		{`not JSON`, "all settings"},
		{`[]`, "all settings"},
		{`{}`, "all settings"},
		{`{"v":99}`, "all settings"},
		{`{"v":0}`, "all settings"},
		{`{"v":1}`, ""},
		{`{"v":1,"areas":3}`, "the touch areas"},
		{`{"v":1,"areas":"two","master":1000}`, "the touch areas, the level"},
		{`{"v":1,"keys":{"kick":[{"code":"Escape"}]}}`, "the keys"},
		{`{"v":1,"keys":{"kick":[{"code":"KeyJ"}]}}`, "the keys"}, // J is the snare's
		{`{"v":1,"keys":{"drums":[]}}`, "the keys"},
		{`{"v":1,"delays":{"keyboard":{"ms":1e9}}}`, "the delay"},
		{`{"v":1,"delays":null,"keys":null,"levels":null}`, "the keys, the delay, the levels"},
		{`{"v":1,"click":"loud"}`, "the click"},
		{`{"v":1,"theme":"pink"}`, "the look"},
		{`{"v":2,"view":"ceiling"}`, "the view of the drums"},
		{`{"v":1,"levels":{"kick":101}}`, "the levels"},
		{`{"v":1,"pass_hits":49,"pass_extra":-1,"pass_spread":51}`, "the hits to move on, the extra hits to move on, the spread to move on"},
		{`{"v":1,"pass_hits":101}`, "the hits to move on"},
		{`{"v":1,"pass_spread":0}`, "the spread to move on"},
	} {
		got, bad := readSettings(c.stored)
		if bad != c.bad {
			t.Errorf("%s: %q, want %q", c.stored, bad, c.bad)
		}
		if diff := cmp.Diff(plain, got); diff != "" {
			t.Errorf("%s: (-start +got):\n%s", c.stored, diff)
		}
	}
}

// Version 1 was 6 dB under as mixed at the start of the slider; as it is now
// that is 14 steps of .4 dB less.
func TestLoudnessOfVersion1IsKept(t *testing.T) {
	for _, c := range []struct {
		stored string
		want   int
	}{
		{`{"v":1,"master":85}`, 71}, {`{"v":1,"master":100}`, 86}, {`{"v":1,"master":9}`, 1}, {`{"v":1,"master":0}`, 0},
		{`{"v":1}`, startMaster}, {`{"v":2,"master":85}`, 85},
	} {
		if s, bad := readSettings(c.stored); s.Master != c.want || bad != "" {
			t.Errorf("%s: %d, %q; want %d", c.stored, s.Master, bad, c.want)
		}
	}
}

func FuzzReadSettings(f *testing.F) {
	f.Add(startSettings().write())
	f.Add(`{"v":1,"keys":{"kick":[{"code":"KeyJ"}]},"delays":{"touch":{"ms":-1}}}`)
	f.Fuzz(func(t *testing.T, stored string) {
		s, _ := readSettings(stored)
		again, bad := readSettings(s.write())
		if diff := cmp.Diff(s, again); diff != "" || bad != "" {
			t.Errorf("what was read does not come back: %s\n%s", bad, diff)
		}
	})
}

func TestPassedStepsComeBack(t *testing.T) {
	d := Done{"headframe/Stamp": 104}
	got, all := readDone(d.write())
	if !cmp.Equal(d, got) || !all {
		t.Errorf("%v, %v", got, all)
	}
	for _, c := range []struct {
		stored string
		n      int
	}{{"", 0}, {`{"v":2,"tempi":{"a/b":100}}`, 0}, {`{"v":1,"tempi":{"a/b":100,"a/c":9999,"` + strings.Repeat("x", 300) + `":90}}`, 1}} {
		if got, all := readDone(c.stored); len(got) != c.n || all {
			t.Errorf("%.40s: %v, %v", c.stored, got, all)
		}
	}
}

// A new player hears passages as they are mixed and rendered: at
// [synth.Loudness]. A bar alone is as loud as in its step, and the drummer's
// view reaches what is played.
func TestWhatIsPlayedIsAsMixed(t *testing.T) {
	if masterGain(startMaster) != 1 || gain(startLevel, startLevel) != 1 {
		t.Errorf("the sliders start at gains of %g and %g", masterGain(startMaster), gain(startLevel, startLevel))
	}
	s := newStage(nil).state
	whole, err := plan(s, ForHearing)
	if err != nil {
		t.Fatal(err)
	}
	s, _ = viewed(s, Acted{Arg: "drummer"})
	s.Loop = Range{2, 2}
	bar, err := plan(s, ForTake)
	if err != nil {
		t.Fatal(err)
	}
	if whole.Makeup <= 0 || bar.Makeup != whole.Makeup || len(bar.Passage.Bars) == len(whole.Passage.Bars) {
		t.Errorf("%d bars with a make-up of %g, %d with %g", len(whole.Passage.Bars), whole.Makeup, len(bar.Passage.Bars), bar.Makeup)
	}
	if whole.View != synth.Audience || bar.View != synth.Drummer {
		t.Errorf("views %s, %s", whole.View, bar.View)
	}
}
