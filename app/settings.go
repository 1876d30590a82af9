package app

import (
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strings"

	"stampmill/app/delay"
	"stampmill/exercises/ear"
	"stampmill/exercises/grade"
	"stampmill/exercises/limbs"
	agenda "stampmill/exercises/plan"
	"stampmill/synth"
)

// settingsVersion is the version of the stored settings. A new version gets a
// step in migrations.
const settingsVersion = 2

// Settings is what the player chose. It is stored under settingsName.
type Settings struct {
	Version int              `json:"v"`
	Keys    map[string][]Key `json:"keys"`   // by name of the hand
	Areas   int              `json:"areas"`  // touch areas: 1, 2 or 4
	Delays  map[string]Delay `json:"delays"` // by input: "keyboard", "touch"
	Master  int              `json:"master"` // 0 to 100
	Levels  map[string]int   `json:"levels"` // by name of the hand, 0 to 100
	View    string           `json:"view"`   // from where the drums are heard, as [synth.ParseView] reads it
	Theme   string           `json:"theme"`  // "dark", "light" or "": as the device
	Single  bool             `json:"single"` // single keys act between takes

	OnePedal bool `json:"one_pedal"` // the kick has one pedal, not two
	Minutes  int  `json:"minutes"`   // the player has on a day; 1 to agenda.MaxMinutes

	PassHits   int `json:"pass_hits"`   // of 100 strokes, how many must be hit to move on
	PassExtra  int `json:"pass_extra"`  // and how many hits too many there may be
	PassSpread int `json:"pass_spread"` // ms, how far the hits may spread

	ListenMinutes int      `json:"listen_minutes"`         // a session lasts
	ListenTasks   []string `json:"listen_tasks,omitempty"` // names of the tasks that are asked; none for all

	Climb   string `json:"climb"`   // name in the library; "" before the first visit to Practise
	Step    int    `json:"step"`    // from 1
	Part    string `json:"part"`    // see [Part.String]
	CountIn int    `json:"countin"` // bars: 0, 1 or 2
	Click   string `json:"click"`   // as [synth.ParseClick] reads it: "beats", "offbeats", "on 2,4", "3 of 4"
	Cells   string `json:"cells"`   // the click of the player's own, of which Click may be one
	Silence string `json:"silence"` // bars heard and silent in a take, as [synth.ParseSilence] reads them
	Follow  bool   `json:"follow"`  // the tempo follows the player
	Passes  int    `json:"passes"`  // a take, 1 to maxPasses
	Heard   bool   `json:"heard"`   // a sound was played before: the first caution has been seen
	Asked   bool   `json:"asked"`   // the browser was asked not to clear the records by itself
	Rate    int    `json:"rate"`    // frames a second of the device last time; 0: not known
}

// Names of the records in the store.
const (
	settingsName = "settings"
	doneName     = "done"
	unreadPrefix = "unread/" // records that could not be read are kept under this
)

// Bounds of the settings; our choice. Four passes show a habit without tiring.
const (
	maxPasses   = 16
	maxCountIn  = 2
	maxKeys     = 10
	startPasses = 4
	startMaster = 85 // as mixed: passages at [synth.Loudness], a moderate one; the end of the slider is 6 dB above
	startLevel  = 70 // as mixed

	mostListening = 60 // minutes; ears tire

	leastPassHits, mostPassExtra    = int(100 * grade.LeastHits), int(100 * grade.MostExtra)
	leastPassSpread, mostPassSpread = int(grade.LeastSpread), int(grade.MostSpread)
)

// A Delay is what is taken off the hits of one input.
type Delay struct {
	MS     float64 `json:"ms"`
	Spread float64 `json:"spread,omitempty"` // ms; 0 where set by hand
	N      int     `json:"n,omitempty"`      // taps it rests on; 0 where set by hand
	Stale  bool    `json:"stale,omitempty"`  // the sound output changed since
}

// startSettings are those of a new player.
func startSettings() Settings {
	s := Settings{
		Version: settingsVersion, Keys: map[string][]Key{}, Areas: 2, Delays: map[string]Delay{},
		Master: startMaster, Levels: map[string]int{}, View: synth.Audience.String(), Single: true,
		Minutes: startMinutes, ListenMinutes: ear.SessionMinutes, Step: 1, Part: "kick", CountIn: 1, Click: "beats", Cells: startCells, Silence: "none", Follow: true, Passes: startPasses,
	}
	s.setPassing(grade.DefaultPassing)
	for _, h := range keyHands() {
		s.Keys[h.String()] = startKeys(h)
	}
	for _, h := range levelHands() {
		s.Levels[h.String()] = startLevel
	}
	return s
}

