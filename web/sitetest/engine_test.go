//go:build !js

package sitetest

import (
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"stampmill/app/transport"
	"stampmill/exercises/drill"
	"stampmill/synth"
)

// engineText is what the engine's page plays: every family of voices, with
// chokes, stops and strokes that are as long as they are written, at a tempo
// whose beats fall between frames.
const engineText = `title: Engine
tempo: 137
metre: 4/4

step: One
says: Struck and plucked voices with a choke, a ghost and a ring.
crash-left | X    .    !    .    |
hat        | .    o    x.xx .    |
snare      | .    g    X    f    |
kick       | x.x. x    x    xxx  |
guitar     | x.X. c--- h-b- txxx |
bass       | x.x. o--- o-b- x.g. |
lead       | .    p-o- .    s--- |
sub        | x--- ---- .    .    |
`

// engineMaster is the level at which the engine plays, see its program.
const engineMaster = 0.25

// capture taps what goes to the output: a worklet posts each block with the
// frame it began at. The worklet's frame is now and then one block stale, and
// blocks never overlap.
const capture = `
(() => {
  const worklet = "registerProcessor('tap', class extends AudioWorkletProcessor { process(i) { if (i[0][0]) this.port.postMessage([currentFrame, i[0][0].slice(), (i[0][1] || i[0][0]).slice()]); return true } })";
  window.tapped = { blocks: [], rate: 0 };
  const Plain = window.AudioContext;
  window.AudioContext = class extends Plain {
    constructor(options) {
      super(options);
      tapped.context = this;
      tapped.rate = this.sampleRate;
      tapped.blocks = [];
      this.bus = new GainNode(this, { channelCount: 2, channelCountMode: "explicit" });
      this.audioWorklet.addModule(URL.createObjectURL(new Blob([worklet], { type: "text/javascript" }))).then(() => {
        const tap = new AudioWorkletNode(this, "tap");
        let next = 0;
        tap.port.onmessage = ({ data: [frame, left, right] }) => {
          frame = Math.max(frame, next);
          next = frame + left.length;
          tapped.blocks.push([frame, left, right]);
        };
        const ever = new ConstantSourceNode(this, { offset: 0 }); // so that blocks come in silence too
        ever.connect(this.bus);
        ever.start();
        this.bus.connect(tap);
        tap.connect(this.destination);
        tapped.ready = true;
      });
    }
  };
  const connect = AudioNode.prototype.connect;
  AudioNode.prototype.connect = function (to, ...rest) {
    if (to instanceof AudioDestinationNode && this.context.bus && !(this instanceof AudioWorkletNode)) connect.call(this, this.context.bus);
    return connect.call(this, to, ...rest);
  };
  window.tappedBetween = (from, to) => {
    const out = new Float32Array(2 * (to - from));
    for (const [frame, left, right] of tapped.blocks)
      for (let i = 0; i < left.length; i++) {
        const at = frame + i - from;
        if (at >= 0 && at < to - from) { out[2 * at] = left[i]; out[2 * at + 1] = right[i]; }
      }
    const bytes = new Uint8Array(out.buffer);
    let text = "";
    for (let i = 0; i < bytes.length; i += 32768) text += String.fromCharCode(...bytes.subarray(i, i + 32768));
    return btoa(text);
  };
})();`

// enginePage starts the program with the exercise as its argument.
const enginePage = `<!doctype html><meta charset="utf-8"><title>engine</title>
<style>[data-area] { touch-action: none }</style>
<div data-area="left" style="width: 200px; height: 200px; background: #888">left</div>
<pre id="out"></pre>
<script src="wasm_exec.js"></script>
<script>
const go = new Go();
go.argv = ["engine", %s];
WebAssembly.instantiateStreaming(fetch("engine.wasm"), go.importObject).then(r => go.run(r.instance));
</script>`

