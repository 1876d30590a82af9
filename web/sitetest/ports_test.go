//go:build !js

package sitetest

import (
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"

	"stampmill/app/port/porttest"
)

// portsPage holds what package porttest asks for, on a page that scrolls.
var portsPage = fmt.Sprintf(`<!doctype html><meta charset="utf-8"><title>ports</title>
<style>body { margin: 0; height: 3000px } #strip { width: %dpx; height: %dpx; background: #888 } pre { height: 100px; overflow: auto }</style>
<div id="strip" data-draw="strip" data-keys="strip" tabindex="0"><b>drawn on</b></div>
<textarea id="field" data-text wrap="off"></textarea>
<pre id="out"></pre>
<script src="wasm_exec.js"></script>
<script>
const go = new Go(), wentBefore = history.length;
go.argv = ["ports"];
WebAssembly.instantiateStreaming(fetch("engine.wasm"), go.importObject).then(r => go.run(r.instance));
</script>`, porttest.Width, porttest.Height)

// openPorts shows the page of the ports.
func openPorts(t *testing.T) *player {
	t.Helper()
	handler, err := engineSite()
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(handler)
	t.Cleanup(server.Close)
	p := &player{tab: newTab(t), folder: t.TempDir()}
	p.allow("favicon")
	p.size(800, 600)
	p.touchScreen()
	call(p, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	call(p, page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true})
	if _, err := chromedp.CallBrowser(p.ctx, browser.SetPermission, browser.SetPermissionParams{
		Permission: &browser.PermissionDescriptor{Name: "clipboard-write"}, Setting: "granted",
		BrowserContextID: chromedp.FromContext(p.ctx).BrowserContextID,
	}); err != nil {
		t.Fatal(err)
	}
	p.asked = make(chan dom.SetFileInputFilesParams, 1)
	if err := chromedp.Listen(p.ctx, func(event any) {
		if e, ok := event.(*page.EventFileChooserOpened); ok {
			p.asked <- dom.SetFileInputFilesParams{BackendNodeID: e.BackendNodeID}
		}
	}); err != nil {
		t.Fatal(err)
	}
	p.do("opening the ports", navigate(server.URL+"/ports"))
	p.said(`^broken`)
	return p
}

func call[P, R any](p *player, command cdp.Command[P, R], params P) {
	p.t.Helper()
	if _, err := chromedp.Call(p.ctx, command, params); err != nil {
		p.t.Fatal(err)
	}
}

// lines are what the program was told so far.
func (p *player) lines() []string {
	p.t.Helper()
	return strings.Split(strings.TrimSuffix(eval[string](p.tab, `document.getElementById("out").textContent`), "\n"), "\n")
}

// The browser keeps the same promises as its stand-in in memory.
func TestPortsKeepTheirPromises(t *testing.T) {
	p := openPorts(t)
	if got := p.lines()[0]; got != "broken []" {
		t.Error(got)
	}
	seen := 1
	for _, s := range porttest.Scenes() {
		s.Play(p)
		p.waitFor(fmt.Sprintf(`document.getElementById("out").textContent.split("\n").length > %d`, seen+len(s.Want)), s.Name)
		lines := p.lines()[seen:]
		seen += len(lines)
		if diff := cmp.Diff(s.Want, lines); diff != "" {
			t.Errorf("%s (-want +got):\n%s", s.Name, diff)
		}
	}
	if top := eval[float64](p.tab, `scrollY`); top != 0 {
		t.Errorf("the page scrolled by %g under a stroke", top)
	}
}

// A stroke goes on when the picture under it is replaced as soon as it begins,
// and the page does not scroll.
func TestStrokesOutliveWhatIsDrawnOn(t *testing.T) {
	p := openPorts(t)
	eval[bool](p.tab, `(addEventListener("pointerdown", () => { const old = document.getElementById("strip"); old.replaceWith(old.cloneNode(true)); }), true)`)
	p.Draw(true, false, [2]float64{20, 95}, [2]float64{20, 60}, [2]float64{20, 5})
	p.said(`^point 2 source 1 on "strip" at 0.10 0.05`)
	p.Draw(false, false, [2]float64{20, 10}, [2]float64{100, 50})
	p.said(`^point 2 source 2 on "strip" at 0.50 0.50`)
	if top := eval[float64](p.tab, `scrollY`); top != 0 {
		t.Errorf("the page scrolled by %g", top)
	}
}

