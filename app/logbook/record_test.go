package logbook

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"stampmill/exercises/grade"
	"stampmill/exercises/limbs"
	"stampmill/exercises/passage"
)

// a is a take of one tap.
var a = grade.Take{Exercise: "adit", Step: 1, Tempo: 90, Passes: 1, Part: []passage.Voice{passage.Kick}, Input: "keyboard", LatencyMS: 20,
	Taps: []grade.Tap{{Voice: passage.Kick, Seconds: 0.52}}}

const takeText = `{"stampmill":1,"exercise":"adit","step":1,"tempo":90,"passes":1,"part":["kick"],"input":"keyboard","latency_ms":20,"taps":[{"voice":"kick","seconds":0.52}]}`

// TestEveryVersionIsRead holds records as each version wrote them against what
// they say.
func TestEveryVersionIsRead(t *testing.T) {
	at := time.Date(2026, 11, 24, 19, 5, 0, 120_000_000, time.UTC)
	hash := strings.Repeat("0f", 16)
	for name, c := range map[string]struct {
		stored string
		want   Record
		err    error
	}{
		"1":                   {`{"v":1,"at":"2026-11-24T19:05:00.12Z","take":` + takeText + `}`, Record{At: at, Known: true, Take: a}, nil},
		"1, delay not known":  {`{"v":1,"at":"2026-11-24T19:05:00.12Z","take":` + strings.Replace(takeText, `:20`, `:0`, 1) + `}`, Record{At: at, Take: with(a, 0)}, nil},
		"2":                   {`{"v":2,"at":"2026-11-24T19:05:00.12Z","title":"Stamp","text":"` + hash + `","known":true,"marks":{"hits":0.9,"extra":0.1,"spread_ms":30},"pedals":1,"take":` + takeText + `}`, Record{At: at, Title: "Stamp", Text: hash, Known: true, Marks: &grade.Passing{Hits: 0.9, Extra: 0.1, SpreadMS: 30}, Pedals: limbs.One, Take: a}, nil},
		"2, the least":        {`{"v":2,"at":"2026-11-24T19:05:00.12Z","take":` + takeText + `}`, Record{At: at, Take: a}, nil},
		"newer":               {`{"v":3,"at":"2026-11-24T19:05:00.12Z","take":` + takeText + `}`, Record{}, ErrNewer},
		"newer, another form": {`{"v":3,"at":12,"take":[]}`, Record{}, ErrNewer},
		"no version":          {`{"at":"2026-11-24T19:05:00.12Z","take":` + takeText + `}`, Record{}, ErrBroken},
		"no time":             {`{"v":2,"take":` + takeText + `}`, Record{}, ErrBroken},
		"no take":             {`{"v":2,"at":"2026-11-24T19:05:00.12Z"}`, Record{}, ErrBroken},
		"half a take":         {`{"v":2,"at":"2026-11-24T19:05:00.12Z","take":{"stampmill":1}}`, Record{}, ErrBroken},
		"a text out of place": {`{"v":2,"at":"2026-11-24T19:05:00.12Z","text":"../x","take":` + takeText + `}`, Record{}, ErrBroken},
		"cut off":             {`{"v":2,"at":"2026-11-24T19:`, Record{}, ErrBroken},
		"nothing":             {``, Record{}, ErrBroken},
	} {
		got, err := ReadRecord([]byte(c.stored))
		if !errors.Is(err, c.err) || c.err == nil && err != nil {
			t.Errorf("%s: error %v, want %v", name, err, c.err)
			continue
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s: (-want +got):\n%s", name, diff)
		}
		if c.err != nil {
			continue
		}
		if written, err := got.Write(); err != nil {
			t.Errorf("%s: not written again: %v", name, err)
		} else if again, err := ReadRecord(written); err != nil || cmp.Diff(got, again) != "" {
			t.Errorf("%s: written and read again: %v\n%s", name, err, cmp.Diff(got, again))
		}
	}
}

func with(t grade.Take, latencyMS float64) grade.Take {
	t.LatencyMS = latencyMS
	return t
}

func TestNamesSortByTime(t *testing.T) {
	at := time.Date(2026, 1, 31, 23, 59, 59, 999_000_000, time.FixedZone("EST", -5*3600))
	first, then := NameOf(at, []byte("x")), NameOf(at.Add(time.Millisecond), []byte("a"))
	if first != "take/2026-02-01T04-59-59.999Z-2d711642" || first >= then { // SHA-256 of "x" begins 2d711642 (FIPS 180-4, by another program)
		t.Errorf("%s, then %s", first, then)
	}
}
