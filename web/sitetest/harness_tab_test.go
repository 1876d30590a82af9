//go:build !js

package sitetest

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// patience bounds every wait for the browser; our choice, far above what a
// loaded machine with two cores was seen to need.
const patience = 30 * time.Second

// A tab is one page in a profile of its own: no storage, no service worker, no
// permission from another tab.
type tab struct {
	t   testing.TB
	ctx context.Context

	mu       sync.Mutex
	problems []string
	allowed  []string
}

// open gives a tab that shows the site's page at address, once the program has
// put its page up.
func open(t testing.TB, address string) *tab {
	t.Helper()
	p := newTab(t)
	p.goTo(address)
	return p
}

// newTab gives an empty tab. When the test ends, what its console complained
// about fails the test, less what allow named.
func newTab(t testing.TB) *tab {
	t.Helper()
	browser, err := chromium()
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	p := &tab{t: t, ctx: ctx}
	messages := chromedp.Console(ctx)
	listened := make(chan struct{})
	go func() {
		defer close(listened)
		for m, err := range messages {
			if err != nil {
				return
			}
			p.hear(m)
		}
	}()
	t.Cleanup(func() {
		cancel()
		<-listened
		for _, problem := range p.unexpected() {
			t.Errorf("console: %s", problem)
		}
	})
	return p
}

func (p *tab) hear(m chromedp.ConsoleMessage) {
	if m.Type != chromedp.ConsoleError && !m.IsException() {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.problems = append(p.problems, fmt.Sprintf("%s (%s:%d %s)", m.Text, m.URL, m.Line+1, m.Source))
}

// allow names words whose presence makes a complaint of the console expected.
func (p *tab) allow(words ...string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.allowed = append(p.allowed, words...)
}

// unexpected lists the complaints of the console so far that were not allowed.
func (p *tab) unexpected() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	var list []string
	for _, problem := range p.problems {
		if !containsAny(problem, p.allowed) {
			list = append(list, problem)
		}
	}
	return list
}

// heardUntil waits until the console has complained with the given words, and
// gives all its complaints.
func (p *tab) heardUntil(words string) string {
	p.t.Helper()
	look := time.NewTicker(10 * time.Millisecond)
	defer look.Stop()
	for end := time.After(patience); ; {
		p.mu.Lock()
		all := strings.Join(p.problems, "\n")
		p.mu.Unlock()
		if strings.Contains(all, words) {
			return all
		}
		select {
		case <-look.C:
		case <-end:
			return all
		}
	}
}

func containsAny(s string, words []string) bool {
	for _, w := range words {
		if strings.Contains(s, w) {
			return true
		}
	}
	return false
}

// do runs steps and fails the test when one does not come to an end.
func (p *tab) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatalf("%s: %v\n%s", what, err, p.state())
	}
}

// state describes the page for a failed test.
func (p *tab) state() string {
	ctx, cancel := context.WithTimeout(p.ctx, time.Second)
	defer cancel()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.href + "\n" + (document.body ? document.body.innerText : "")`))
	if err != nil {
		text = "(the page does not answer)"
	}
	return fmt.Sprintf("the page: %s\nthe console: %q", text, p.unexpected())
}

// mounted is true once the program has put its page in place of the loading one.
const mounted = `document.readyState === "complete" && !document.getElementById("loading") && !document.getElementById("failure") && document.body.firstElementChild !== null`

// goTo shows an address and waits until the program has put its page up.
func (p *tab) goTo(address string) {
	p.t.Helper()
	p.do("opening "+address, chromedp.Navigate(address))
	p.waitFor(mounted, "the program's page")
}

// reload loads the page again and waits for the program's page.
func (p *tab) reload() {
	p.t.Helper()
	p.do("loading again", chromedp.Reload())
	p.waitFor(mounted, "the program's page")
}

// waitFor waits until a JavaScript expression is true, through loads of the
// page too; what names it in a failure.
func (p *tab) waitFor(expression, what string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	look := time.NewTicker(10 * time.Millisecond)
	defer look.Stop()
	for {
		// An error here is a page between two loads, or an expression that
		// reads what is not there yet.
		if there, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`!!(`+expression+`)`)); err == nil && there {
			return
		}
		select {
		case <-look.C:
		case <-ctx.Done():
			p.t.Fatalf("waiting for %s (%s): not within %v\n%s", what, expression, patience, p.state())
		}
	}
}

// painted waits until two pictures of the page were made, so that what is
// pressed next is where the page says it is. A page out of sight makes none:
// then for a fifth of a second.
func (p *tab) painted() {
	p.t.Helper()
	eval[bool](p, `new Promise(done => {
		requestAnimationFrame(() => requestAnimationFrame(() => done(true)))
		setTimeout(() => done(true), 200)
	})`)
}

// click presses the middle of the element that a CSS selector finds.
func (p *tab) click(selector string) {
	p.t.Helper()
	p.do("seeing "+selector, chromedp.ScrollIntoView(chromedp.CSS(selector)))
	p.painted()
	p.do("clicking "+selector, chromedp.Click(chromedp.CSS(selector), chromedp.NodeVisible))
}

// text gives the visible text of the element that a CSS selector finds.
func (p *tab) text(selector string) string {
	p.t.Helper()
	return eval[string](p, `document.querySelector(`+quote(selector)+`)?.innerText ?? ""`)
}

// eval gives the value of a JavaScript expression; a promise is waited for.
func eval[T any](p *tab, expression string) T {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%s: %v\n%s", expression, err, p.state())
	}
	return value
}

// size sets the window, in CSS pixels.
func (p *tab) size(width, height int64) {
	p.t.Helper()
	p.do("sizing the window", chromedp.EmulateViewport(width, height))
	p.painted()
}

// theme sets what the system prefers: "dark" or "light".
func (p *tab) theme(scheme string) {
	p.t.Helper()
	p.media(&emulation.MediaFeature{Name: "prefers-color-scheme", Value: scheme})
}

func (p *tab) media(features ...*emulation.MediaFeature) {
	p.t.Helper()
	_, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
	if err != nil {
		p.t.Fatal(err)
	}
}

// outDir is the ignored folder for what tests leave for a person to look at.
func outDir(t testing.TB, name string) string {
	t.Helper()
	dir := filepath.Join(moduleDir, ".build", name)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	return dir
}

// windows are the sizes every page is looked at: a laptop and a phone.
var windows = []struct {
	name          string
	width, height int64
}{{"", 1280, 800}, {"-phone", 390, 844}}

// screens writes .build/screens/NAME-THEME.png and NAME-phone-THEME.png of the
// page as it is, and leaves the tab in the last of these.
func (p *tab) screens(name string) {
	p.t.Helper()
	for _, window := range windows {
		p.size(window.width, window.height)
		for _, scheme := range []string{"dark", "light"} {
			p.theme(scheme)
			p.screen(name + window.name + "-" + scheme)
		}
	}
}

func (p *tab) screen(name string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patience)
	defer cancel()
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(filepath.Join(outDir(p.t, "screens"), name+".png"), png, 0o666)
	}
	if err != nil {
		p.t.Fatalf("picture %s: %v", name, err)
	}
}

// navigate shows an address without waiting for the program.
func navigate(address string) chromedp.Action[chromedp.Void] { return chromedp.Navigate(address) }

// quote writes s as a JavaScript string.
func quote(s string) string {
	data, err := json.Marshal(s)
	if err != nil {
		panic(err) // a string always has a JSON form
	}
	return string(data)
}
