package ear

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"stampmill/exercises"
	"stampmill/exercises/change"
	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/passage/passagetest"
)

// sources are all steps of the library.
var sources = sync.OnceValue(func() []Source {
	var all []Source
	for _, e := range exercises.Library() {
		for _, s := range e.Climb.Steps {
			all = append(all, Source{e.Name, s.Title, s.Passage})
		}
	}
	return all
})

// some returns every n-th step of the library.
func some(n int) []Source {
	if testing.Short() {
		n *= 5
	}
	var all []Source
	for i := 0; i < len(sources()); i += n {
		all = append(all, sources()[i])
	}
	return all
}

// read returns the passage of lines of voices, with " / " between them.
func read(t testing.TB, tempo, metre, lines string) passage.Passage {
	t.Helper()
	text := fmt.Sprintf("title: T\nby: B\ntempo: %s\nmetre: %s\nstep: S\nsays: It plays.\n%s\n", tempo, metre, strings.ReplaceAll(lines, " / ", "\n"))
	climb, problems := drill.Parse("t.drill", []byte(text), change.Catalogue())
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return climb.Steps[0].Passage
}

// hostile are passages at the edges of the limits.
func hostile(t testing.TB) map[string]passage.Passage {
	long := strings.Repeat("| x.x. x..x xx.x x.xx ", passage.MaxBars) + "|"
	return map[string]passage.Passage{
		"one bar":      read(t, "120", "4/4", "kick | x. x. xx x. | / snare | . . X . |"),
		"one stroke":   read(t, "120", "4/4", "kick | x . . . |"),
		"one beat":     read(t, "400", "1/4", "kick | x |"),
		"64 bars":      read(t, "150", "4/4", "china "+strings.Repeat("| x x x x ", 64)+"| / kick "+long+" / guitar "+long),
		"seven eight":  read(t, "95", "7/8 (2+2+3)", "hat | xx xx xxx | xx xx xxx | / kick | x. .x x.x | x. .x ..x | / snare | .. X. ... | .. X. .f. |"),
		"septuplets":   read(t, "104.5", "4/4", "china | x x x x | x x x x | / kick | xxxxxxx x x x | x x xxxxx x |"),
		"unplayable":   read(t, "120", "4/4", "china | x x x x | / ride | x x x x | / hat | x x x x | / snare | x x x x |"),
		"silent":       read(t, "120", "4/4", "kick | . . . . | . . . . |"),
		"click only":   read(t, "120", "4/4", "click | x x x x | x x x x |"),
		"sub only":     read(t, "120", "4/4", "sub | o - - - | o - - - |"),
		"slow":         read(t, "20", "4/4", "kick | x . x . | / china | x x x x |"),
		"fast":         read(t, "400", "4/4", "kick | xxxx xxxx xxxx xxxx | / guitar | xxxx xxxx xxxx xxxx |"),
		"tempo jumps":  read(t, "100 | 150", "4/4", "kick | x x x x | x x x x | / snare | x . x . | x . x . |"),
		"no bars":      {},
		"empty stroke": {Bars: []passage.Bar{{}}, Lines: []passage.Line{{Voice: passage.Kick, Strokes: []passage.Stroke{{}}}}},
		"held":         read(t, "90", "4/4", "guitar | o--- ---- b--- t--- | h--- s--- x!x. o--- | / china | x . ! x | x . . ! |"),
	}
}

// difficulties are five of the scale, hardest last.
func difficulties(s Scale) []float64 {
	easy, hard := s.High, s.Low
	if !s.Falling {
		easy, hard = hard, easy
	}
	var all []float64
	for i := range 5 {
		all = append(all, s.Of(s.Level(easy)+float64(i)/4*(s.Level(hard)-s.Level(easy))))
	}
	return all
}

// bare leaves of a trial what can be compared.
func bare(t Trial) []any {
	return []any{t.Task.Name, t.Source, t.Bars, t.D, t.Seed, t.Sounds, t.Asks, t.truth}
}

func TestTrialIsAFunctionOfItsSeed(t *testing.T) {
	for _, task := range Tasks() {
		differ := map[string]bool{}
		for seed := range uint64(8) {
			s := sources()[seed]
			a, err1 := task.Trial(s, task.Scale.High, seed)
			b, err2 := task.Trial(s, task.Scale.High, seed)
			if !reflect.DeepEqual(bare(a), bare(b)) || !reflect.DeepEqual(err1, err2) {
				t.Errorf("%s, seed %d: two trials of one seed differ", task.Name, seed)
			}
			if err1 == nil {
				differ[fmt.Sprint(a.truth.choice, a.Bars, a.truth.said)] = true
			}
		}
		if len(differ) < 2 {
			t.Errorf("%s: eight seeds make only %d trials", task.Name, len(differ))
		}
	}
}