// engineSite compiles the engine's program once for all tests.
var engineSite = sync.OnceValues(func() (http.Handler, error) {
	dir, err := os.MkdirTemp("", "stampmill-engine")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	out := filepath.Join(dir, "engine.wasm")
	cmd := exec.Command("go", "build", "-o", out, "./engine")
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if problems, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("compiling the engine: %w\n%s", err, problems)
	}
	wasm, err := os.ReadFile(out)
	if err != nil {
		return nil, err
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	start, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	serve := func(path, kind string, content []byte) {
		mux.HandleFunc(path, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", kind)
			w.Write(content)
		})
	}
	serve("/{$}", "text/html", fmt.Appendf(nil, enginePage, quote(engineText)))
	serve("/ports", "text/html", []byte(portsPage))
	serve("/archive", "text/html", []byte(strings.Replace(portsPage, `["ports"]`, `["archive"]`, 1)))
	serve("/engine.wasm", "application/wasm", wasm)
	serve("/wasm_exec.js", "text/javascript", start)
	return mux, nil
})

// openEngine shows the engine's page with the capture in it.
func openEngine(t *testing.T) *tab {
	t.Helper()
	handler, err := engineSite()
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(handler)
	t.Cleanup(server.Close)
	p := newTab(t)
	if _, err := chromedp.Call(p.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: capture}); err != nil {
		t.Fatal(err)
	}
	p.allow("favicon")
	p.do("opening the engine", navigate(server.URL))
	p.said("ready")
	return p
}

// said waits until the engine has written a line that a pattern finds, and
// gives its submatches as numbers.
func (p *tab) said(pattern string) []float64 {
	p.t.Helper()
	p.waitFor(fmt.Sprintf(`new RegExp(%s, "m").test(document.getElementById("out").textContent)`, quote(pattern)), pattern)
	found := regexp.MustCompile("(?m)" + pattern).FindStringSubmatch(p.text("#out"))
	var numbers []float64
	for _, s := range found[1:] {
		var n float64
		fmt.Sscan(s, &n)
		numbers = append(numbers, n)
	}
	return numbers
}

// heard waits until the device has played to a frame and gives the sound
// between two frames, left and right in turn.
func (p *tab) heard(from, to int64) []float32 {
	p.t.Helper()
	p.waitFor(fmt.Sprintf(`tapped.blocks.length && tapped.blocks.at(-1)[0] > %d`, to), fmt.Sprintf("frame %d", to))
	if first := eval[int64](p, `tapped.blocks[0][0]`); first > from {
		p.t.Fatalf("the capture began at frame %d, after %d", first, from)
	}
	bytes, err := base64.StdEncoding.DecodeString(eval[string](p, fmt.Sprintf(`tappedBetween(%d, %d)`, from, to)))
	if err != nil {
		p.t.Fatal(err)
	}
	sound := make([]float32, len(bytes)/4)
	for i := range sound {
		sound[i] = math.Float32frombits(binary.LittleEndian.Uint32(bytes[4*i:]))
	}
	return sound
}

// firstSound is the first frame that sounds.
const firstSound = `(() => { for (const [f, l] of tapped.blocks) { const i = l.findIndex(x => Math.abs(x) > 1e-7); if (i >= 0) return f + i; } })()`

// openDevice presses the key that opens the sound device.
func (p *tab) openDevice() {
	p.t.Helper()
	p.press(key{Code: "KeyO"})
	p.waitFor(`tapped.ready && tapped.context.state === "running" && tapped.blocks.length > 4`, "the sound device")
}

// blockPage keeps the page's main thread busy: ms of every period.
func (p *tab) blockPage(ms, period int) {
	p.t.Helper()
	eval[bool](p, fmt.Sprintf(`setInterval(() => { const end = performance.now() + %d; while (performance.now() < end); }, %d), true`, ms, period))
}

