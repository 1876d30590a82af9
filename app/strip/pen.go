package strip

import (
	"strconv"
	"strings"
)

// A pen writes SVG elements with classes and lengths, and nothing else.
type pen struct{ b []byte }

func (p *pen) raw(s string) { p.b = append(p.b, s...) }

// tag begins an element with a class, which is left out when "".
func (p *pen) tag(name, class string) {
	p.b = append(p.b, '<')
	p.raw(name)
	if class != "" {
		p.attr("class", class)
	}
}

// attr writes an attribute, escaped.
func (p *pen) attr(name, value string) {
	p.b = append(p.b, ' ')
	p.raw(name)
	p.raw(`="`)
	p.raw(escape(value))
	p.b = append(p.b, '"')
}

// set writes attributes that are lengths: names separated by spaces, as many
// as values.
func (p *pen) set(names string, values ...float64) {
	for _, v := range values {
		name, rest, _ := strings.Cut(names, " ")
		names = rest
		p.b = append(p.b, ' ')
		p.raw(name)
		p.raw(`="`)
		p.b = appendNumber(p.b, v)
		p.b = append(p.b, '"')
	}
}

func (p *pen) end() { p.raw("/>\n") }

func (p *pen) line(class string, x1, y1, x2, y2 float64) {
	p.tag("line", class)
	p.set("x1 y1 x2 y2", x1, y1, x2, y2)
	p.end()
}

func (p *pen) circle(class string, x, y, r float64) {
	p.tag("circle", class)
	p.set("cx cy r", x, y, r)
	p.end()
}

func (p *pen) rect(class string, x, y, w, h float64) {
	p.tag("rect", class)
	p.set("x y width height", x, y, w, h)
	p.end()
}

// path writes a path whose data is form with each # replaced by the next value.
func (p *pen) path(class, form string, values ...float64) {
	p.tag("path", class)
	p.raw(` d="`)
	for _, c := range []byte(form) {
		if c == '#' && len(values) > 0 {
			p.b = appendNumber(p.b, values[0])
			values = values[1:]
			continue
		}
		p.b = append(p.b, c)
	}
	p.b = append(p.b, '"')
	p.end()
}

// The anchors of a text.
const (
	atStart  = ""
	atMiddle = "middle"
	atEnd    = "end"
)

func (p *pen) text(class, anchor string, x, y float64, words string) {
	p.tag("text", class)
	p.set("x y", x, y)
	if anchor != atStart {
		p.attr("text-anchor", anchor)
	}
	p.raw(">")
	p.raw(escape(words))
	p.raw("</text>\n")
}

// close ends a g.
func (p *pen) close() { p.raw("</g>\n") }

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;", "'", "&#39;")

// escape makes any text safe in SVG, as content and between quotes. What XML
// 1.0 cannot hold (control characters, broken UTF-8) becomes U+FFFD.
func escape(s string) string {
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

// appendNumber appends a length with at most one decimal; 0 for what is no
// number.
func appendNumber(dst []byte, x float64) []byte {
	if x-x != 0 || x > -0.05 && x < 0.05 {
		return append(dst, '0')
	}
	dst = strconv.AppendFloat(dst, x, 'f', 1, 64)
	if n := len(dst); dst[n-1] == '0' {
		dst = dst[:n-2]
	}
	return dst
}