func TestTrialLeavesItsSourceAlone(t *testing.T) {
	for _, task := range Tasks() {
		s := sources()[20]
		was := s.Passage.Clone()
		for seed := range uint64(4) {
			task.Trial(s, task.Scale.Low, seed)
		}
		if diff := cmp.Diff(was, s.Passage, cmp.Comparer(func(a, b meter.Rat) bool { return a == b }), cmp.Comparer(func(a, b meter.Metre) bool { return a == b })); diff != "" {
			t.Errorf("%s changed its source: %s", task.Name, diff)
		}
	}
}

// Whatever the source, a trial is sound: what is played is within the limits,
// the right answer is marked right, every other choice wrong, and what is
// explained has words, places and a slower pair. Or it is refused with what to
// do.
func TestEverySourceGivesASoundTrialOrAReason(t *testing.T) {
	for _, task := range Tasks() {
		made := 0
		try := func(s Source, d float64, seed int) {
			trial, err := task.Trial(s, d, uint64(seed))
			if err != nil {
				if !strings.Contains(err.Error(), "; ") {
					t.Errorf("%s of %s %q is refused without what to do: %v", task.Name, s.Climb, s.Title, err)
				}
				return
			}
			made++
			if err := sound(trial); err != nil {
				t.Errorf("%s of %s %q at %g, seed %d: %v", task.Name, s.Climb, s.Title, d, seed, err)
			}
		}
		hard, steps := difficulties(task.Scale), some(2)
		if task.Name == "same" || task.Name == "where" {
			steps = some(4) // they draw from the pool that "what" does
		}
		for i, s := range steps {
			try(s, hard[i%len(hard)], i)
		}
		if made < len(steps)/2 {
			t.Errorf("%s: only %d steps of %d can be asked about", task.Name, made, len(steps))
		}
		for name, p := range hostile(t) {
			for i, d := range []float64{task.Scale.Low, task.Scale.High} {
				try(Source{"hostile", name, p}, d, i)
			}
		}
	}
}

// sound says what is wrong with a trial.
func sound(trial Trial) error {
	for _, s := range trial.Sounds {
		for _, p := range []passage.Passage{s.Passage, s.Strip} {
			if problems := passage.Check(p); len(problems) > 0 {
				return fmt.Errorf("sound %q: %v", s.Label, problems)
			}
		}
		if _, problems := s.Strip.Regroup(); len(problems) > 0 {
			return fmt.Errorf("the strip of %q cannot be drawn: %v", s.Label, problems)
		}
	}
	r, err := trial.Mark(trial.Right())
	if err != nil || !r.Right {
		return fmt.Errorf("the right answer is marked %+v, %v", r, err)
	}
	for _, p := range r.Parts {
		if !p.Right {
			return fmt.Errorf("the right answer has a part %+v", p)
		}
	}
	if now := trial.Made; now > 0 && now != trial.D && trial.Task.Scale.Unit != "strokes" && math.Abs(now-trial.D) > 0.5 {
		return fmt.Errorf("%g was asked, %g made", trial.D, now)
	}
	if r.Said == "" || r.Hint == "" || len(r.Slow) != len(trial.Sounds) {
		return fmt.Errorf("it explains %q, %q with %d sounds", r.Said, r.Hint, len(r.Slow))
	}
	for _, s := range r.Slow {
		if problems := passage.Check(s.Passage); len(problems) > 0 {
			return fmt.Errorf("the slow sound %q: %v", s.Label, problems)
		}
	}
	return wrongAnswers(trial)
}

// wrongAnswers says which other answer is marked right.
func wrongAnswers(trial Trial) error {
	if r, err := trial.Mark(wrong(trial)); err != nil || r.Right || r.Parts[0].Says == "" || r.Parts[0].Was == "" {
		return fmt.Errorf("a wrong answer is marked %+v, %v", r.Parts, err)
	}
	a := trial.Right()
	for i := range trial.Asks[0].Choices {
		wrong := a
		wrong.Choice = []int{i}
		if r, err := trial.Mark(wrong); err != nil || r.Right != (i == a.Choice[0]) {
			return fmt.Errorf("choice %d is marked %+v, %v; right is %d", i, r.Parts, err, a.Choice[0])
		}
	}
	return nil
}

