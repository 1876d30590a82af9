package strip_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// style returns the page's style sheet.
func style(t *testing.T) string {
	css, err := os.ReadFile("../../web/static/stampmill.css")
	if err != nil {
		t.Fatal(err)
	}
	return string(css)
}

// tokens returns the colours of a theme: of the first rule of a selector.
func tokens(t *testing.T, css, selector string) map[string]string {
	_, rule, ok := strings.Cut(css, selector+" {")
	if !ok {
		t.Fatalf("no rule for %s", selector)
	}
	rule, _, _ = strings.Cut(rule, "}")
	all := map[string]string{}
	for _, m := range regexp.MustCompile(`--([a-z0-9-]+): (#[0-9a-f]+);`).FindAllStringSubmatch(rule, -1) {
		all[m[1]] = m[2]
	}
	return all
}

// rgba reads #rrggbb or #rrggbbaa into shares of 1.
func rgba(t *testing.T, hex string) (c [4]float64) {
	c[3] = 1
	for i := 0; 2*i+1 < len(hex); i++ {
		n, err := strconv.ParseUint(hex[2*i+1:2*i+3], 16, 8)
		if err != nil || i > 3 {
			t.Fatalf("%q is no colour", hex)
		}
		c[i] = float64(n) / 255
	}
	return c
}

// over lays a colour with some transparency over an opaque one.
func over(top, ground [4]float64) (c [4]float64) {
	for i := range 3 {
		c[i] = top[i]*top[3] + ground[i]*(1-top[3])
	}
	c[3] = 1
	return c
}

// luminance is the relative luminance of WCAG 2.2.
func luminance(c [4]float64) float64 {
	linear := func(x float64) float64 {
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c[0]) + 0.7152*linear(c[1]) + 0.0722*linear(c[2])
}

// contrast is the contrast ratio of WCAG 2.2.
func contrast(a, b [4]float64) float64 {
	x, y := luminance(a)+0.05, luminance(b)+0.05
	return max(x, y) / min(x, y)
}

// What writing adds can be seen in both themes, on the strip's ground and on
// the hatched one: words at 4.5 to 1, lines at 3 to 1 (WCAG 2.2, 1.4.3 and
// 1.4.11); so it can in grey, which has the same luminance.
func TestContrast(t *testing.T) {
	css := style(t)
	for theme, selector := range map[string]string{"dark": ":root", "light": `:root[data-theme="light"]`} {
		colours := tokens(t, css, selector)
		face := rgba(t, colours["face"])
		grounds := map[string][4]float64{"face": face, "selected": over(rgba(t, colours["ore-wash"]), face)}
		for _, c := range []struct {
			class, property string
			least           float64
		}{
			{".sm-cursor", "stroke", 3}, {".sm-problem", "stroke", 3}, {".sm-leader", "stroke", 3}, {".sm-edge", "stroke", 3},
			{".sm-strip .sm-fault", "fill", 4.5}, {".sm-strip .sm-stick", "fill", 4.5},
		} {
			rule := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(c.class) + ` \{[^}]*\b` + c.property + `: var\(--([a-z0-9-]+)\)`).FindStringSubmatch(css)
			if rule == nil {
				t.Errorf("%s has no %s", c.class, c.property)
				continue
			}
			for name, ground := range grounds {
				if got := contrast(rgba(t, colours[rule[1]]), ground); got < c.least {
					t.Errorf("%s: %s on %s has %.1f to 1, want %v", theme, c.class, name, got, c.least)
				}
			}
		}
		if got := contrast(rgba(t, colours["ore-ink"]), rgba(t, colours["ore"])); got < 4.5 {
			t.Errorf("%s: the word of a tag has %.1f to 1", theme, got)
		}
	}
}

// Nothing is told by colour alone: the frames of a selection, a problem and the
// cursor differ in their lines.
func TestFramesDifferWithoutColour(t *testing.T) {
	css := style(t)
	seen := map[string]string{}
	for _, class := range []string{"sm-edge", "sm-problem", "sm-cursor"} {
		rule := regexp.MustCompile(`(?m)^\.` + class + ` \{([^}]*)\}`).FindStringSubmatch(css)
		if rule == nil {
			t.Fatalf("no rule for %s", class)
		}
		lines := fmt.Sprint(regexp.MustCompile(`stroke-(?:width|dasharray): [^;]*`).FindAllString(rule[1], -1))
		if other, ok := seen[lines]; ok {
			t.Errorf("%s has the lines of %s: %s", class, other, lines)
		}
		seen[lines] = class
	}
	if !strings.Contains(css, ".sm-cursor { fill: none; stroke: var(--focus); stroke-width: 3; }") {
		t.Error("the cursor is not framed as every focus is: 3 wide")
	}
}

// Every class of the pictures has a rule, but those that are for tests.
func TestEveryClassHasALook(t *testing.T) {
	css := style(t)
	bare := map[string]bool{"sm-row": true, "sm-s": true, "sm-h": true}
	for name, svg := range pictures(t) {
		for _, classes := range regexp.MustCompile(`class="([^"]*)"`).FindAllStringSubmatch(svg, -1) {
			for _, class := range strings.Fields(classes[1]) {
				if !bare[class] && !regexp.MustCompile(`\.`+class+`\b`).MatchString(css) {
					t.Errorf("%s: class %s has no rule", name, class)
				}
			}
		}
	}
}
