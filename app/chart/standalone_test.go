package chart

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"
)

// theme returns the colours of the first rule of a selector in the page's style.
func theme(t *testing.T, selector string) map[string]string {
	css, err := os.ReadFile("../../web/static/stampmill.css")
	if err != nil {
		t.Fatal(err)
	}
	_, rule, _ := strings.Cut(string(css), selector+" {")
	rule, _, _ = strings.Cut(rule, "}")
	all := map[string]string{}
	for _, m := range regexp.MustCompile(`--([a-z0-9-]+): (#[0-9a-f]+);`).FindAllStringSubmatch(rule, -1) {
		all[m[1]] = m[2]
	}
	return all
}

// Files have the page's colours; the wash is the page's as it lies on the face.
func TestFilesHaveThePagesColours(t *testing.T) {
	light, dark := theme(t, `:root[data-theme="light"]`), theme(t, ":root")
	for _, tok := range tokens {
		for _, c := range []struct {
			page map[string]string
			got  string
		}{{light, tok.light}, {dark, tok.dark}} {
			if want := laid(t, c.page[tok.name], c.page["face"]); c.got != want {
				t.Errorf("%s is %s, on the page %s", tok.name, c.got, want)
			}
		}
	}
	for _, th := range []Theme{Light, Dark} {
		if style := styleOf(th); strings.Contains(style, "var(") {
			t.Errorf("theme %d leaves a token: %s", th, style)
		}
	}
}

// laid returns a colour laid over an opaque one.
func laid(t *testing.T, top, ground string) string {
	var a, b [4]int
	a[3] = 255
	if n, _ := fmt.Sscanf(top, "#%02x%02x%02x%02x", &a[0], &a[1], &a[2], &a[3]); n < 3 {
		t.Fatalf("%q is no colour", top)
	}
	if n, _ := fmt.Sscanf(ground, "#%02x%02x%02x", &b[0], &b[1], &b[2]); n < 3 {
		t.Fatalf("%q is no colour", ground)
	}
	share := float64(a[3]) / 255
	out := "#"
	for i := range 3 {
		out += fmt.Sprintf("%02x", int(math.Round(float64(a[i])*share+float64(b[i])*(1-share))))
	}
	return out
}

// Words are read at 4.5 to 1 and lines that mean something seen at 3 to 1 (WCAG
// 2.2, 1.4.3 and 1.4.11), on the face, and judgements on the wash too; so they
// are in grey, which has the same luminance, and on paper.
func TestContrast(t *testing.T) {
	for name, colour := range map[string]func(token) string{
		"light": func(t token) string { return t.light }, "dark": func(t token) string { return t.dark }, "paper": func(t token) string { return t.paper },
	} {
		of := map[string]string{}
		for _, tok := range tokens {
			of[tok.name] = colour(tok)
		}
		for _, c := range []struct {
			front, back string
			least       float64
		}{
			{"ink", "face", 4.5}, {"ink-2", "face", 4.5}, {"early", "face", 4.5}, {"tight", "face", 4.5}, {"late", "face", 4.5},
			{"early", "tight-wash", 4.5}, {"tight", "tight-wash", 4.5}, {"late", "tight-wash", 4.5}, {"ink", "tight-wash", 4.5},
			{"edge", "face", 3}, {"ink-2", "tight-wash", 3}, {"ink", "face-2", 3}, {"ink-2", "face-2", 3}, {"edge", "face-2", 3},
		} {
			if got := contrast(of[c.front], of[c.back]); got < c.least {
				t.Errorf("%s: %s on %s has %.1f to 1, want %v", name, c.front, c.back, got, c.least)
			}
		}
	}
}

// contrast is the contrast ratio of WCAG 2.2.
func contrast(a, b string) float64 {
	x, y := luminance(a)+0.05, luminance(b)+0.05
	return max(x, y) / min(x, y)
}

func luminance(hex string) float64 {
	var c [3]int
	fmt.Sscanf(hex, "#%02x%02x%02x", &c[0], &c[1], &c[2])
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		x := float64(c[i]) / 255
		if x <= 0.04045 {
			sum += weight * x / 12.92
			continue
		}
		sum += weight * math.Pow((x+0.055)/1.055, 2.4)
	}
	return sum
}
