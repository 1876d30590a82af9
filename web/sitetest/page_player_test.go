//go:build !js

package sitetest

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"stampmill/exercises"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
)

// listening notes when each sound is started on the audio clock, how that
// clock lies against the clock of events, and what is offered as a download.
// It changes nothing that the program does.
const listening = `
(() => {
  window.heard = { starts: [], context: null, files: [] };
  const start = AudioBufferSourceNode.prototype.start;
  AudioBufferSourceNode.prototype.start = function (when, ...rest) {
    heard.context = this.context;
    heard.starts.push(when);
    return start.call(this, when, ...rest);
  };
  heard.offset = async () => { // ms to take off the audio clock for the clock of events: median of output pairs
    const all = [];
    while (all.length < 41) {
      await new Promise(done => setTimeout(done, 5));
      const { contextTime, performanceTime } = heard.context.getOutputTimestamp();
      if (contextTime > 0 && performanceTime > 0) all.push(contextTime * 1000 - performanceTime);
    }
    return all.sort((a, b) => a - b)[20];
  };
  const blobs = new Map(), make = URL.createObjectURL;
  URL.createObjectURL = function (blob) { const url = make.call(URL, blob); blobs.set(url, blob); return url; };
  addEventListener("click", async e => { const a = e.target; if (a.download && blobs.has(a.href)) heard.files.push({ name: a.download, text: await blobs.get(a.href).text() }); }, true);
  const click = HTMLAnchorElement.prototype.click;
  HTMLAnchorElement.prototype.click = function () {
    if (this.download && blobs.has(this.href)) { const name = this.download; blobs.get(this.href).text().then(text => heard.files.push({ name, text })); }
    return click.call(this);
  };
})();`

// listener gives an empty tab that notes what sounds.
func listener(t testing.TB) *tab {
	t.Helper()
	tab := newTab(t)
	tab.onEveryPage(listening)
	return tab
}

// stored puts a record in place before the program first reads it in this tab.
func (p *tab) stored(name string, record any) {
	p.t.Helper()
	data, err := json.Marshal(record)
	if err != nil {
		p.t.Fatal(err)
	}
	p.onEveryPage(fmt.Sprintf(`sessionStorage.getItem(%[1]s) ?? (localStorage.setItem(%[1]s, %[2]s), sessionStorage.setItem(%[1]s, "done"))`, quote("stampmill."+name), quote(string(data))))
}

// onEveryPage runs a script before those of each page that is opened.
func (p *tab) onEveryPage(script string) {
	p.t.Helper()
	_, err := chromedp.Call(p.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
	if err != nil {
		p.t.Fatal(err)
	}
}

// feature is something of the reader's system that a style can ask for.
func feature(name, value string) *emulation.MediaFeature {
	return &emulation.MediaFeature{Name: name, Value: value}
}

// Taps as a player would send them: the part's strokes of every pass, each
// with an error in ms, early negative.
type plan struct {
	step    passage.Passage
	take    grade.Take
	errors  func(i int) float64 // of stroke i over all passes
	missed  func(i int) bool
	code    func(voices grade.VoiceSet) string
	latency float64
}

// expected returns what is to be played.
func (pl plan) expected(t testing.TB) grade.Expected {
	t.Helper()
	e, err := grade.Expect(pl.step, pl.take, false)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// downbeat returns the time of the first written downbeat on the clock of
// events, in ms: the sounds begin with the count-in, whose length the test
// knows.
func (p *tab) downbeat(countIn float64) float64 {
	p.t.Helper()
	p.waitFor(`window.heard.starts.length > 0`, "the first sound")
	offset := eval[float64](p, `heard.offset()`)
	first := eval[float64](p, `Math.min(...heard.starts)`)
	return (first+countIn)*1000 - offset
}

// play sends the taps of a plan with their times; they may lie ahead.
func (p *tab) play(pl plan, downbeat float64) {
	p.t.Helper()
	e := pl.expected(p.t)
	var keys []key
	for i, o := range e.Onsets {
		if pl.missed != nil && pl.missed(i) {
			continue
		}
		code := "KeyF"
		if pl.code != nil {
			code = pl.code(e.Positions[o.Position].Voices)
		}
		keys = append(keys, key{Code: code, At: downbeat + o.Seconds*1000 + pl.errors(i) + pl.latency, Held: 30})
	}
	p.press(keys...)
}

func climbStep(t testing.TB, name string, step int) passage.Passage {
	t.Helper()
	climb, err := exercises.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	return climb.Steps[step-1].Passage
}

// offered returns the newest file that was offered as a download.
func (p *tab) offered() []byte {
	p.t.Helper()
	p.waitFor(`window.heard.files.length > 0`, "the download")
	return []byte(eval[string](p, `heard.files.at(-1).text`))
}

// closeTo fails the test where two numbers are further apart than within.
func closeTo(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > within {
		t.Errorf("%s: %.3f, want %.3f ± %.3f", what, got, want, within)
	}
}

func choose(p *tab, id, value string) {
	p.t.Helper()
	eval[bool](p, fmt.Sprintf(`(() => { const e = document.getElementById(%s); e.value = %s; e.dispatchEvent(new Event("change", { bubbles: true })); return true })()`, quote(id), quote(value)))
}
