package grade

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/passage"
)

// update is the flag of the tests of sentences.
func update() bool { f := flag.Lookup("update"); return f != nil && f.Value.String() == "true" }

// everything is a step in which each field of a verdict has something to tell:
// accents, ghosts, a flam, a drag, a triplet, a held string and a choke.
const everything = `title: Everything
tempo: 120
metre: 4/4

step: One
says: One of each.
china  | x . x . | x ! . .     |
snare  | X x g x | X xf Xxx d  |
kick   | x x x x | x x x x     |
guitar | x o-. x x | x x o--! . |
`

// everythingTake plays all but one stroke of it, leaning early, with
// strengths, releases and grace strokes.
func everythingTake(t testing.TB) (passage.Passage, Take) {
	t.Helper()
	p := step(t, everything)
	tk := Take{Exercise: "everything", Step: 1, Tempo: 120, Passes: 4, Input: "midi", LatencyMS: 10}
	rng := rand.New(rand.NewPCG(1, 1))
	strengths := map[passage.Kind]float64{passage.Accent: .9, passage.Ghost: .2}
	e, err := Expect(p, tk, false)
	if err != nil {
		t.Fatal(err)
	}
	for i, o := range e.Onsets {
		pos := e.Positions[o.Position]
		if i == 7 {
			continue
		}
		tap := Tap{Voice: pos.Voices.first(), Seconds: o.Seconds + .010 - .006 + .003*rng.NormFloat64()}
		if pos.Graces > 0 && o.Pass > 1 {
			for n := range pos.Graces {
				before := tap
				before.Seconds -= .03 * float64(pos.Graces-n)
				before.Strength, before.Release = Some(.3), Some(before.Seconds+.01)
				tk.Taps = append(tk.Taps, before)
			}
		}
		strength := strengths[pos.Kind]
		if strength == 0 {
			strength = .6
		}
		tap.Strength = Some(strength + .02*rng.NormFloat64())
		tap.Release = Some(tap.Seconds + .3 + .01*rng.NormFloat64())
		tk.Taps = append(tk.Taps, tap)
	}
	return p, tk
}

// TestVerdictJSON holds the whole verdict of a take, for people to read, and
// that the fields the command line has had from the start come first.
func TestVerdictJSON(t *testing.T) {
	p, tk := everythingTake(t)
	v, err := Grade(p, tk, Options{NoSearch: true})
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var got bytes.Buffer
	if err := json.Indent(&got, text, "", "\t"); err != nil {
		t.Fatal(err)
	}
	got.WriteByte('\n')
	const golden = "testdata/verdict.json"
	if update() {
		if err := os.WriteFile(golden, got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got.String()); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	last := 0
	for _, name := range []string{"expected", "matched", "missed", "extra", "f25", "f50", "leaning_ms", "spread_ms", "drift_bpm", "tuplets", "misreading", "sentences", "passed", "grader"} {
		at := strings.Index(string(text), `"`+name+`":`)
		if at <= last && name != "expected" {
			t.Errorf("%s stands at %d", name, at)
		}
		last = at
	}
}

// TestVerdictJSONOfNothing: what cannot be told is null, and says why.
func TestVerdictJSONOfNothing(t *testing.T) {
	got, err := json.Marshal(mustGrade(t, step(t, crusher), kickTake(1)))
	if err != nil {
		t.Fatal(err)
	}
	const none = `{"n":0,"why":"not enough strokes"}`
	for _, want := range []string{
		`{"expected":8,"matched":0,"missed":8,"extra":0,"f25":0,"f50":0,"leaning_ms":null,"spread_ms":null,"drift_bpm":null,` +
			`"tuplets":[{"at":"2.4","written":"3:2","played":[],"nearest":null}],"misreading":null,"sentences":["No hit was heard in this take."],"passed":false,"grader":`,
		`"figures":{"leaning_ms":` + none + `,"spread_ms":` + none + `,"drift_bpm":` + none + `,"lag1":` + none,
		`"accents":null,"lengths":[],"graces":[]}`,
	} {
		if !strings.Contains(string(got), want) {
			t.Errorf("no %s in\n%s", want, got)
		}
	}
}

// TestNoMinusZero: a number that rounds to 0 is written 0, not -0.
func TestNoMinusZero(t *testing.T) {
	if got := rounded(-1e-9, 1e3); math.Signbit(got) {
		t.Errorf("written %v", got)
	}
}