// clone returns a copy that shares nothing with s.
func (s Settings) clone() Settings {
	s.ListenTasks = slices.Clone(s.ListenTasks)
	s.Keys, s.Delays, s.Levels = maps.Clone(s.Keys), maps.Clone(s.Delays), maps.Clone(s.Levels)
	for name, keys := range s.Keys {
		s.Keys[name] = slices.Clone(keys)
	}
	return s
}

// handWith returns the hand that a key is assigned to.
func (s Settings) handWith(code string) (Hand, bool) {
	for _, h := range keyHands() {
		for _, k := range s.Keys[h.String()] {
			if k.Code == code {
				return h, true
			}
		}
	}
	return 0, false
}

// pedals is how many pedals the player's kick has.
func (s Settings) pedals() limbs.Pedals {
	if s.OnePedal {
		return limbs.One
	}
	return limbs.Two
}

// view is from where the drums are heard.
func (s Settings) view() synth.View {
	v, _ := synth.ParseView(s.View) // checked when it was read or chosen
	return v
}

// passing is what it takes to move on.
func (s Settings) passing() grade.Passing {
	return grade.Passing{Hits: float64(s.PassHits) / 100, Extra: float64(s.PassExtra) / 100, SpreadMS: float64(s.PassSpread)}
}

func (s *Settings) setPassing(p grade.Passing) {
	s.PassHits, s.PassExtra, s.PassSpread = int(math.Round(100*p.Hits)), int(math.Round(100*p.Extra)), int(math.Round(p.SpreadMS))
}

// delay returns what is known of an input's delay.
func (s Settings) delay(input string) (Delay, bool) {
	d, ok := s.Delays[input]
	return d, ok && !d.Stale
}

// migrations bring a stored record from its version to the next one.
var migrations = map[int]func(map[string]json.RawMessage){
	1: quieter,
}

// quieter keeps the loudness of players of version 1, in which the master
// slider at 100 was as mixed, and passages had no make-up gain: they were some
// half a decibel louder on average (measured on the library).
func quieter(record map[string]json.RawMessage) {
	var master int
	if json.Unmarshal(record["master"], &master) == nil && within(master, 1, 100) {
		record["master"], _ = json.Marshal(max(1, master-14)) // a number: cannot fail
	}
}

// readSettings returns the stored settings. Values that cannot be used are
// replaced by those of a new player; the second result names them for people,
// or is "" when all were fine.
func readSettings(stored string) (Settings, string) {
	record := map[string]json.RawMessage{}
	if json.Unmarshal([]byte(stored), &record) != nil {
		return startSettings(), "all settings"
	}
	var version int
	if json.Unmarshal(record["v"], &version) != nil || version < 1 || version > settingsVersion {
		return startSettings(), "all settings"
	}
	for ; version < settingsVersion; version++ {
		migrations[version](record)
	}
	return fill(record)
}

// A field of the settings with what makes it usable.
type field struct {
	name, label string
	into        func(*Settings) any
	ok          func(Settings) bool
}

