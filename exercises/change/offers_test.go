package change

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// selected reads a selection: voices and a range, "" for all.
func selected(t testing.TB, p passage.Passage, voices, at string) Selection {
	t.Helper()
	sel := Selection{To: p.Length()}
	for name := range strings.FieldsSeq(voices) {
		v, err := parseVoice(name)
		if err != nil {
			t.Fatal(err)
		}
		sel.Voices = append(sel.Voices, v)
	}
	if at != "" {
		r, err := parseRange(at)
		if err != nil {
			t.Fatal(err)
		}
		s, err := r.in(p)
		if err != nil {
			t.Fatal(err)
		}
		sel.From, sel.To = s.from, s.to
	}
	return sel
}

// fitting returns the changes that fit, in order, and all that was tried.
func fitting(p passage.Passage, sel Selection) (fit []Offer, all int) {
	ways := Offers(p, sel)
	for _, w := range ways {
		if o := Try(p, w); o.Reason == "" {
			fit = append(fit, o)
		}
	}
	return fit, len(ways)
}

// Every change of the catalogue fits some selection of a passage that is made
// for it.
func TestOffersOfEveryEntry(t *testing.T) {
	p := worked(t)
	offered := map[string]bool{}
	for _, v := range append([]string{"snare kick", "kick guitar", ""}, "china", "hat", "snare", "kick", "guitar") {
		for _, at := range []string{"", "1", "2.4", "1.4", "2.2", "1.1-1.2"} {
			fit, _ := fitting(p, selected(t, p, v, at))
			for _, o := range fit {
				offered[o.Change.Entry.Name] = true
			}
		}
	}
	for _, e := range entries() {
		if !offered[e.Name] {
			t.Errorf("%s is never offered", e.Name)
		}
	}
}

// What one thinks of first for a voice comes first; "shift" by ways and not
// "displace" is what a snare stroke does.
func TestOffersInOrder(t *testing.T) {
	for _, want := range []struct{ voices, at, first, last string }{
		{"china", "", "half-time china", "add china at 1.1+1/8"},
		{"kick guitar", "2.2", "retime kick guitar at 2.2 as 3", "displace kick guitar by 1/16 at 2.2"},
		{"snare", "2.3", "offbeat snare at 2.3", "cut bar 2 to 3/4"},
		{"snare", "2.3", "shift snare at 2.3 by 1/16", "move snare to tom-high at 2.3"},
		{"guitar", "1", "thin guitar to 1/8 at 1", "dotted guitar at 1"},
		{"", "", "stop at 1.1 for 1/4", "offbeat snare at 1.1"},
	} {
		p := stamps(t)
		fit, _ := fitting(p, selected(t, p, want.voices, want.at))
		var texts []string
		for _, o := range fit {
			texts = append(texts, o.Change.String())
		}
		first, last := slices.Index(texts, want.first), slices.Index(texts, want.last)
		if first < 0 || last < 0 || first > last || first > 12 {
			t.Errorf("%s %s: %q stands at %d, %q at %d, of %q", want.voices, want.at, want.first, first, want.last, last, texts)
		}
	}
}

// What is offered reads back, fits or has a reason, and no two come to the
// same; new strokes of strings and sub may turn out as long as those of another
// offer.
func offersHold(t testing.TB, p passage.Passage, sel Selection) {
	before := p.Clone()
	var fits []Offer
	for _, ways := range Offers(p, sel) {
		for _, c := range ways {
			if again, err := Parse(c.String()); err != nil || !reflect.DeepEqual(again, c) {
				t.Fatalf("%+v: %q reads back as %q, %v", sel, c, again, err)
			}
		}
		o := Try(p, ways)
		if o.Reason != "" {
			continue
		}
		if slices.ContainsFunc(o.Change.Args.Voices, passage.Voice.Sustained) {
			continue
		}
		if i := slices.IndexFunc(fits, func(f Offer) bool { return passage.Same(f.After, o.After) }); i >= 0 {
			t.Errorf("%+v: %q and %q come to the same", sel, fits[i].Change, o.Change)
		}
		fits = append(fits, o)
	}
	if !reflect.DeepEqual(p, before) {
		t.Fatalf("%+v: the passage is another", sel)
	}
}

func TestOffersHold(t *testing.T) {
	p := stamps(t)
	for _, voices := range []string{"", "china", "snare", "kick guitar", "china snare kick guitar", "lead"} {
		for _, at := range []string{"", "1", "2.2", "1.4+1/8-2.1"} {
			offersHold(t, p, selected(t, p, voices, at))
		}
	}
}

// Odd selections and passages do no harm.
func FuzzOffers(f *testing.F) {
	f.Add(0, int64(0), int64(1), int64(4), int64(1), []byte{1, 7, 11})
	f.Add(1, int64(3), int64(1), int64(3), int64(1), []byte{7})
	f.Add(2, int64(-5), int64(3), int64(1000000), int64(1), []byte{0, 200, 11, 11})
	f.Add(3, int64(9), int64(7), int64(2), int64(0), []byte{})
	f.Add(4, int64(1), int64(0), int64(7), int64(999983), []byte{6, 14, 15})
	f.Fuzz(func(t *testing.T, seed int, from, fromDen, to, toDen int64, voices []byte) {
		if len(voices) > 20 {
			t.Skip("more voices than there are")
		}
		p := bands().Example(seed)
		sel := Selection{From: meter.R(from, fromDen), To: meter.R(to, toDen)}
		for _, v := range voices {
			sel.Voices = append(sel.Voices, passage.Voice(v))
		}
		offersHold(t, p, sel)
	})
}

// No bars, nothing offered.
func TestOffersOfNothing(t *testing.T) {
	if ways := Offers(passage.Passage{}, Selection{}); ways != nil {
		t.Errorf("%d changes are offered for no passage", len(ways))
	}
	if o := Try(passage.Passage{}, nil); o.Reason != "" || o.Change.Entry != nil {
		t.Errorf("no ways give %+v", o)
	}
}

// BenchmarkOffers offers changes of a short passage and of the longest, and
// BenchmarkTry tries them all.
func BenchmarkOffers(b *testing.B) {
	for _, bench := range []struct {
		name string
		p    passage.Passage
		at   string
	}{{"2 bars", stamps(b), "2.2"}, {"64 bars", long(b), "32.2"}, {"64 bars whole", long(b), ""}} {
		sel := selected(b, bench.p, "kick guitar", bench.at)
		b.Run(bench.name, func(b *testing.B) {
			for b.Loop() {
				Offers(bench.p, sel)
			}
		})
	}
}

func BenchmarkTry(b *testing.B) {
	for _, bench := range []struct {
		name string
		p    passage.Passage
		at   string
	}{{"2 bars", stamps(b), "2.2"}, {"64 bars", long(b), "32.2"}} {
		ways := Offers(bench.p, selected(b, bench.p, "kick guitar", bench.at))
		b.Run(bench.name, func(b *testing.B) {
			for b.Loop() {
				for _, w := range ways {
					Try(bench.p, w)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(ways)), "us/offer")
		})
	}
}