// A stroke under which the picture goes for good is broken off.
func TestStrokesBreakWithWhatIsDrawnOn(t *testing.T) {
	p := openPorts(t)
	eval[bool](p.tab, `(addEventListener("pointermove", () => document.getElementById("strip")?.remove()), true)`)
	p.Draw(false, false, [2]float64{20, 10}, [2]float64{100, 50}, [2]float64{120, 50}, [2]float64{140, 50})
	p.said(`^point 3 source`)
	if lines := p.lines(); len(lines) != 4 { // what keeps the promises, begun, moved, broken
		t.Errorf("told %q", lines)
	}
}

// Where the program takes no stroke, a finger scrolls the page.
func TestFingersScrollWhatIsNotTaken(t *testing.T) {
	p := openPorts(t)
	p.Draw(true, false, [2]float64{195, 95}, [2]float64{195, 60}, [2]float64{195, 5})
	p.waitFor(`scrollY > 0`, "scrolling")
	if lines := p.lines(); len(lines) != 2 {
		t.Errorf("told of more than the beginning: %q", lines)
	}
}

// The program's changes of the fragment leave no trace in the history.
func TestFragmentsLeaveNoHistory(t *testing.T) {
	p := openPorts(t)
	if n := eval[int](p.tab, `history.length - wentBefore`); n != 0 {
		t.Errorf("%d more places to go back to", n)
	}
}

// The browser asks before the page is left exactly while it is held.
func TestHoldingThePage(t *testing.T) {
	p := openPorts(t)
	p.Focus(porttest.Strip)
	asks := `!dispatchEvent(new Event("beforeunload", { cancelable: true }))`
	for _, c := range []struct {
		keys string
		want bool
	}{{"KeyX", false}, {"KeyH", true}, {"KeyH", true}, {"shift+KeyH", false}} {
		p.Press(c.keys)
		if got := eval[bool](p.tab, asks); got != c.want {
			t.Errorf("after %s the browser asks: %v", c.keys, got)
		}
	}
}

// Out of sight counts as leaving: a phone may never come back.
func TestOutOfSightIsLeaving(t *testing.T) {
	p := openPorts(t)
	eval[bool](p.tab, `(Object.defineProperty(document, "visibilityState", { value: "hidden" }), document.dispatchEvent(new Event("visibilitychange")))`)
	p.said(`^leaving`)
}

// Without a clipboard, or where it is denied, the program is told.
func TestCopyingIsDenied(t *testing.T) {
	for _, without := range []string{
		`Object.defineProperty(navigator, "clipboard", { value: undefined })`,
		`navigator.clipboard.writeText = () => Promise.reject(new DOMException("denied", "NotAllowedError"))`,
	} {
		p := openPorts(t)
		eval[bool](p.tab, `(`+without+`, true)`)
		p.Focus(porttest.Strip)
		p.Press("KeyC")
		p.said(`^copied false`)
	}
}

// A question for a file that is answered with none is over, and the next one is
// asked.
func TestNoFileIsChosen(t *testing.T) {
	p := openPorts(t)
	p.Focus(porttest.Strip)
	no := true
	call(p, page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true, Cancel: &no})
	p.Press("KeyO")
	<-p.asked
	call(p, page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true})
	p.Press("KeyO")
	p.Choose(porttest.File{Name: "winze.drill", Size: 3})
	p.said(`^file "winze.drill" of 3 bytes`)
	if lines := p.lines(); len(lines) != 4 {
		t.Errorf("told %q", lines)
	}
}

// player acts on the page with the browser's own events.
type player struct {
	*tab
	folder string // for its files
	asked  chan dom.SetFileInputFilesParams
}

func (p *player) Focus(id string) {
	p.t.Helper()
	eval[bool](p.tab, `(document.getElementById(`+quote(id)+`).focus(), true)`)
}

