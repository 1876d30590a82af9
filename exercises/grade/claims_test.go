package grade_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stampmill/exercises"
	"stampmill/exercises/grade"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// TestEverythingSaidIsTrue holds every number, place and direction of every
// sentence of many made-up takes against figures computed here, from the hits
// of each written stroke alone. A sentence that no line of claims knows fails,
// so whoever writes a new one says here what makes it true.
func TestEverythingSaidIsTrue(t *testing.T) {
	climbs := []passage.Climb{musicOf(t, readManual(t))}
	for _, e := range exercises.Library() {
		climbs = append(climbs, e.Climb)
	}
	takes := 1200
	if testing.Short() {
		takes = 200
	}
	used := map[string]int{}
	for seed := range uint64(takes) {
		rng := rand.New(rand.NewPCG(seed, 77))
		climb := climbs[0]
		if seed%2 == 1 {
			climb = climbs[rng.IntN(len(climbs))]
		}
		p, take := anyTake(t, climb, rng)
		v, err := grade.Grade(p, take, grade.Options{NoSearch: seed%12 > 0, Steps: climb.Steps, Step: take.Step})
		if err != nil {
			t.Fatal(err)
		}
		w := witness{Verdict: v, p: p, take: take, said: strings.Join(v.Sentences, " ")}
		w.hits(t)
		if n := len(v.Sentences); n < 1 || n > 3 {
			t.Errorf("seed %d: %d sentences", seed, n)
		}
		for i, s := range v.Sentences {
			name, err := w.claim(s)
			used[name]++
			if err != nil {
				t.Errorf("seed %d, %s: %q: %v", seed, name, s, err)
			}
			if slices.Contains(v.Sentences[:i], s) {
				t.Errorf("seed %d: %q is said twice", seed, s)
			}
		}
		w.contradictions(t, seed)
		for _, s := range v.AnyDelay {
			if _, err := w.claim(s); err != nil {
				t.Errorf("seed %d, whatever the delay: %q: %v", seed, s, err)
			}
		}
	}
	t.Log(used)
}

// anyTake is a take of a step of the page by a player with habits of some kind.
func anyTake(t *testing.T, climb passage.Climb, rng *rand.Rand) (passage.Passage, grade.Take) {
	t.Helper()
	step := rng.IntN(len(climb.Steps))
	p := climb.Steps[step].Passage
	take := grade.Take{Exercise: "ore-pass", Step: step + 1, Tempo: 100 + float64(rng.IntN(40)), Passes: 1 + rng.IntN(6), Input: "keyboard", LatencyMS: 40}
	voices := p.Voices()
	rng.Shuffle(len(voices), func(i, j int) { voices[i], voices[j] = voices[j], voices[i] })
	take.Part = voices[:1+rng.IntN(min(3, len(voices)))]
	some := func(chance, most float64) float64 {
		if rng.Float64() < chance {
			return most * (2*rng.Float64() - 1)
		}
		return 0
	}
	o := player.Options{
		LeanMS: some(.3, 20), SpreadMS: 3 + 10*rng.Float64() + math.Abs(some(.2, 25)), DriftBPM: some(.3, 2),
		Miss: math.Abs(some(.3, .2)), Extra: math.Abs(some(.3, .2)), LatencyMS: 40, OneKey: rng.IntN(4) == 0,
		Uneven: math.Round(math.Abs(some(.5, 1))),
		Touch:  &player.Touch{Accent: player.Level{Mean: .6 + some(1, .3), Spread: .05}, Hit: player.Level{Mean: .6, Spread: .05}, Ghost: player.Level{Mean: .4 + some(1, .2), Spread: .05}},
		Grace:  player.Grace{FlamMS: 50 + some(1, 49), SpreadMS: 5, Missing: math.Abs(some(.5, 1))},
	}
	if rng.IntN(2) == 0 {
		o.Release = &player.Release{SpreadMS: 10, LateMS: some(.5, 60), ChokeLateMS: some(.5, 90)}
	}
	if rng.IntN(5) == 0 {
		o.Phase = &player.Phase{Alpha: .3, ClockMS: 20 * rng.Float64(), MotorMS: 15 * rng.Float64()}
	}
	for range rng.IntN(3) {
		h := player.Habit{LeanMS: some(.8, 30), SpreadMS: math.Abs(some(.2, 40)), Miss: math.Abs(some(.2, 1))}
		switch rng.IntN(5) {
		case 0:
			h.Voices = take.Part[:1]
		case 1:
			h.Bars = []int{1 + rng.IntN(len(p.Bars))}
		case 2:
			h.Passes = []int{1 + rng.IntN(take.Passes)}
		case 3:
			h.Into = []meter.Rat{meter.R(int64(rng.IntN(4)), 4)}
		case 4:
			h.Voices, h.After = []passage.Voice{passage.Kick}, passage.Snare
		}
		o.Habits = append(o.Habits, h)
	}
	if rng.IntN(8) == 0 {
		take.Stopped = grade.Some(8 * rng.Float64())
	}
	taps, err := player.Play(p, take, o, rng)
	if err != nil {
		t.Fatal(err)
	}
	take.Taps = slices.DeleteFunc(taps, func(tap grade.Tap) bool { return take.Stopped.OK && tap.Seconds > take.Stopped.Value })
	return p, take
}