// Any passage within the limits gives a sound trial or a reason.
func TestAnyPassage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := passagetest.Loose().Draw(t, "passage")
		task := rapid.SampledFrom(Tasks()).Draw(t, "task")
		d := rapid.Float64Range(task.Scale.Low, task.Scale.High).Draw(t, "difficulty")
		trial, err := task.Trial(Source{"any", "any", p}, d, rapid.Uint64().Draw(t, "seed"))
		if err != nil {
			if !strings.Contains(err.Error(), "; ") {
				t.Fatalf("refused without what to do: %v", err)
			}
			return
		}
		if err := sound(trial); err != nil {
			t.Fatalf("%s: %v", task.Name, err)
		}
	})
}

func TestSourcesThatDoNotFit(t *testing.T) {
	cases := []struct{ task, passage, want string }{
		{"same", "silent", "there are no strokes to hear"},
		{"same", "click only", "there are no strokes to hear"},
		{"same", "sub only", "there are no strokes to hear"},
		{"same", "no bars", "outside the limits"},
		{"same", "empty stroke", "outside the limits"},
		{"where", "one beat", "1 beats are too few"},
		{"what", "one beat", "1 beats are too few"},
		{"count", "one beat", "1 beats are too few"},
		{"ahead", "one stroke", "no two voices strike together"},
		{"ahead", "fast", "too close together"},
		{"tempo", "one stroke", "fewer than 3 strokes"},
		{"tempo", "fast", "outside 20 to 400"},
		{"tempo", "slow", "outside 20 to 400"},
	}
	passages := hostile(t)
	for _, c := range cases {
		task, _ := Named(c.task)
		_, err := task.Trial(Source{"hostile", c.passage, passages[c.passage]}, task.Scale.High, 1)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s of %q: %v, want %q", c.task, c.passage, err, c.want)
		}
	}
	if _, err := same().Trial(sources()[0], math.NaN(), 1); err == nil {
		t.Error("a difficulty that is no number is taken")
	}
}

func TestNextPassesOverWhatDoesNotFit(t *testing.T) {
	bad := Source{"hostile", "silent", hostile(t)["silent"]}
	seeds := uint64(6)
	if testing.Short() {
		seeds = 2
	}
	for _, task := range Tasks() {
		for seed := range seeds {
			trial, err := Next(task, []Source{bad, bad, sources()[2], bad}, task.Scale.Low, seed, Trial{})
			if err != nil || trial.Source.Title != sources()[2].Title {
				t.Errorf("%s, seed %d: %q, %v", task.Name, seed, trial.Source.Title, err)
			}
		}
		if _, err := Next(task, []Source{bad}, task.Scale.Low, 1, Trial{}); err == nil || !strings.Contains(err.Error(), "no strokes") {
			t.Errorf("%s of nothing that fits: %v", task.Name, err)
		}
		if _, err := Next(task, nil, task.Scale.Low, 1, Trial{}); err == nil {
			t.Errorf("%s of nothing: no error", task.Name)
		}
	}
}

func TestNextNeverRepeats(t *testing.T) {
	seeds := uint64(12)
	if testing.Short() {
		seeds = 3
	}
	for _, task := range Tasks() {
		var last Trial
		for seed := range seeds {
			trial, err := Next(task, sources()[3:4], task.Scale.High, seed, last)
			if err != nil {
				t.Fatalf("%s: %v", task.Name, err)
			}
			if trial.repeats(last) {
				t.Errorf("%s, seed %d: the last trial again", task.Name, seed)
			}
			again, err := task.Trial(trial.Source, trial.D, trial.Seed)
			if err != nil || !reflect.DeepEqual(bare(again), bare(trial)) {
				t.Errorf("%s: its own seed does not make the trial again: %v", task.Name, err)
			}
			last = trial
		}
	}
}

