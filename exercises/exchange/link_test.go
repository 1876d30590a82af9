package exchange

import (
	"bytes"
	"errors"
	"hash/crc32"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stampmill/exercises/drill"
)

// floor is an exercise as somebody types it.
const floor = `title: Ore floor
tempo: 104
metre: 4/4

step: The floor
says: Kick and guitar strike together; the snare is on three.
snare  | . . X .         |
kick   | x.x. .x . ..x.  |
guitar | x.x. .x . o---  |
`

// floorLink is the link of floor. Links once sent must be read for good.
const floorLink = "d1.AJHkBAtyTI29isMwEIT7fYp5Ae_dgSvdI1xxTYq0IplYwj8yqw044IcPIjFkq2W-jxnPPjHg34jbVIqJc15LwM93LzPdGNB_9SLV" +
	"uQac0qHV-KgBf_kyIi5XDPfs0VDd8kh4GeiJ9gtPRF2iEbmiLPBkpMorwg6F4gzFcbuMrbKhTTeFbk1pH3Z5j3yi0nVdQ88AAAD__w"

// What is packed comes out again, and packs the same a second time.
func TestLinkRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SliceOfN(rapid.Byte(), 0, 4000).Draw(t, "text")
		link, err := Link(text)
		if err != nil {
			t.Fatal(err)
		}
		if again, _ := Link(text); again != link || !IsLink(link) {
			t.Fatalf("%q and then %q", link, again)
		}
		got, err := ReadLink(link)
		if err != nil || !bytes.Equal(got, text) {
			t.Fatalf("%q: %q, %v", link, got, err)
		}
	})
}

func TestOldLinksAreRead(t *testing.T) {
	got, err := ReadLink(floorLink)
	if err != nil || string(got) != floor {
		t.Errorf("%q, %v", got, err)
	}
}

// What mails and address lines do to a link does it no harm.
func TestReadLinkForgives(t *testing.T) {
	half := len(floorLink) / 2
	for _, link := range []string{
		"#" + floorLink,
		"https://stampmill.example/site/write/#" + floorLink,
		floorLink[:half] + "\r\n  " + floorLink[half:],
		floorLink[:half] + "%20%0A" + floorLink[half:],
		floorLink + ".", floorLink + ")!", "\t" + floorLink + "\n",
	} {
		if got, err := ReadLink(link); err != nil || string(got) != floor {
			t.Errorf("%q: %q, %v", link, got, err)
		}
	}
}

// Wherever the end is cut off, the link says so.
func TestCutLinks(t *testing.T) {
	for n := 1; n < len(floorLink); n++ {
		if got, err := ReadLink(floorLink[:n]); !errors.Is(err, errCut) {
			t.Errorf("the first %d letters: %q, %v", n, got, err)
		}
	}
}

// Wherever one letter is another one, or two have changed places, the link is
// refused: a CRC finds every burst of up to 32 bits (W. W. Peterson and D. T.
// Brown, 1961, Cyclic codes for error detection).
func TestMistypedLinks(t *testing.T) {
	refused := func(link string) {
		t.Helper()
		if got, err := ReadLink(link); err == nil {
			t.Errorf("%q: read as %q", link, got)
		}
	}
	const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
	for i := range floorLink {
		for _, r := range letters {
			if floorLink[i] != byte(r) {
				refused(floorLink[:i] + string(r) + floorLink[i+1:])
			}
		}
		if i > 0 && floorLink[i] != floorLink[i-1] {
			refused(floorLink[:i-1] + floorLink[i:i+1] + floorLink[i-1:i] + floorLink[i+1:])
		}
	}
}