func (p *player) Press(keys string) {
	p.t.Helper()
	names := strings.Split(keys, "+")
	down := keyEvent(names[len(names)-1])
	for _, name := range names[:len(names)-1] {
		down.Modifiers |= map[string]int64{"alt": 1, "ctrl": 2, "meta": 4, "shift": 8}[name]
	}
	down.Type = input.DispatchKeyEventTypeRawKeyDown
	if down.Modifiers == 0 && down.Text != "" {
		down.Type = input.DispatchKeyEventTypeKeyDown
	} else {
		down.Text, down.UnmodifiedText = "", ""
	}
	up := down
	up.Type, up.Text, up.UnmodifiedText = input.DispatchKeyEventTypeKeyUp, "", ""
	call(p, input.DispatchKeyEvent, down)
	call(p, input.DispatchKeyEvent, up)
}

func (p *player) Write(text string) {
	p.t.Helper()
	call(p, input.InsertText, input.InsertTextParams{Text: text})
}

func (p *player) Back() { p.Press("ArrowLeft") }

func (p *player) Draw(byFinger, shift bool, places ...[2]float64) {
	p.t.Helper()
	if byFinger {
		p.drawByFinger(places)
		return
	}
	event := input.DispatchMouseEventParams{Button: "left", Buttons: 1, ClickCount: 1}
	if shift {
		event.Modifiers = 8
	}
	for i, at := range places {
		event.Type, event.X, event.Y = "mouseMoved", at[0], at[1]
		if i == 0 {
			event.Type = "mousePressed"
		}
		call(p, input.DispatchMouseEvent, event)
	}
	event.Type, event.Buttons = "mouseReleased", 0
	call(p, input.DispatchMouseEvent, event)
}

func (p *player) drawByFinger(places [][2]float64) {
	p.t.Helper()
	for i, at := range places {
		event := input.DispatchTouchEventParams{Type: "touchMove", TouchPoints: []*input.TouchPoint{{X: at[0], Y: at[1]}}}
		if i == 0 {
			event.Type = "touchStart"
		}
		call(p, input.DispatchTouchEvent, event)
	}
	call(p, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: "touchEnd", TouchPoints: []*input.TouchPoint{}})
}

// made writes a file for the browser to read.
func (p *player) made(f porttest.File) string {
	p.t.Helper()
	path := filepath.Join(p.folder, f.Name)
	var err error
	if f.Folder {
		err = os.MkdirAll(path, 0o777)
	} else {
		err = os.WriteFile(path, []byte(strings.Repeat("x", f.Size)), 0o666)
	}
	if err != nil {
		p.t.Fatal(err)
	}
	return path
}

func (p *player) Choose(f porttest.File) {
	p.t.Helper()
	answer := <-p.asked
	answer.Files = []string{p.made(f)}
	call(p, dom.SetFileInputFiles, answer)
}

func (p *player) Drop(files ...porttest.File) {
	p.t.Helper()
	data := &input.DragData{Items: []*input.DragDataItem{}, DragOperationsMask: 1}
	for _, f := range files {
		data.Files = append(data.Files, p.made(f))
	}
	for _, stage := range []input.DispatchDragEventType{"dragEnter", "dragOver", "drop"} {
		call(p, input.DispatchDragEvent, input.DispatchDragEventParams{Type: stage, X: 400, Y: 300, Data: data})
		if over := eval[bool](p.tab, `document.documentElement.hasAttribute("data-dropping")`); over != (stage != "drop") {
			p.t.Errorf("after %s: the page shows that files are held over it: %v", stage, over)
		}
	}
}

func (p *player) Follow(fragment string) {
	p.t.Helper()
	eval[bool](p.tab, `(location.hash = `+quote(fragment)+`, true)`)
}

func (p *player) Elsewhere(name, value string) {
	p.t.Helper()
	eval[bool](p.tab, `(() => {
		const frame = document.body.appendChild(document.createElement("iframe"));
		frame.contentWindow.localStorage.setItem("other." + `+quote(name)+`, "not ours");
		frame.contentWindow.localStorage.setItem("stampmill." + `+quote(name)+`, `+quote(value)+`);
		return true;
	})()`)
}

func (p *player) Leave() {
	p.t.Helper()
	eval[bool](p.tab, `dispatchEvent(new PageTransitionEvent("pagehide"))`)
}

func (p *player) Wait(ms float64) {
	p.t.Helper()
	eval[bool](p.tab, fmt.Sprintf(`new Promise(done => setTimeout(() => done(true), %f))`, ms))
}