// amount measures what makes a trial hard on its sounds.
func amount(t *testing.T, trial Trial) float64 {
	t.Helper()
	a := trial.Sounds[0].Passage
	switch trial.Task.Name {
	case "write", "tap":
		l, _ := a.Line(trial.Asks[0].Voices[0])
		return float64(toKeep(onsetsOf(l)))
	case "beat":
		first := a.Length()
		for _, l := range a.Lines {
			if at := onsetsOf(l); len(at) > 0 && at[0].Less(first) {
				first = at[0]
			}
		}
		n := trial.truth.pulse.from
		for _, b := range a.Beats() {
			if b.At.Less(first) {
				n--
			}
		}
		return float64(n)
	case "silence":
		return float64(trial.Sounds[0].Silence.Silent)
	case "count":
		span := trial.truth.spans[0]
		ms := timer(a)
		return ms(span.To) - ms(span.From)
	case "tempo":
		b := trial.Sounds[1].Passage
		return math.Abs(b.Bars[0].Tempo.BPM.Float()/a.Bars[0].Tempo.BPM.Float()-1) * 100
	case "ahead":
		return compareMoments(a, trial.Sounds[1].Passage)
	}
	return compare(a, trial.Sounds[1].Passage).size
}

// whole is how far what is counted in whole ones can be off.
func whole(s Scale) float64 {
	if s.Unit == "bars" || s.Unit == "beats" {
		return 0.5
	}
	return 0
}

// compareMoments returns the mean way in ms by which strokes of the voice that
// was asked about moved against the others, without a sign.
func compareMoments(a, b passage.Passage) float64 {
	was, now := hear(a), hear(b)
	least, most := math.Inf(1), math.Inf(-1)
	for i := range now {
		moved := now[i].at - was[i].at
		least, most = min(least, moved), max(most, moved)
	}
	return most - least
}

// Harder is never easier, a greater difference or less to do, with the same
// source and seed; and what is made is as asked where the scale is continuous.
func TestHarderIsNeverGreater(t *testing.T) {
	for _, task := range Tasks() {
		for i, s := range some(19) {
			easier, before := 1.0, math.Inf(1)
			if !task.Scale.Falling {
				easier, before = -1, math.Inf(-1)
			}
			for _, d := range difficulties(task.Scale) {
				trial, err := task.Trial(s, d, uint64(i))
				if err != nil {
					continue
				}
				now := amount(t, trial)
				if easier*(now-before) > 1e-9 {
					t.Errorf("%s of %s %q: %g %s come out as %g, after %g for an easier one", task.Name, s.Climb, s.Title, d, task.Scale.Unit, now, before)
				}
				before = now
				if off := math.Abs(now - d); task.Scale.Unit != "strokes" && off > max(d/50+0.25, whole(task.Scale)) {
					t.Errorf("%s of %s %q: %g %s asked, %g made", task.Name, s.Climb, s.Title, d, task.Scale.Unit, now)
				}
			}
		}
	}
}

// No trial is ambiguous: no two choices sound alike, none but the right one is
// what B is, and no other words are true of B wherever they are made.
func TestNeverAmbiguous(t *testing.T) {
	what, made := what(), 0
	for i, s := range some(5) {
		for j, d := range difficulties(what.Scale) {
			if (i+j)%2 == 1 {
				continue
			}
			trial, err := what.Trial(s, d, uint64(i+100*j))
			if err != nil {
				continue
			}
			made++
			if err := clear(trial); err != nil {
				t.Errorf("%s %q at %g, seed %d: %v", s.Climb, s.Title, d, i+100*j, err)
			}
		}
	}
	if made < 40 && !testing.Short() {
		t.Errorf("only %d trials were made", made)
	}
}

// clear says which two answers of a trial of "what" are both true.
func clear(trial Trial) error {
	a, b := trial.Sounds[0].Passage, trial.Sounds[1].Passage
	words := map[string]bool{}
	for i, c := range trial.Asks[0].Choices {
		if words[c.Words] {
			return fmt.Errorf("%q stands twice", c.Words)
		}
		words[c.Words] = true
		if i > 0 && c.Words == nothingChanged && (trial.truth.choice == i) != Alike(a, b) {
			return errors.New("nothing changed, or did it")
		}
	}
	right := trial.Asks[0].Choices[trial.truth.choice].Words
	if right == nothingChanged {
		return nil
	}
	// Every change offered where something differs: its beats, its bars, all.
	d := compare(a, b)
	sels := []change.Selection{{To: a.Length()}}
	for _, place := range d.beats(a) {
		for _, beat := range a.Beats() {
			if beat.Bar == place.Bar && beat.Number == place.Beat {
				sels = append(sels, change.Selection{From: beat.At, To: beat.At.Add(beat.Length)})
			}
		}
	}
	if n := len(sels); n > 2 {
		sels = append(sels[:3], change.Selection{From: sels[1].From, To: sels[n-1].To})
	}
	for _, sel := range sels {
		sel.Voices = d.voices()
		for _, ways := range change.Offers(a, sel) {
			for _, c := range ways {
				name, ok := wordsOf(c)
				if !ok || name == right || !words[name] {
					continue
				}
				if after, err := c.Apply(a); err == nil && Alike(after, b) {
					return fmt.Errorf("%q is right, but %q (%s) is the same", right, name, c)
				}
			}
		}
	}
	return nil
}