// Each thing that is wrong has its own words, with what to do.
func TestWhatIsWrongWithALink(t *testing.T) {
	bomb := sealed(pack(make([]byte, 8<<20)))
	for _, c := range []struct {
		name, link string
		want       error
	}{
		{"nothing", "", errNoLink},
		{"a place on a page", "main", errNoLink},
		{"the beginning is missing", floorLink[1:], errNoLink},
		{"the mark alone", mark, errCut},
		{"a letter of another alphabet in the head", mark + "AÄ" + floorLink[5:], errChanged},
		{"a letter of another alphabet", floorLink[:40] + "+" + floorLink[41:], errChanged},
		{"letters too many", floorLink + "AAAA", errChanged},
		{"the last letter in another spelling", respelt(t), errChanged},
		{"of a later version", "d2." + floorLink[3:], errNewer},
		{"sound, but not packed", sealed([]byte("no stream")), errChanged},
		{"sound, with more behind", sealed(append(pack([]byte(floor)), 0)), errChanged},
		{"far too long", strings.Repeat(floorLink, 1000), errLong},
		{"too long", mark + strings.Repeat("A", MaxLink), errLong},
		{"eight megabytes of zeros", bomb, errText},
	} {
		got, err := ReadLink(c.link)
		if !errors.Is(err, c.want) || got != nil {
			t.Errorf("%s: %q, %v; want %v", c.name, got, err, c.want)
		}
		if what, do, two := strings.Cut(c.want.Error(), "; "); !two || what == "" || do == "" {
			t.Errorf("%v does not say what and what to do", c.want)
		}
	}
}

// sealed is the link of bytes that need not be packed.
func sealed(packed []byte) string {
	sum := crc32.ChecksumIEEE(packed)
	n := len(packed)
	return mark + code.EncodeToString(append([]byte{byte(n >> 8), byte(n), byte(sum >> 24), byte(sum >> 16), byte(sum >> 8), byte(sum)}, packed...))
}

// respelt is a link whose last letter has bits that mean nothing.
func respelt(t *testing.T) string {
	for n := 1; ; n++ {
		link, err := Link([]byte(strings.Repeat("x", n)))
		if err != nil {
			t.Fatal(err)
		}
		if len(link[len(mark):])%4 == 2 {
			last := strings.IndexByte("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_", link[len(link)-1])
			return link[:len(link)-1] + string("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"[last|1])
		}
	}
}

// A text too large for a file or for a link is refused, and says what to send.
func TestTooLargeForALink(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	noise := make([]byte, MaxLink)
	for i := range noise {
		noise[i] = byte(rng.Uint32())
	}
	if link, err := Link(noise); err == nil || !strings.Contains(err.Error(), "send the file") {
		t.Errorf("%d letters, %v", len(link), err)
	}
	if link, err := Link(make([]byte, drill.MaxFile+1)); err == nil {
		t.Errorf("%d letters", len(link))
	}
	largest := make([]byte, drill.MaxFile)
	link, err := Link(largest)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := ReadLink(link); err != nil || !bytes.Equal(got, largest) {
		t.Errorf("%d bytes, %v", len(got), err)
	}
}

func TestIsLink(t *testing.T) {
	for fragment, want := range map[string]bool{
		floorLink: true, "d1.": true, "d27.x": true,
		"": false, "main": false, "d": false, "d1": false, "d.": false, "1.": false, "dx.": false,
	} {
		if IsLink(fragment) != want {
			t.Errorf("IsLink(%q) = %v", fragment, !want)
		}
	}
}

// Whatever comes as a link is read or refused, and never grows beyond a file.
func FuzzReadLink(f *testing.F) {
	f.Add(floorLink)
	f.Fuzz(func(t *testing.T, link string) {
		text, err := ReadLink(link)
		switch {
		case err != nil:
			if what, do, two := strings.Cut(err.Error(), "; "); !two || what == "" || do == "" || text != nil {
				t.Fatalf("%q with %q", err, text)
			}
		case len(text) > drill.MaxFile:
			t.Fatalf("%d bytes", len(text))
		default:
			if again, err := Link(text); err == nil {
				if same, err := ReadLink(again); err != nil || !bytes.Equal(same, text) {
					t.Fatalf("%q, %v", same, err)
				}
			}
		}
	})
}

// Whatever text goes into a link comes out of it.
func FuzzLink(f *testing.F) {
	f.Add([]byte(floor))
	f.Fuzz(func(t *testing.T, text []byte) {
		link, err := Link(text)
		if err != nil {
			return // too large
		}
		got, err := ReadLink(link)
		if err != nil || !bytes.Equal(got, text) || len(link) > MaxLink {
			t.Fatalf("%q: %q, %v", link, got, err)
		}
	})
}

func BenchmarkLink(b *testing.B) {
	text := []byte(strings.Repeat(floor, 8))
	for b.Loop() {
		link, err := Link(text)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := ReadLink(link); err != nil {
			b.Fatal(err)
		}
	}
}
