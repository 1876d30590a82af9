// Package svg writes SVG elements with classes and lengths, and nothing else: no
// style and no colour, which the page's CSS gives by class.
//
// The one idea: a [Pen] appends elements to its bytes, every text escaped and
// every length with at most one decimal, in user units of the picture. Embed it
// in what is drawn; begin an element with [Pen.Tag] or draw a whole one with
// [Pen.Line], [Pen.Circle], [Pen.Rect], [Pen.Path] and [Pen.Text].
package svg

import (
	"strconv"
	"strings"
)

// A Pen is a picture in the making. The zero value is empty.
type Pen struct{ B []byte }

// String returns what was written.
func (p *Pen) String() string { return string(p.B) }

// Raw writes text as it is: markup only, never words.
func (p *Pen) Raw(s string) { p.B = append(p.B, s...) }

// Tag begins an element with a class, which is left out when "".
func (p *Pen) Tag(name, class string) {
	p.B = append(p.B, '<')
	p.Raw(name)
	if class != "" {
		p.Attr("class", class)
	}
}

// Attr writes an attribute, escaped.
func (p *Pen) Attr(name, value string) {
	p.B = append(p.B, ' ')
	p.Raw(name)
	p.Raw(`="`)
	p.Raw(Escape(value))
	p.B = append(p.B, '"')
}

// Set writes attributes that are lengths: names separated by spaces, as many
// as values.
func (p *Pen) Set(names string, values ...float64) {
	for _, v := range values {
		name, rest, _ := strings.Cut(names, " ")
		names = rest
		p.B = append(p.B, ' ')
		p.Raw(name)
		p.Raw(`="`)
		p.B = AppendNumber(p.B, v)
		p.B = append(p.B, '"')
	}
}

// End ends an element that holds nothing.
func (p *Pen) End() { p.Raw("/>\n") }

// Line draws a straight line.
func (p *Pen) Line(class string, x1, y1, x2, y2 float64) {
	p.Tag("line", class)
	p.Set("x1 y1 x2 y2", x1, y1, x2, y2)
	p.End()
}

// Circle draws a circle.
func (p *Pen) Circle(class string, x, y, r float64) {
	p.Tag("circle", class)
	p.Set("cx cy r", x, y, r)
	p.End()
}

// Rect draws a rectangle.
func (p *Pen) Rect(class string, x, y, w, h float64) {
	p.Tag("rect", class)
	p.Set("x y width height", x, y, w, h)
	p.End()
}

// Path writes a path whose data is form with each # replaced by the next value.
func (p *Pen) Path(class, form string, values ...float64) {
	p.Tag("path", class)
	p.Raw(` d="`)
	for _, c := range []byte(form) {
		if c == '#' && len(values) > 0 {
			p.B = AppendNumber(p.B, values[0])
			values = values[1:]
			continue
		}
		p.B = append(p.B, c)
	}
	p.B = append(p.B, '"')
	p.End()
}

// The anchors of a text.
const (
	AtStart  = ""
	AtMiddle = "middle"
	AtEnd    = "end"
)

// Text writes words from, around or up to a place on their baseline.
func (p *Pen) Text(class, anchor string, x, y float64, words string) {
	p.Tag("text", class)
	p.Set("x y", x, y)
	if anchor != AtStart {
		p.Attr("text-anchor", anchor)
	}
	p.Raw(">")
	p.Raw(Escape(words))
	p.Raw("</text>\n")
}

// Close ends a g.
func (p *Pen) Close() { p.Raw("</g>\n") }

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;", "'", "&#39;")

// Escape makes any text safe in SVG, as content and between quotes. What XML
// 1.0 cannot hold (control characters, broken UTF-8) becomes U+FFFD.
func Escape(s string) string {
	if plain(s) {
		return s
	}
	clean := strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF {
			return 0xFFFD
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	return escaper.Replace(clean)
}

// plain reports whether a text is safe as it is.
func plain(s string) bool {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c >= 0x80 || c == '&' || c == '<' || c == '>' || c == '"' || c == '\'' {
			return false
		}
	}
	return true
}

// AppendNumber appends a length with at most one decimal; 0 for what is no
// number.
func AppendNumber(dst []byte, x float64) []byte {
	if x-x != 0 || x > -0.05 && x < 0.05 {
		return append(dst, '0')
	}
	dst = strconv.AppendFloat(dst, x, 'f', 1, 64)
	if n := len(dst); dst[n-1] == '0' {
		dst = dst[:n-2]
	}
	return dst
}
