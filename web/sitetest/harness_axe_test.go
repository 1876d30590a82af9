//go:build !js

package sitetest

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"github.com/chromedp/chromedp"
)

// axeSource is axe-core, which "make tools" puts into an ignored folder.
var axeSource = sync.OnceValues(func() (string, error) {
	data, err := os.ReadFile(filepath.Join(moduleDir, ".build", "axe", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		return "", fmt.Errorf("axe-core is not here: %w; type: make tools", err)
	}
	return string(data), nil
})

type axeFinding struct {
	ID     string   `json:"id"`
	Impact string   `json:"impact"`
	Help   string   `json:"help"`
	Places []string `json:"places"`
}

// checkAxe fails the test for what axe-core finds serious or critical on the
// page as it is, and tells the rest in the log.
func (p *tab) checkAxe() {
	p.t.Helper()
	source, err := axeSource()
	if err != nil {
		p.t.Fatal(err)
	}
	p.do("bringing axe-core in", func() chromedp.Action[chromedp.Void] {
		return chromedp.Evaluate[chromedp.Void](source)
	}())
	for _, f := range eval[[]axeFinding](p, `axe.run().then(r => r.violations.map(v => ({
		id: v.id, impact: v.impact, help: v.help, places: v.nodes.map(n => n.target.join(" ")+": "+n.failureSummary) })))`) {
		words := fmt.Sprintf("axe %s (%s): %s\n  %s", f.ID, f.Impact, f.Help, strings.Join(f.Places, "\n  "))
		if f.Impact == "serious" || f.Impact == "critical" {
			p.t.Error(words)
		} else {
			p.t.Log(words)
		}
	}
}