var fields = []field{
	{"keys", "the keys", func(s *Settings) any { return &s.Keys }, goodKeys},
	{"areas", "the touch areas", func(s *Settings) any { return &s.Areas }, func(s Settings) bool { return s.Areas == 1 || s.Areas == 2 || s.Areas == 4 }},
	{"delays", "the delay", func(s *Settings) any { return &s.Delays }, goodDelays},
	{"master", "the level", func(s *Settings) any { return &s.Master }, func(s Settings) bool { return within(s.Master, 0, 100) }},
	{"levels", "the levels", func(s *Settings) any { return &s.Levels }, goodLevels},
	{"view", "the view of the drums", func(s *Settings) any { return &s.View }, func(s Settings) bool { _, err := synth.ParseView(s.View); return err == nil }},
	{"theme", "the look", func(s *Settings) any { return &s.Theme }, func(s Settings) bool { return slices.Contains([]string{"", "dark", "light"}, s.Theme) }},
	{"single", "the single keys", func(s *Settings) any { return &s.Single }, nil},
	{"one_pedal", "the pedals", func(s *Settings) any { return &s.OnePedal }, nil},
	{"asked", "what the browser was asked", func(s *Settings) any { return &s.Asked }, nil},
	{"pass_hits", "the hits to move on", func(s *Settings) any { return &s.PassHits }, func(s Settings) bool { return within(s.PassHits, leastPassHits, 100) }},
	{"pass_extra", "the extra hits to move on", func(s *Settings) any { return &s.PassExtra }, func(s Settings) bool { return within(s.PassExtra, 0, mostPassExtra) }},
	{"pass_spread", "the spread to move on", func(s *Settings) any { return &s.PassSpread }, func(s Settings) bool { return within(s.PassSpread, leastPassSpread, mostPassSpread) }},
	{"minutes", "the minutes of a day", func(s *Settings) any { return &s.Minutes }, func(s Settings) bool { return within(s.Minutes, 1, agenda.MaxMinutes) }},
	{"listen_minutes", "the minutes of listening", func(s *Settings) any { return &s.ListenMinutes }, func(s Settings) bool { return within(s.ListenMinutes, 1, mostListening) }},
	{"listen_tasks", "what is asked by ear", func(s *Settings) any { return &s.ListenTasks }, goodTasks},
	{"climb", "the climb", func(s *Settings) any { return &s.Climb }, nil},
	{"step", "the step", func(s *Settings) any { return &s.Step }, func(s Settings) bool { return s.Step >= 1 }},
	{"part", "the part", func(s *Settings) any { return &s.Part }, func(s Settings) bool { return s.Part != "" }},
	{"countin", "the count-in", func(s *Settings) any { return &s.CountIn }, func(s Settings) bool { return within(s.CountIn, 0, maxCountIn) }},
	{"click", "the click", func(s *Settings) any { return &s.Click }, func(s Settings) bool { return goodClick(s.Click) }},
	{"cells", "the click of your own", func(s *Settings) any { return &s.Cells }, func(s Settings) bool { return goodClick(s.Cells) }},
	{"silence", "the silent bars", func(s *Settings) any { return &s.Silence }, func(s Settings) bool { _, err := synth.ParseSilence(s.Silence); return err == nil }},
	{"follow", "whether the tempo follows", func(s *Settings) any { return &s.Follow }, nil},
	{"passes", "the passes", func(s *Settings) any { return &s.Passes }, func(s Settings) bool { return within(s.Passes, 1, maxPasses) }},
	{"heard", "the first caution", func(s *Settings) any { return &s.Heard }, nil},
	{"rate", "the sound rate", func(s *Settings) any { return &s.Rate }, func(s Settings) bool { return within(s.Rate, 0, 384_000) }},
}

// fill reads field by field, so that one bad value costs only itself.
func fill(record map[string]json.RawMessage) (Settings, string) {
	s := startSettings()
	var bad []string
	for _, f := range fields {
		raw, there := record[f.name]
		if !there {
			continue
		}
		try := startSettings()
		if json.Unmarshal(raw, f.into(&try)) != nil || (f.ok != nil && !f.ok(try)) {
			bad = append(bad, f.label)
			continue
		}
		// Known to be good: the same bytes again into the result.
		_ = json.Unmarshal(raw, f.into(&s))
	}
	return s, strings.Join(bad, ", ")
}

func within(x, low, high int) bool { return low <= x && x <= high }

func goodKeys(s Settings) bool {
	seen := map[string]bool{}
	for name, keys := range s.Keys {
		if h, ok := handNamed(name); !ok || h == ClickHand || len(keys) > maxKeys {
			return false
		}
		for _, k := range keys {
			if !assignable(k.Code) || seen[k.Code] || len(k.Code) > 40 || len(k.Label) > 40 {
				return false
			}
			seen[k.Code] = true
		}
	}
	return s.Keys != nil
}

func goodDelays(s Settings) bool {
	for input, d := range s.Delays {
		if len(input) > 40 || !(math.Abs(d.MS) <= delay.Longest) || !(d.Spread >= 0 && d.Spread <= delay.Longest) || d.N < 0 {
			return false
		}
	}
	return s.Delays != nil
}

// goodTasks refuses tasks that are not known: none of them would be asked.
func goodTasks(s Settings) bool {
	for _, name := range s.ListenTasks {
		if _, ok := ear.Named(name); !ok {
			return false
		}
	}
	return true
}

func goodLevels(s Settings) bool {
	for name, level := range s.Levels {
		if _, ok := handNamed(name); !ok || !within(level, 0, 100) {
			return false
		}
	}
	return s.Levels != nil
}

// write returns the settings as they are stored.
func (s Settings) write() string {
	b, _ := json.Marshal(s) // strings, numbers that were checked, and maps of them: cannot fail
	return string(b)
}