// Each sound begins at the very frame asked for, at its own level.
func TestSoundsStandOnTheirFrames(t *testing.T) {
	p := openEngine(t)
	p.openDevice()
	p.press(key{Code: "KeyI"})
	begin := int64(p.said(`^impulses at (\d+)`)[0])
	end := begin + 199*97 + 199*199%13 + 100
	sound := p.heard(begin-1000, end)
	want := make([]float32, len(sound))
	for i := range int64(200) {
		at := begin + i*97 + i*i%13 - (begin - 1000)
		left, right := synth.PanGains(0)
		level := 0.5 * (0.25 + float32(i%7)/16) * engineMaster
		want[2*at] += level * left
		want[2*at+1] += level * right
	}
	if frame, off := furthest(sound, want); off > 1e-5 {
		t.Errorf("frame %d holds %g, want %g", frame, sound[2*frame], want[2*frame])
	}
}

// Nothing leaves -1 dB, however much is played at once and however far the
// master gain is up: glue and ceiling hold it as package synth says.
func TestCeilingHolds(t *testing.T) {
	p := openEngine(t)
	p.openDevice()
	p.press(key{Code: "KeyX"})
	at := int64(p.said(`^loud at (\d+)`)[0])
	sound := p.heard(at, at+6)
	for i, level := range []float64{16, -16, .64, 16, 16, -16} { // what the engine plays, before the master gain
		want := synth.Ceiling(loudMaster * synth.Glue(level))
		if got := float64(sound[2*i]); math.Abs(got) > .8913 || math.Abs(got-want) > 1e-4 {
			t.Errorf("frame %d of something far too loud is %g, want %g", i, got, want)
		}
	}
}

// loudMaster is the master gain at which the engine plays what is far too loud,
// see its program.
const loudMaster = 4

// furthest returns the frame at which two stereo sounds differ most.
func furthest(got, want []float32) (frame int, off float64) {
	for i := range min(len(got), len(want)) {
		if d := math.Abs(float64(got[i]) - float64(want[i])); d > off {
			frame, off = i/2, d
		}
	}
	return frame, off
}

// The page plays, frame by frame, what the offline renderer makes of the same
// plan, while its main thread is busy for 30 ms of every 60. A page that gets
// no time at all from a busy machine says so, and is given another try.
func TestPageSoundsLikeTheRenderer(t *testing.T) {
	for range 3 {
		late := playsAsRendered(t)
		if late == 0 {
			return
		}
		t.Logf("%d strokes left out on a busy machine", late)
	}
	t.Fatal("strokes were left out three times in a row")
}

// What the page plays may differ from what is rendered by this much. Its sounds
// are the same to -90 dB (a test of package synth), but a browser multiplies
// gains and places in 32 bits, and looks the rounded tops of loud strokes up in
// a table with straight pieces in between. Measured here: -103 dB, at most
// 4e-7 of full scale.
const (
	pageError = 1e-5 // of full scale, any one sample
	pageLevel = -90  // dB: energy of the difference against that of the sound
)

// differenceLevel returns the energy of the difference of two stereo sounds
// against that of the second, in dB.
func differenceLevel(got, want []float32) float64 {
	off, all := 0.0, 0.0
	for i, x := range want[:min(len(got), len(want))] {
		d := float64(got[i]) - float64(x)
		off += d * d
		all += float64(x) * float64(x)
	}
	return 10 * math.Log10(off/all)
}

// playsAsRendered plays once and compares, unless strokes were left out: then
// it says how many.
func playsAsRendered(t *testing.T) (late int) {
	t.Helper()
	p := openEngine(t)
	p.openDevice()
	p.blockPage(30, 60)
	p.press(key{Code: "KeyP"})
	if late = int(p.said(fmt.Sprintf(`^event %d 0 late (\d+)`, transport.Ended))[0]); late > 0 {
		return late
	}
	want := rendered(t, eval[int](p, `tapped.rate`))
	first := eval[int64](p, firstSound)
	got := p.heard(first, first+int64(len(want)/2))
	frame, off := furthest(got, want)
	if off > pageError {
		t.Errorf("off by %g at frame %d of %d: %g, want %g", off, frame, len(want)/2, got[2*frame], want[2*frame])
	}
	level := differenceLevel(got, want)
	t.Logf("the difference is %.0f dB against the sound, at most %.1g of full scale", level, off)
	if !(level < pageLevel) {
		t.Errorf("the difference is %.1f dB against the sound, want below %d", level, pageLevel)
	}
	return 0
}

