package svg

import (
	"encoding/xml"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestElements(t *testing.T) {
	for _, c := range []struct {
		draw func(p *Pen)
		want string
	}{
		{func(p *Pen) { p.Line("a b", 1, 2.04, 3.05, -0.04) }, `<line class="a b" x1="1" y1="2" x2="3" y2="0"/>`},
		{func(p *Pen) { p.Circle("", 1.25, 1e3, 2) }, `<circle cx="1.2" cy="1000" r="2"/>`},
		{func(p *Pen) { p.Rect("c", 0, math.NaN(), math.Inf(1), 7.96) }, `<rect class="c" x="0" y="0" width="0" height="8"/>`},
		{func(p *Pen) { p.Path("c", "M# #h#z", 1, 2, 3, 4) }, `<path class="c" d="M1 2h3z"/>`},
		{func(p *Pen) { p.Text("c", AtEnd, 1, 2, `<"&'>`) }, `<text class="c" x="1" y="2" text-anchor="end">&lt;&#34;&amp;&#39;&gt;</text>`},
	} {
		var p Pen
		c.draw(&p)
		if got := p.String(); got != c.want+"\n" {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Any bytes come out as text and as an attribute of XML, and come back as they
// were but for what XML cannot hold.
func TestAnyWordsAreWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.OneOf(rapid.String(), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) })).Draw(t, "words")
		var p Pen
		p.Tag("a", words)
		p.Raw(">" + Escape(words) + "</a>")
		var back struct {
			Class string `xml:"class,attr"`
			Text  string `xml:",chardata"`
		}
		if err := xml.Unmarshal(p.B, &back); err != nil {
			t.Fatalf("%q: %v", p.B, err)
		}
		if len([]rune(back.Text)) > len([]rune(words)) || words == "" != (back.Text == "") {
			t.Fatalf("%q came back as %q", words, back.Text)
		}
	})
}