// claim finds the form of a sentence and holds it against what was hit.
func (w *witness) claim(s string) (string, error) {
	if w.Misreading != nil && s == w.Misreading.Sentence {
		return "misreading", nil
	}
	for _, c := range claims {
		if m := c.form.FindStringSubmatch(s); m != nil {
			err := c.true(w, m)
			if err == errOffCourse {
				return "not seen from here", nil
			}
			return c.name, err
		}
	}
	return "?", fmt.Errorf("nobody says what makes it true")
}

// A claim is a form of sentence and what makes it true.
type claim struct {
	name string
	form *regexp.Regexp
	true func(w *witness, m []string) error
}

const group = `(.+?)`

var claims = []claim{
	{"nothing stands out", regexp.MustCompile(`^(?:All (\d+) strokes|(\d+) of (\d+) strokes) hit, (?:(\d+) ms (early|late), |on time, )?spread ±(\d+) ms\.$`), func(w *witness, m []string) error {
		return first(w.counts(m[1]+m[2], m[1]+m[3]), near("spread", m[6], w.Spread.Value), leans(m[4], m[5], w.Leaning.Value))
	}},
	{"silence", regexp.MustCompile(`^(The take stopped before its first stroke|No hit was heard in this take)\.$`), func(w *witness, m []string) error {
		return when(w.Matched == 0, "strokes were hit")
	}},
	{"astray", regexp.MustCompile(`^(?:Only|None of the) (\d+)(?: of (\d+))? strokes? (?:was|were) hit; (\d+) hits? fell elsewhere\.$`), func(w *witness, m []string) error {
		return first(when(2*w.Matched < w.Expected, "half of the strokes were hit"), equal(m[3], w.Extra))
	}},
	{"lean", regexp.MustCompile(`^You lean (\d+) ms (early|late)(?: on the (.+?))?(?:, and (\d+) of (\d+) strokes (?:miss|misses) (?:their|its) place)?\.$`), func(w *witness, m []string) error {
		if m[4] != "" {
			if err := first(equal(m[4], w.Missed), equal(m[5], w.Expected)); err != nil {
				return err
			}
		}
		return first(leans(m[1], m[2], w.Leaning.Value), when(w.Leaning.Low > 0 || w.Leaning.High < 0, "its interval holds zero"), when(math.Abs(w.Leaning.Value) >= 5, "under 5 ms"))
	}},
	{"lean elsewhere", regexp.MustCompile(`^You lean (\d+) ms (early|late) in (bar \d+|the other bars)\.$`), func(w *witness, m []string) error {
		var all []float64
		for _, h := range w.all {
			if !h.inTuplet {
				all = append(all, h.ms)
			}
		}
		return first(when(w.misreadBar() > 0, "nothing is misread"), leans(m[1], m[2], mean(all)), when(math.Abs(mean(all)) >= 5, "under 5 ms"))
	}},
	{"drift", regexp.MustCompile(`^You run ([\d.e+-]+) BPM (fast|slow): ([\d.]+) (ms|s) (gained|lost) by the end(?:, and (\d+) of (\d+) strokes (?:miss|misses) (?:their|its) place)?\.$`), (*witness).drift},
	{"both", regexp.MustCompile(`^` + group + ` comes? (\d+) ms (early|late), ` + group + ` (\d+) ms (early|late)\.$`), func(w *witness, m []string) error {
		in, out, err := w.split(m[1])
		if err != nil {
			return err
		}
		rest, _, err := w.split(capital(m[4]))
		if err != nil {
			return err
		}
		return first(leans(m[2], m[3], mean(in)), leans(m[5], m[6], mean(out)), when(len(rest) == len(out), "the rest is not what it is called"), apart(in, out))
	}},
	{"comes", regexp.MustCompile(`^` + group + ` comes? (\d+) ms (early|late)\.$`), func(w *witness, m []string) error {
		in, out, err := w.split(m[1])
		if err != nil {
			return err
		}
		return first(leans(m[2], m[3], mean(in)), apart(in, out))
	}},
	{"comes against", regexp.MustCompile(`^` + group + ` comes? (\d+) ms (earlier|later) than ` + group + `\.$`), func(w *witness, m []string) error {
		in, out, err := w.split(m[1])
		if err != nil {
			return err
		}
		if m[4] != "the rest" {
			rest, _, err := w.split(capital(m[4]))
			if err = first(err, when(len(rest) == len(out), "the rest is not what it is called")); err != nil {
				return err
			}
		}
		return first(leans(m[2], strings.Replace(strings.Replace(m[3], "earlier", "early", 1), "later", "late", 1), mean(in)-mean(out)), apart(in, out))
	}},
	{"run", regexp.MustCompile(`^You (speed up|slow down) in ` + group + `: (\d+) ms (gained|lost) from its first stroke to its last\.$`), (*witness).run},
	{"missed", regexp.MustCompile(`^You missed (\d+) of (\d+) strokes?(?:, (?:(\d+) of them |all )?(.+?))?\.$`), (*witness).missed},
	{"fell apart", regexp.MustCompile(`^Pass (\d+) fell apart: (\d+) of (\d+) strokes? hit, (\d+) of (\d+) in the others\.$`), func(w *witness, m []string) error {
		n, _ := strconv.Atoi(m[1])
		hit := 0
		for _, h := range w.all {
			if h.pass == n {
				hit++
			}
		}
		return first(equal(m[2], hit), equal(m[4], w.Matched-hit), whole(m[3], m[5], w.Expected))
	}},
	{"extra", regexp.MustCompile(`^(\d+) hits? too many(?:, (?:(\d+) of them |all )?(.+?))?\.$`), func(w *witness, m []string) error {
		return first(equal(m[1], w.Extra), w.strays(m[1], m[2], m[3]))
	}},
	{"spread", regexp.MustCompile(`^Your hits spread by (?:±(\d+) ms|a little over ±20 ms)(?:, ` + group + ` by ±(\d+))?; passing takes ±20\.$`), func(w *witness, m []string) error {
		if err := first(near("spread", m[1], w.Spread.Value), when(w.Spread.Value > 20, "within 20 ms")); err != nil || m[2] == "" {
			return err
		}
		return w.wide(m[2], m[3], "")
	}},
	{"spread in one place", regexp.MustCompile(`^` + group + ` your hits spread by ±(\d+) ms, elsewhere by ±(\d+)\.$`), func(w *witness, m []string) error {
		return w.wide(lower(m[1]), m[2], m[3])
	}},
	{"spread not known", regexp.MustCompile(`^The spread is not known: (\d+) strokes?, and it takes 4\.$`), func(w *witness, m []string) error {
		return first(equal(m[1], w.Spread.N), when(w.Spread.N < 4, "it is"))
	}},
	{"timekeeping", regexp.MustCompile(`^Your (timekeeping|hands) wanders? more than your (?:hands|timekeeping): ±(\d+) against ±(\d+) ms\.$`), func(w *witness, m []string) error {
		more, less := w.Clock, w.Motor
		if m[1] == "hands" {
			more, less = less, more
		}
		return first(near("more", m[2], more.Value), near("less", m[3], less.Value), when(more.Low > less.High, "not surely"))
	}},
	{"tuplet", cameOut, func(w *witness, m []string) error {
		n := 0
		for _, f := range w.Tuplets {
			if w.cameOut(f) {
				n++
			}
		}
		places := max(1, 1+strings.Count(m[1], ",")+strings.Count(m[1], " and "))
		return when(n >= places, "no such tuplet")
	}},
	{"accents", regexp.MustCompile(`^The accents do not stand out: strength (\d+) of 100, the other hits (\d+) of 100\.$`), func(w *witness, m []string) error {
		return first(near("accents", m[1], 100*w.Accents.Accent.Value), near("hits", m[2], 100*w.Accents.Hit.Value), when(w.Accents.Louder.Value < .1, "they do"))
	}},
	{"some accents", regexp.MustCompile(`^Only (\d+) of (\d+) accents stand out\.$`), func(w *witness, m []string) error {
		return first(equal(m[2], w.Accents.StandOut.N), near("", m[1], w.Accents.StandOut.Value*float64(w.Accents.StandOut.N)))
	}},
	{"ghosts", regexp.MustCompile(`^The ghosts are as strong as the hits: (\d+) of 100 against (\d+) of 100\.$`), func(w *witness, m []string) error {
		return first(near("ghosts", m[1], 100*w.Accents.Ghost.Value), near("hits", m[2], 100*w.Accents.Hit.Value))
	}},
	{"no grace", regexp.MustCompile(`^(\d+) of (\d+) (flam|drag)s? came without (?:a|both) grace strokes?(?:, (?:all )?on the (.+))?\.$`), func(w *witness, m []string) error {
		missing, n := 0, 0
		for _, g := range w.Graces {
			if g.Kind.String() == m[3] {
				missing, n = missing+g.Missing, n+g.N
			}
		}
		return first(equal(m[1], missing), equal(m[2], n))
	}},
	{"grace", regexp.MustCompile(`^The (flam|drag) (.+) is (wide|flat): its grace comes (\d+) ms before\.$`), func(w *witness, m []string) error {
		for _, g := range w.Graces {
			if g.Kind.String() == m[1] && near("", m[4], g.GraceMS.Value) == nil && (g.GraceMS.Value > 30) == (m[3] == "wide") {
				return nil
			}
		}
		return fmt.Errorf("no such grace")
	}},
	{"end", regexp.MustCompile(`^The (.+) (?:ends|is choked) (\d+) ms too (late|soon)\.$`), func(w *witness, m []string) error {
		for _, l := range w.Lengths {
			d := l.Played.Value - l.WrittenMS
			if near("", m[2], math.Abs(d)) == nil && (d > 0) == (m[3] == "late") {
				return nil
			}
		}
		return fmt.Errorf("no such length")
	}},
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func when(ok bool, otherwise string) error {
	if ok {
		return nil
	}
	return fmt.Errorf("%s", otherwise)
}

func equal(said string, n int) error { return when(said == strconv.Itoa(n), fmt.Sprintf("%d", n)) }

// near holds a rounded number; "" says none.
func near(what, said string, x float64) error {
	n, err := strconv.ParseFloat(said, 64)
	return when(said == "" || err == nil && math.Abs(n-x) <= .5+1e-6, fmt.Sprintf("%s is %.3f", what, x))
}

// leans holds a number with its direction.
func leans(said, direction string, ms float64) error {
	if direction == "early" {
		ms = -ms
	}
	return near(direction, said, ms)
}

func whole(a, b string, sum int) error {
	x, _ := strconv.Atoi(a)
	y, _ := strconv.Atoi(b)
	return when(x+y == sum, fmt.Sprintf("%s and %s are not %d", a, b, sum))
}

func (w *witness) counts(hit, of string) error {
	return first(equal(hit, w.Matched), equal(of, w.Expected))
}

func mean(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x / float64(len(xs))
	}
	return sum
}