// rendered returns what the engine plays as the renderer has it, from the first
// frame that sounds to the end of the last pass.
func rendered(t *testing.T, rate int) []float32 {
	t.Helper()
	climb, problems := drill.Parse("engine.drill", []byte(engineText), nil)
	if problems != nil {
		t.Fatal(problems)
	}
	bank, err := synth.NewBank(rate, 1)
	if err != nil {
		t.Fatal(err)
	}
	plan := synth.Plan{Passage: climb.Steps[0].Passage, Rate: rate, CountIn: 1, Passes: 2, Click: synth.ClickBeats}
	sound, err := synth.Render(plan, bank, synth.Mix{Master: engineMaster})
	if err != nil {
		t.Fatal(err)
	}
	first := 0
	for math.Abs(float64(sound[2*first])) <= heardFrom {
		first++
	}
	return sound[2*first : 2*int(3*4*60/137.0*float64(rate))]
}

// heardFrom is the level from which a frame counts as sounding.
const heardFrom = 1e-7

// A choke fades one voice in a straight line, and the end of everything does so
// too.
func TestChokeAndSilenceFade(t *testing.T) {
	for _, c := range []struct {
		key, said string
		fade      int64
	}{{"KeyC", `^choke at (\d+)`, 480}, {"KeyQ", `^silence at (\d+)`, 576}} {
		p := openEngine(t)
		p.openDevice()
		p.press(key{Code: "KeyT"})
		begin := int64(p.said(`^tone at (\d+)`)[0])
		p.heard(begin, begin+12000)
		p.press(key{Code: c.key})
		at := int64(p.said(c.said)[0])
		sound := p.heard(begin, at+c.fade+4800)
		want := make([]float32, len(sound))
		left, _ := synth.PanGains(0)
		rate := eval[float64](p, `tapped.rate`)
		for i := range int64(len(sound) / 2) {
			level := 1.0
			if frame := begin + i; frame >= at {
				level = max(0, 1-float64(frame-at)/float64(c.fade))
			}
			x := float32(0.5*math.Sin(2*math.Pi*441*float64(i)/rate)*level) * left * engineMaster
			want[2*i], want[2*i+1] = x, x
		}
		if frame, off := furthest(sound, want); off > 1e-4 {
			t.Errorf("%s: off by %g, %d frames after it began: %g, want %g", c.key, off, begin+int64(frame)-at, sound[2*frame], want[2*frame])
		}
	}
}

// Stop: from the frame being handed over when it is pressed, 30 ms later
// nothing sounds, and no step on the way is larger than the music's own.
func TestStopIsSilent(t *testing.T) {
	p := openEngine(t)
	p.openDevice()
	p.press(key{Code: "KeyP"})
	p.said(fmt.Sprintf(`^event %d 0`, transport.Started))
	p.waitFor(`tapped.context.currentTime > 6`, "some seconds of music")
	p.press(key{Code: "KeyS"})
	at := int64(p.said(`^stop at (\d+)`)[0])
	rate := eval[float64](p, `tapped.rate`)
	silent := at + int64(0.03*rate)
	before := int64(4 * rate) // more than all bars, so that it holds every attack of the music
	sound := p.heard(at-before, silent+24000)
	for i, x := range sound[2*(silent-at+before):] {
		if math.Abs(float64(x)) > 1e-6 {
			t.Fatalf("%g sounds %.1f ms after Stop", x, 30+float64(i/2)/rate*1000)
		}
	}
	step := func(s []float32) (most float64) {
		for i := 2; i < len(s); i++ {
			most = max(most, math.Abs(float64(s[i]-s[i-2])))
		}
		return most
	}
	// Two takes of one stroke differ a little; a cut would be several times that.
	if music, after := step(sound[:2*before]), step(sound[2*before:]); music == 0 || after > 1.25*music {
		t.Errorf("a step of %g after Stop, %g in the music before", after, music)
	}
}