func TestNamed(t *testing.T) {
	for _, task := range Tasks() {
		got, ok := Named(task.Name)
		if !ok || got.Title != task.Title || task.About == "" || task.Question == "" {
			t.Errorf("%q is not found, or says nothing", task.Name)
		}
		s := task.Stair
		if s.Low >= s.High || s.Start < s.Low || s.Start > s.High || s.Falling != task.Scale.Falling || math.Abs(s.Target()-0.75) > 0.001 {
			t.Errorf("%s: its staircase is %+v", task.Name, s)
		}
	}
	if _, ok := Named("none"); ok {
		t.Error("there is a task none")
	}
	if _, err := (Task{}).Trial(Source{}, 1, 1); err == nil {
		t.Error("no task makes a trial")
	}
}

// Every change of the catalogue has words, or is not asked for on purpose.
func TestEveryChangeHasWords(t *testing.T) {
	for _, e := range change.Entries() {
		if _, ok := choiceWords[e.Name]; !ok {
			t.Errorf("%s has no words for choices; add them to choiceWords", e.Name)
		}
	}
	for name := range choiceWords {
		if _, ok := change.Named(name); !ok {
			t.Errorf("%q is no change of the catalogue", name)
		}
	}
}

func TestWords(t *testing.T) {
	cases := map[string]string{
		"half-time china":                 "China in half time",
		"shift snare by 1/16":             "Snare a sixteenth later",
		"displace china by -1/8":          "China an eighth sooner",
		"retime kick guitar at 1.3 as 3":  "Kick and guitar: an even three",
		"flam snare at 1.3":               "Flam on the snare",
		"stop at 1.4 for 1/4":             "A stop cut in",
		"offbeat snare at 1.3":            "Snare off the beat",
		"noise guitar at 1.2 as harmonic": "Harmonic on the guitar",
		"swap kick snare at 1.3":          "Kick and snare swapped",
		"group kick in 3 3 2":             "Kick in groups of 3 3 2",
		"move kick to tom-floor at 1.4":   "Kick moved to the floor tom",
		"tempo by 3/2":                    "A faster tempo",
		"bend guitar at 1.1 by 2":         "Guitar bent by two semitones",
		"lead at 1 as tapped":             "A lead comes in, tapped",
		"add kick at 1.1+1/8":             "Kick: one more",
		"cut bar 1 to 3/4":                "A bar cut short",
		"lock kick to china":              "Kick locked to the china",
	}
	for text, want := range cases {
		c, err := change.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		if got, ok := wordsOf(c); !ok || got != want {
			t.Errorf("%s is called %q, want %q", text, got, want)
		}
	}
	if _, ok := wordsOf(mustParse(t, "sub at 1.1")); ok {
		t.Error("the sub is asked for, which small speakers do not have")
	}
}