func deviation(xs []float64) float64 {
	m, sum := mean(xs), 0.0
	for _, x := range xs {
		sum += (x - m) * (x - m)
	}
	return math.Sqrt(sum / float64(len(xs)-1))
}

// apart holds that two samples differ by 5 ms and by two standard errors, of
// one deviation for both.
func apart(in, out []float64) error {
	d := math.Abs(mean(in) - mean(out))
	a, b := float64(len(in)), float64(len(out))
	if a < 3 || b < 3 {
		return fmt.Errorf("%v and %v hits", a, b)
	}
	pooled := math.Sqrt(((a-1)*deviation(in)*deviation(in) + (b-1)*deviation(out)*deviation(out)) / (a + b - 2))
	return first(when(d >= 5, fmt.Sprintf("%.2f ms apart", d)), when(d >= 2*pooled*math.Sqrt(1/a+1/b), "not surely apart"))
}

// contradictions holds that no two sentences are about the same strokes.
func (w *witness) contradictions(t *testing.T, seed uint64) {
	about := map[string]string{}
	for _, s := range w.Sentences {
		for _, c := range claims {
			m := c.form.FindStringSubmatch(s)
			if m == nil {
				continue
			}
			topic := c.name
			if c.name == "tuplet" {
				topic = m[1] + m[2] + m[3]
			}
			if topic == "comes" || topic == "both" || topic == "comes against" {
				topic = lower(m[1])
			}
			if other, twice := about[topic]; twice {
				t.Errorf("seed %d: %q and %q", seed, other, s)
			}
			about[topic] = s
			if c.name == "both" || c.name == "comes against" && m[4] != "the rest" {
				about[m[4]] = s
			}
			break
		}
	}
}