// pressError is how far a press sent for a moment of the music may come back
// from it: the events' own clock steps by 0.1 ms in a page that is not isolated
// from other origins, and the estimate of the sound's clock is good to 0.05 ms.
const pressError = 0.3 // ms

// Presses sent with the times at which places are heard come back as those
// places, keys and fingers alike, however busy the page is.
func TestPressesComeBack(t *testing.T) {
	p := openEngine(t)
	p.openDevice()
	p.blockPage(30, 60)
	p.press(key{Code: "KeyP"})
	began := p.said(fmt.Sprintf(`^event %d 0 late 0 at ([\d.]+)`, transport.Started))[0]
	p.waitFor(fmt.Sprintf(`performance.now() > %f`, began+1500), "some pairs of the clocks")
	var codes []string
	var at []float64
	now := p.clock()
	for i := range 12 {
		codes = append(codes, fmt.Sprintf("Digit%d ", i%10))
		at = append(at, math.Round((now+float64(i)*37)*10)/10)
	}
	for i := range codes {
		p.press(key{Code: strings.TrimSpace(codes[i]), At: at[i], Held: 20})
	}
	p.touchScreen()
	middle := p.middle("[data-area]")
	touched := math.Round((now+500)*10) / 10
	p.touch(touched, 50, middle, finger{middle.X + 30, middle.Y})
	codes, at = append(codes, " left", " left"), append(at, touched, touched)
	p.press(key{Code: "KeyZ", At: touched + 100}) // by then, mouse events made of the fingers would have come
	codes, at = append(codes, "KeyZ "), append(at, touched+100)
	p.said(`^press KeyZ`)
	p.click("[data-area]")
	p.press(key{Code: "KeyY"})
	p.said(`^press KeyY`)
	if n := eval[int](p, `document.getElementById("out").textContent.match(/^press/gm).length`); n != len(at)+2 {
		t.Errorf("%d presses told, want %d keys and fingers, one click, one key more", n, len(at))
	}
	lines := regexp.MustCompile(`(?m)^press (\S*) (\S*) at ([\d.]+) seconds (-?[\d.]+) ok true quality 2`).FindAllStringSubmatch(p.text("#out"), -1)
	if lines = lines[:min(len(lines), len(at))]; len(lines) != len(at) {
		t.Fatalf("%d presses placed, want %d:\n%s", len(lines), len(at), p.text("#out"))
	}
	// The same mapping, worked out by the page on its own: the median of many
	// pairs, and the frame at which the count-in began to sound.
	offset := eval[float64](p, `new Promise(done => {
		const all = [], end = performance.now() + 1500;
		const look = () => {
			const pair = tapped.context.getOutputTimestamp();
			all.push(pair.contextTime * 1000 - pair.performanceTime);
			if (performance.now() < end) setTimeout(look, 7); else done(all.sort((a, b) => a - b)[all.length >> 1]);
		};
		look();
	})`)
	rate := eval[float64](p, `tapped.rate`)
	downbeat := float64(eval[int64](p, firstSound))/rate + 4*60/137.0
	for i, line := range lines {
		if name := line[1] + " " + line[2]; name != codes[i] {
			t.Errorf("press %d is told as %q, want %q", i, name, codes[i])
		}
		var event, seconds float64
		fmt.Sscan(line[3], &event)
		fmt.Sscan(line[4], &seconds)
		if math.Abs(event-at[i]) > eventClock {
			t.Errorf("press %d (%s%s) sent for %.1f ms has the time %.3f", i, line[1], line[2], at[i], event)
		}
		if want := (at[i]+offset)/1000 - downbeat; math.Abs(seconds-want)*1000 > pressError {
			t.Errorf("press %d (%s%s) comes back at %.6f s, want %.6f", i, line[1], line[2], seconds, want)
		}
	}
}