func mustParse(t *testing.T, text string) change.Change {
	t.Helper()
	c, err := change.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestAlike(t *testing.T) {
	base := "kick | x. x. x. x. | / guitar | x. o- x. x. |"
	cases := []struct {
		name, tempo, lines string
		same               bool
	}{
		{"as it is", "100", base, true},
		{"in other cells", "100", "kick | x... x... x... x... | / guitar | x. o- x. x. |", true},
		{"muted strings, written longer", "100", "kick | x. x. x. x. | / guitar | x- o- x- x- |", true},
		{"a line without strokes", "100", base + " / snare | . . . . |", true},
		{"a choke of nothing", "100", base + " / china | ! . . . |", true},
		{"lines in another order", "100", "guitar | x. o- x. x. | / kick | x. x. x. x. |", true},
		{"a stroke less", "100", "kick | x. x. x. .. | / guitar | x. o- x. x. |", false},
		{"an accent", "100", "kick | X. x. x. x. | / guitar | x. o- x. x. |", false},
		{"another fret", "100", "kick | x. x. x. x. | / guitar | x(1). o- x. x. |", false},
		{"a ring cut short", "100", "kick | x. x. x. x. | / guitar | x. o. x. x. |", false},
		{"a little faster", "101", base, false},
		{"twice the tempo, twice the values", "200", "kick | x . x . | x . x . | / guitar | x . o - | x . x . |", true},
	}
	p := read(t, "100", "4/4", base)
	for _, c := range cases {
		if got := Alike(p, read(t, c.tempo, "4/4", c.lines)); got != c.same {
			t.Errorf("%s: alike %v, want %v", c.name, got, c.same)
		}
	}
	china := read(t, "120", "4/4", "china | x . . . |")
	if Alike(china, read(t, "120", "4/4", "china | x ! . . |")) {
		t.Error("a choke of a ringing china is not heard")
	}
}

// 6 ms are 6 ms, exactly, at any tempo: the shift is a rational number of
// quarter notes, and times the length of a quarter it gives the milliseconds.
func TestAheadIsExact(t *testing.T) {
	for _, bpm := range []string{"60", "87", "104.5", "400/3", "119.7", "191"} {
		p := read(t, bpm, "4/4", "china | x x x x | x x x x | / snare | . . X . | . . X . | / kick | x . xxx . | x . x. x |")
		for _, ahead := range []bool{true, false} {
			_, a, b, err := displaced(p, passage.Snare, 6, ahead)
			if err != nil {
				t.Fatalf("%s: %v", bpm, err)
			}
			speed := a.Bars[0].Tempo.Quarters(a.Bars[0].Metre)
			if off := math.Abs(speed.Float()/p.Bars[0].Tempo.BPM.Float() - 1); off > 0.05 {
				t.Errorf("%s: the tempo became %s", bpm, speed)
			}
			by := shiftOf(t, b, a, passage.Snare).Sub(shiftOf(t, b, a, passage.China))
			if ms := by.Mul(meter.Int(60_000)).Div(speed); ms != meter.Int(6) && !ahead || ms != meter.Int(-6) && ahead {
				t.Errorf("%s, ahead %v: the snare comes %s ms off, want 6", bpm, ahead, ms)
			}
		}
	}
}

// shiftOf returns by how much the second stroke of a voice moved from a to b.
func shiftOf(t *testing.T, b, a passage.Passage, v passage.Voice) meter.Rat {
	t.Helper()
	was, _ := a.Line(v)
	now, _ := b.Line(v)
	return now.Strokes[1].At.Sub(was.Strokes[1].At)
}

// What is not asked about stays as it is: no clue from anywhere else.
func TestNothingElseDiffers(t *testing.T) {
	for i, s := range some(11) {
		if trial, err := ahead().Trial(s, 10, uint64(i)); err == nil {
			a, b := trial.Sounds[0].Passage, trial.Sounds[1].Passage
			if !slices.Equal(a.Bars, b.Bars) || len(hear(a)) != len(hear(b)) {
				t.Errorf("ahead of %s %q: bars, tempi or strokes differ", s.Climb, s.Title)
			}
			if was, now := heldFor(a), heldFor(b); !slices.Equal(was, now) {
				t.Errorf("ahead of %s %q: strokes are held for %v quarters in A, %v in B", s.Climb, s.Title, was, now)
			}
		}
		if trial, err := tempo().Trial(s, 10, uint64(i)); err == nil {
			a, b := trial.Sounds[0].Passage, trial.Sounds[1].Passage
			if !reflect.DeepEqual(a.Lines, b.Lines) {
				t.Errorf("tempo of %s %q: strokes differ", s.Climb, s.Title)
			}
		}
	}
}

// heldFor returns how long each stroke that is held sounds, in quarter notes.
func heldFor(p passage.Passage) []meter.Rat {
	var all []meter.Rat
	for _, l := range p.Lines {
		for _, s := range l.Strokes {
			if l.Voice.Sustained() {
				all = append(all, s.Length)
			}
		}
	}
	return all
}

// Yes and no are right as often, so that always saying one is right by chance.
func TestNeitherAnswerIsLikelier(t *testing.T) {
	for _, task := range Tasks() {
		if !task.Yes {
			continue
		}
		yes, n := 0, 0
		for seed := range uint64(64) {
			if trial, err := task.Trial(sources()[9], task.Scale.High, seed); err == nil {
				n++
				if trial.Yes() {
					yes++
				}
			}
		}
		// 3 standard deviations of as many even chances
		if n == 0 || math.Abs(float64(yes)-float64(n)/2) > 1.5*math.Sqrt(float64(n)) {
			t.Errorf("%s: yes is right in %d of %d", task.Name, yes, n)
		}
	}
}

func TestPlacesAreMarkedByBeats(t *testing.T) {
	where := where()
	trial, err := where.Trial(sources()[3], 2, 5)
	if err != nil {
		t.Fatal(err)
	}
	places := trial.Asks[0].Places
	right := trial.beatIndex(trial.Asks[0], trial.truth.to)
	for i, p := range places {
		r, err := trial.Mark(Answer{Place: p})
		if err != nil {
			t.Fatal(err)
		}
		part := r.Parts[0]
		if part.Right != (i == right) || part.Off != float64(i-right) || part.Near != (i-right == 1 || right-i == 1) {
			t.Errorf("%v, right is %v: %+v", p, trial.truth.to, part)
		}
	}
	for _, bad := range []passage.Place{{}, {Bar: 9, Beat: 1}, {Bar: 1, Beat: 9}} {
		if _, err := trial.Mark(Answer{Place: bad}); err == nil {
			t.Errorf("the place %v is marked", bad)
		}
	}
}

func TestAnswersThatDoNotFit(t *testing.T) {
	trial, err := same().Trial(sources()[3], 2, 5)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range []Answer{{}, {Choice: []int{-1}}, {Choice: []int{2}}} {
		if _, err := trial.Mark(a); err == nil || !strings.Contains(err.Error(), "; ") {
			t.Errorf("%v is marked: %v", a, err)
		}
	}
	if _, err := (Trial{}).Mark(Answer{}); err == nil {
		t.Error("no trial is marked")
	}
}

// Made in slices or in one go, the trial is the same, and no task that draws
// from the catalogue is made in one piece.
func TestTrialsMadeInSlices(t *testing.T) {
	for _, task := range Tasks() {
		sources := some(5)
		want, err := Next(task, sources, task.Scale.High, 5, Trial{})
		if err != nil {
			continue
		}
		m, slices := Begin(task, sources, task.Scale.High, 5, Trial{}), 1
		for !m.Next() {
			slices++
		}
		got, err := m.Trial()
		if err != nil || got.Sum() != want.Sum() || got.Seed != want.Seed {
			t.Errorf("%s: another trial, %v", task.Name, err)
		}
		if least := map[string]int{"same": 20, "what": 40, "where": 20}[task.Name]; slices < least {
			t.Errorf("%s: %d slices, want %d", task.Name, slices, least)
		}
	}
}

// A phrase of eight strokes is asked where one source of many has it, and the
// nearest where none has.
func TestNextIsAsHardAsAsked(t *testing.T) {
	short := Source{Climb: "short", Title: "Two", Passage: read(t, "100", "4/4", "kick | x . . . | x . . . |")}
	long := Source{Climb: "long", Title: "Eight", Passage: read(t, "100", "4/4", "kick | x.xx .x.x ..x. x..x | x . . . |")}
	task := tap()
	for seed := range uint64(40) {
		trial, err := Next(task, []Source{short, short, short, long, short}, 8, seed, Trial{})
		if err != nil || trial.Source.Climb != "long" {
			t.Errorf("seed %d: %s, %g strokes, %v", seed, trial.Source.Climb, trial.Made, err)
		}
		if trial, err = Next(task, []Source{short, short}, 8, seed, Trial{}); err != nil || trial.Made != 2 {
			t.Errorf("seed %d: %g strokes of a short one, %v", seed, trial.Made, err)
		}
	}
}

// Where no source has a change as large as was asked, others are tried, and still
// nothing changes in half of the questions.
func TestNextLeavesTheOdds(t *testing.T) {
	small := Source{Climb: "small", Title: "Two", Passage: read(t, "100", "4/4", "kick | x . x . | x . . . |")}
	task := same()
	unchanged, n := 0, 300
	for seed := range uint64(n) {
		trial, err := Next(task, []Source{small, small, small, small, small, small, small, small}, 16, seed, Trial{})
		if err != nil {
			t.Fatal(err)
		}
		if !trial.Yes() {
			unchanged++
		}
	}
	if share := float64(unchanged) / float64(n); share < 0.42 || share > 0.58 {
		t.Errorf("nothing changed in %.0f %%", 100*share)
	}
}
