package grade_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/drill"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

var update = flag.Bool("update", false, "write what is said into testdata/sentences.txt")

const manualFile = "testdata/sentences.txt"

// untold matches what cannot be said where the delay is not known. That one
// stroke comes earlier than another can.
var untold = regexp.MustCompile(`ms (early|late)\b|on time`)

// TestManual: the page of sentences is what the grader says. Run it with
// -update to write the lines "said", "blind" and "next", and read the diff.
func TestManual(t *testing.T) {
	page := readManual(t)
	climb := musicOf(t, page)
	var got []string
	cases := 0
	lines := strings.Split(page, "\n")
	for i := 0; i < len(lines); i++ {
		key, value, _ := strings.Cut(strings.TrimSpace(lines[i]), " ")
		switch key {
		case "said", "blind", "next":
			if strings.HasPrefix(lines[i], "  ") {
				continue // written anew
			}
		}
		got = append(got, lines[i])
		if key != "played" || !strings.HasPrefix(lines[i], "  ") {
			continue
		}
		_, written, _ := strings.Cut(strings.TrimSpace(lines[i-1]), " ")
		for strings.HasPrefix(lines[i+1], "          ") { // goes on
			i++
			got = append(got, lines[i])
			value += " " + strings.TrimSpace(lines[i])
		}
		got = append(got, answer(t, climb, strings.TrimSpace(written), strings.TrimSpace(value))...)
		cases++
	}
	if cases < 35 {
		t.Errorf("%d cases, want at least 35", cases)
	}
	if *update {
		if err := os.WriteFile(manualFile, []byte(strings.Join(got, "\n")), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(lines, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

func readManual(t *testing.T) string {
	t.Helper()
	page, err := os.ReadFile(manualFile)
	if err != nil {
		t.Fatal(err)
	}
	return string(page)
}

// musicOf reads the passages of the page.
func musicOf(t *testing.T, page string) passage.Climb {
	t.Helper()
	_, music, _ := strings.Cut(page, "\nThe music\n")
	var text []string
	for _, line := range strings.Split(music, "\n") {
		if line != "" && !strings.HasPrefix(line, "    ") {
			break
		}
		text = append(text, strings.TrimPrefix(line, "    "))
	}
	climb, problems := drill.Parse(manualFile, []byte(strings.Join(text, "\n")), nil)
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	return climb
}

// answer returns the lines that a case ends with.
func answer(t *testing.T, climb passage.Climb, written, played string) []string {
	t.Helper()
	p, take, err := takeFrom(climb, written, played)
	if err != nil {
		t.Fatalf("%s; %s: %v", written, played, err)
	}
	n := take.Step
	v, err := grade.Grade(p, take, grade.Options{Steps: climb.Steps, Step: n})
	if err != nil {
		t.Fatalf("%s; %s: %v", written, played, err)
	}
	for _, s := range v.AnyDelay {
		if untold.MatchString(s) {
			t.Errorf("%s: %q cannot be said where the delay is not known", played, s)
		}
	}
	var out []string
	said, key := v.Sentences, "said"
	if take.LatencyMS == 0 && slices.ContainsFunc(strings.Split(played, ", "), func(c string) bool { return c == "delay not known" }) {
		said, key = v.AnyDelay, "blind"
	}
	for _, s := range said {
		out = append(out, fmt.Sprintf("  %-7s %s", key, s))
	}
	return append(out, fmt.Sprintf("  next    %s", v.Next))
}

// takeFrom makes the take of a case.
func takeFrom(climb passage.Climb, written, played string) (passage.Passage, grade.Take, error) {
	m := maker{climb: climb, seed: 1}
	m.take = grade.Take{Exercise: "ore-pass", Tempo: 120, Passes: 4, Input: "keyboard", LatencyMS: 40}
	for i, clause := range strings.Split(written, ", ") {
		if err := m.write(i, clause); err != nil {
			return passage.Passage{}, m.take, err
		}
	}
	m.plays, m.options.OneKey = m.p, m.oneKey
	for _, clause := range strings.Split(played, ", ") {
		if err := m.play(clause); err != nil {
			return passage.Passage{}, m.take, fmt.Errorf("%q: %w", clause, err)
		}
	}
	m.options.LatencyMS += m.take.LatencyMS
	rng := rand.New(rand.NewPCG(m.seed, 1))
	taps, err := player.Play(m.plays, m.take, m.options, rng)
	m.take.Taps = m.also(taps, rng)
	return m.p, m.take, err
}

// A maker makes a take from the words of a case.
type maker struct {
	climb   passage.Climb
	p       passage.Passage // as written
	plays   passage.Passage // as played
	take    grade.Take
	oneKey  bool
	options player.Options
	seed    uint64
	bounces float64 // chance of a second tap after each
}

// write reads one clause of "written": the step, then how it is to be played.
func (m *maker) write(i int, clause string) error {
	var n int
	var bpm float64
	switch {
	case i == 0:
		k := slices.IndexFunc(m.climb.Steps, func(s passage.Step) bool { return s.Title == clause })
		if k < 0 {
			return fmt.Errorf("no step %q", clause)
		}
		m.p, m.take.Step = m.climb.Steps[k].Passage, k+1
	case scan(clause, "%d times", &n):
		m.take.Passes = n
	case clause == "once":
		m.take.Passes = 1
	case scan(clause, "at %g", &bpm):
		m.take.Tempo = bpm
	case scan(clause, "only bar %d", &n):
		m.take.Bars = [2]int{n, n}
	default:
		clause, m.oneKey = strings.CutSuffix(clause, " on one key")
		for _, name := range strings.Split(clause, " and ") {
			v, ok := passage.VoiceNamed(name)
			if !ok {
				return fmt.Errorf("no voice %q", name)
			}
			m.take.Part = append(m.take.Part, v)
		}
	}
	return nil
}

func scan(text, format string, into ...any) bool {
	n, err := fmt.Sscanf(text+" .", format+" .", into...)
	return err == nil && n == len(into)
}

// play reads one clause of "played".
func (m *maker) play(clause string) error {
	o := &m.options
	var x, y, z float64
	var text string
	switch {
	case scan(clause, "seed %d", &m.seed), scan(clause, "spread %g", &o.SpreadMS), scan(clause, "lean %g", &o.LeanMS),
		scan(clause, "drift %g", &o.DriftBPM):
	case clause == "delay not known":
		m.take.LatencyMS = 0
	case scan(clause, "delayed by %g", &o.LatencyMS): // beyond what was measured
	case scan(clause, "misses %g of 100", &x):
		o.Miss = x / 100
	case scan(clause, "adds %g to 100", &x):
		o.Extra = x / 100
	case scan(clause, "bounces %g of 100", &x):
		m.bounces = x / 100
	case clause == "nothing":
		o.Miss = 1
	case clause == "triplets as 3:3:2":
		o.Uneven = 1
	case scan(clause, "stopped after %g s", &x):
		m.take.Stopped = grade.Some(x + m.take.LatencyMS/1000)
	case scan(clause, "timekeeper %g hands %g", &x, &y):
		o.Phase = &player.Phase{Alpha: 0.05, ClockMS: x, MotorMS: y} // hardly follows the click
	case scan(clause, "accents %g hits %g ghosts %g", &x, &y, &z):
		o.Touch = &player.Touch{Accent: player.Level{Mean: x / 100, Spread: 0.05}, Hit: player.Level{Mean: y / 100, Spread: 0.05}, Ghost: player.Level{Mean: z / 100, Spread: 0.05}}
	case scan(clause, "flams %g", &o.Grace.FlamMS), scan(clause, "flams spread %g", &o.Grace.SpreadMS):
	case scan(clause, "flams missing %g of 100", &x):
		o.Grace.Missing = x / 100
	case scan(clause, "chokes %g", &x):
		o.Release = &player.Release{SpreadMS: 8, ChokeLateMS: x}
	case scan(clause, "held %g", &x):
		o.Release = &player.Release{SpreadMS: 8, LateMS: x}
	case strings.HasPrefix(clause, "reads "):
		text = strings.TrimPrefix(clause, "reads ")
		var err error
		m.plays, o.Slips, err = player.Misread(m.climb.Steps, m.take.Step-1, text)
		return err
	default:
		return m.habit(clause)
	}
	return nil
}

// habit reads "kick after snare -14", "bar 2 of pass 3 missed", "bar 1
// spread 30" or "bar 2 speeds up 30".
func (m *maker) habit(clause string) error {
	words := strings.Fields(strings.ReplaceAll(clause, " of ", " "))
	var h player.Habit
	for i := 0; i < len(words); i++ {
		next := ""
		if i+1 < len(words) {
			next = words[i+1]
		}
		n, _ := strconv.Atoi(next)
		at, isPlace := m.place(words[i])
		ms, err := strconv.ParseFloat(words[i], 64)
		v, isVoice := passage.VoiceNamed(words[i])
		switch {
		case words[i] == "after":
			h.After, _ = passage.VoiceNamed(next)
			i++
		case words[i] == "bar":
			h.Bars = append(h.Bars, n)
			i++
		case words[i] == "pass":
			h.Passes = append(h.Passes, n)
			i++
		case words[i] == "missed":
			h.Miss = 1
		case words[i] == "misses":
			h.Miss = float64(n) / 100
			i++
		case words[i] == "spread":
			h.SpreadMS = float64(n)
			i++
		case words[i] == "speeds":
			return m.speeds(h, words[i+2:])
		case words[i] == "e":
			h.Into = append(h.Into, meter.R(1, 4))
		case words[i] == "&":
			h.Into = append(h.Into, meter.R(1, 2))
		case words[i] == "a":
			h.Into = append(h.Into, meter.R(3, 4))
		case isVoice:
			h.Voices = append(h.Voices, v)
		case err == nil && i == len(words)-1:
			h.LeanMS = ms
		case isPlace:
			h.At = append(h.At, at)
		default:
			return fmt.Errorf("what is %q", words[i])
		}
	}
	m.options.Habits = append(m.options.Habits, h)
	return nil
}

// place reads "2.3", or "2.3&" for a place in the beat.
func (m *maker) place(word string) (meter.Rat, bool) {
	var bar, beat int
	in := map[string]meter.Rat{"": meter.Int(0), "e": meter.R(1, 4), "&": meter.R(1, 2), "a": meter.R(3, 4)}
	digits := strings.TrimRight(word, "e&a")
	if !scan(digits, "%d.%d", &bar, &beat) {
		return meter.Rat{}, false
	}
	for _, b := range m.p.Beats() {
		if b.Bar == bar && b.Number == beat {
			return b.At.Add(in[word[len(digits):]]), true
		}
	}
	return meter.Rat{}, false
}

// speeds makes strokes come more and more early, from the first place of a
// bar to the last: "bar 2 speeds up 30", "bar 2 speeds up 30 from 2.3".
func (m *maker) speeds(h player.Habit, words []string) error {
	gain, err := strconv.ParseFloat(words[0], 64)
	if err != nil || len(h.Bars) != 1 {
		return fmt.Errorf("wants a bar and a number of ms")
	}
	starts := m.p.Starts()
	from, to := starts[h.Bars[0]-1], starts[h.Bars[0]]
	if len(words) == 3 {
		from, _ = m.place(words[2])
	}
	var places []meter.Rat
	for _, v := range m.take.Part {
		l, _ := m.p.Line(v)
		for _, s := range l.Strokes {
			if !s.At.Less(from) && s.At.Less(to) {
				places = append(places, s.At)
			}
		}
	}
	slices.SortFunc(places, meter.Rat.Cmp)
	last := places[len(places)-1]
	for _, at := range slices.Compact(places) {
		through := at.Sub(places[0]).Div(last.Sub(places[0])).Float()
		m.options.Habits = append(m.options.Habits, player.Habit{At: []meter.Rat{at}, LeanMS: -gain * through})
	}
	return nil
}

// also adds what the player of package player does not do, and leaves out what
// came after a stop.
func (m *maker) also(taps []grade.Tap, rng *rand.Rand) []grade.Tap {
	var out []grade.Tap
	for _, tap := range taps {
		if m.take.Stopped.OK && tap.Seconds > m.take.Stopped.Value {
			continue
		}
		out = append(out, tap)
		if rng.Float64() < m.bounces {
			tap.Seconds += 0.035
			out = append(out, tap)
		}
	}
	return out
}