// Records are kept, refused where there is no room without harm to the old one,
// and refused in peace where the browser keeps nothing.
func TestRecords(t *testing.T) {
	p := openEngine(t)
	p.press(key{Code: "KeyB"})
	p.said(`^records: kept true, too large refused true, then "1" true \["test.small"\], deleted true true`)
	eval[bool](p, `Object.defineProperty(window, "localStorage", { get() { throw new DOMException("denied", "SecurityError") } }), true`)
	p.press(key{Code: "KeyB"})
	p.said(`^records: kept false, too large refused true, then "" false \[\], deleted false true`)
}

// What takes the sound away is told once with its reason, and the next press of
// Start brings it back without loading the page again.
func TestTroubleIsToldAndMended(t *testing.T) {
	stopped := func(why transport.Notice) string { return fmt.Sprintf(`^event %d %d late`, transport.Stopped, why) }
	for _, c := range []struct {
		name, happen, mend string
		want               string
	}{
		{"the system suspends the device", `tapped.context.suspend()`, ``, stopped(transport.WasSuspended)},
		{"the device is gone", `tapped.context.close()`, ``, stopped(transport.OutputLost)},
		{"the page goes out of sight", `Object.defineProperty(document, "visibilityState", { value: "hidden", configurable: true }), document.dispatchEvent(new Event("visibilitychange"))`,
			`delete document.visibilityState, document.dispatchEvent(new Event("visibilitychange"))`, stopped(transport.WentHidden)},
		{"a device is plugged in", `navigator.mediaDevices.dispatchEvent(new Event("devicechange"))`, `0`,
			fmt.Sprintf(`^event %d %d late`, transport.Noticed, transport.OutputsListed)},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := openEngine(t)
			p.press(key{Code: "KeyP"})
			p.said(fmt.Sprintf(`^event %d 0`, transport.Started))
			p.waitFor(`tapped.context.currentTime > 0.5`, "half a second of music")
			eval[bool](p, `(`+c.happen+`, true)`)
			p.said(c.want)
			if c.mend != "" {
				eval[bool](p, `(`+c.mend+`, true)`)
			}
			p.press(key{Code: "KeyP"})
			p.waitFor(fmt.Sprintf(`document.getElementById("out").textContent.match(/^event %d 0/gm)?.length === 2`, transport.Started), "a second start")
			p.waitFor(`tapped.context.state === "running" && tapped.blocks.some(([f, l]) => l.some(x => Math.abs(x) > 1e-4))`, "sound")
		})
	}
}

// Without a sound device, or before the browser allows one, the attempt ends
// with the reason, and a later press starts.
func TestNoSoundIsTold(t *testing.T) {
	for _, c := range []struct {
		name, happen, mend string
		want               transport.Notice
	}{
		{"refused", `window.Kept = AudioContext, window.AudioContext = function () { throw new DOMException("no device", "NotSupportedError") }`,
			`window.AudioContext = Kept`, transport.NoOutput},
		{"missing", `window.Kept = AudioContext, delete window.AudioContext, window.AudioContext = undefined`,
			`window.AudioContext = Kept`, transport.NoOutput},
		{"held back", `AudioContext.prototype.resume = () => new Promise(() => {}), window.Kept = AudioContext, window.AudioContext = class extends Kept { constructor(o) { super(o); this.suspend() } }`,
			`delete Kept.prototype.resume`, transport.NeedsPress},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := openEngine(t)
			eval[bool](p, `(`+c.happen+`, true)`)
			p.press(key{Code: "KeyP"})
			p.said(fmt.Sprintf(`^event %d %d late`, transport.Stopped, c.want))
			eval[bool](p, `(`+c.mend+`, true)`)
			p.press(key{Code: "KeyP"})
			p.said(fmt.Sprintf(`^event %d 0`, transport.Started))
		})
	}
}
