package app

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	goapp "github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/delay"
	"stampmill/app/logbook"
	"stampmill/app/port"
	"stampmill/app/transport"
	"stampmill/exercises"
	"stampmill/exercises/grade"
)

// everyState is each page in each state that people see.
func everyState(width int) map[string]State {
	fresh := first(exercises.Library())
	fresh.Page, fresh.Width = "/", width
	ready := practising(4)
	ready.Width = width
	setup, _ := after(ready, Went{"/setup/"})
	making, _ := after(ready, does("start"), Made{transport.Progress{Made: 12, Needed: 31}})
	playing, _ := after(ready, does("start"), Began{}, Reached{Pass: 1, Bar: 2})
	areas := playing
	areas.Settings = areas.Settings.clone()
	areas.Settings.Areas = 4
	judged, _ := playTake(ready, 22)
	unknown := ready
	unknown.Settings = unknown.Settings.clone()
	unknown.Settings.Delays = map[string]Delay{}
	unknownJudged, _ := playTake(unknown, 22)
	triplet, _ := playTake(State.on(ready, 0, 5), 22)
	all := map[string]State{
		"first visit": fresh, "ready": ready, "setup": setup, "making the sounds": making, "playing": playing, "four areas": areas,
		"verdict": judged, "verdict without a delay": unknownJudged, "verdict of a triplet": triplet,
	}
	more := func(name string, from State, m ...Msg) { all[name], _ = after(from, m...) }
	more("first visit, hearing", fresh, does("hear"), Began{})
	more("first visit, making", fresh, does("hear"), Made{transport.Progress{Made: 1, Needed: 9}})
	more("hearing", ready, does("hear"), Began{}, Reached{Pass: 0, Bar: 1})
	more("loop", ready, doesTo("bar", "2"))
	more("count-in", ready, does("start"), Began{}, Reached{Pass: -1, Bar: 1})
	more("more on a phone", ready, does("more"))
	more("no hit", playing, Ended{noon})
	more("sound lost", playing, Halted{transport.OutputLost, noon})
	more("sound held back", making, Halted{transport.NeedsPress, noon})
	more("no output", making, Halted{transport.NoOutput, noon})
	more("store full", judged, TakeLost{Why: roomWhy, Left: 1})
	more("offline", ready, Wired{false})
	more("devices changed", ready, Said{transport.OutputsListed, 0})
	more("assigning", setup, doesTo("assign", "kick"), down("KeyJ", "j"))
	more("delay by hand", setup, does("byhand"))
	more("measuring", setup, does("measure"), Began{}, down("KeyF", "f").at(0.04), down("KeyF", "f").at(0.65))
	more("deleting", setup, does("delete"))
	more("deleting failed", setup, Deleted{"The browser closed the records while they were used. Try again."})
	more("reading a backup", setup, Transferred{Transfer{"Reading the backup", 0.4}})
	more("a backup was read", setup, Restored{Report: logbook.Report{Takes: 12, Here: 3, Others: 2, Broken: 1, Names: []string{"take/x"}}})
	more("takes cannot be read", setup, Read{logbook.News{Stage: logbook.Failed, Failed: port.ErrNewer}})
	more("take not stored", judged, TakeLost{Why: "The browser has not answered yet.", Left: 2})
	measured, _ := after(setup, does("measure"), Began{})
	for i := range delay.Taps {
		measured, _ = after(measured, down("KeyF", "f").at(0.6*float64(i)+0.044+0.006*float64(i%3)))
	}
	all["measured"] = measured
	refused, _ := after(setup, does("measure"), Began{})
	for i := range delay.Taps {
		refused, _ = after(refused, down("KeyF", "f").at(0.6*float64(i)+0.06*float64(i%3)))
	}
	all["measuring failed"] = refused
	more("mark refused", setup, Acted{Act: "marks", Arg: "spread", Value: "200"})
	more("marks of one's own", setup, Acted{Act: "marks", Arg: "hits", Value: "90"})
	both, _ := after(ready, doesTo("step", "2"), sets("part", "snare+kick"))
	all["verdict, one voice in the way"] = playBoth(both, 300)
	more("one voice alone", all["verdict, one voice in the way"], does("alone"), doesTo("alone", "snare"), Began{}, Reached{Pass: 0, Bar: 1})
	for name, s := range writeStates() {
		s.Width, s.Height = width, 800
		all["write, "+name] = s
	}
	for name, s := range listenStates() {
		s.Width, s.Height = width, 800
		all["listen, "+name] = s
	}
	for name, s := range progressStates() {
		s.Width, s.Height = width, 800
		all["progress, "+name] = s
	}
	return all
}

var (
	controls = regexp.MustCompile(`(?s)<(button)\b([^>]*)>(.*?)</button>|<(?:input|select)\b([^>]*)>`)
	actOf    = regexp.MustCompile(`data-act="([^"]*)"`)
	idOf     = regexp.MustCompile(` id="([^"]*)"`)
	forOf    = regexp.MustCompile(` for="([^"]*)"`)
	hidden   = regexp.MustCompile(`(?s)<span class="step-words">.*?</span>\s*</span>`) // while a take runs, by the style
	heading  = regexp.MustCompile(`<h([1-6])`)
	letters  = regexp.MustCompile(`[A-Za-z]`)
	tags     = regexp.MustCompile(`(?s)<[^>]*>`)
	unwanted = regexp.MustCompile(`(?i)[a-z]{2}!|\b(oops|great|awesome|score|streak|level up|congratulations|sorry)\b`)
)

func TestEveryPageInEveryState(t *testing.T) {
	for _, width := range []int{1280, 390} {
		states := everyState(width)
		for _, name := range slices.Sorted(maps.Keys(states)) {
			t.Run(fmt.Sprintf("%s/%d", name, width), func(t *testing.T) { checkPage(t, states[name]) })
		}
	}
}

func checkPage(t *testing.T, s State) {
	html := goapp.HTMLString(view(s, draw(s)))
	if strings.Contains(html, " style=") {
		t.Error("a style on an element: the page's policy blocks it")
	}
	if n := strings.Count(html, "<h1"); n != 1 {
		t.Errorf("%d h1", n)
	}
	level := 0
	for _, h := range heading.FindAllStringSubmatch(html, -1) {
		now := int(h[1][0] - '0')
		if now > level+1 && level > 0 {
			t.Errorf("heading %d after %d", now, level)
		}
		level = max(now, level)
	}
	for _, landmark := range []string{"<header", "<main", `role="status"`} {
		if !strings.Contains(html, landmark) {
			t.Errorf("no %s", landmark)
		}
	}
	if n := len(regexp.MustCompile(`class="[^"]*\bprimary\b`).FindAllString(html, -1)); n > 1 {
		t.Errorf("%d filled copper buttons", n)
	}
	checkControls(t, html)
	if word := unwanted.FindString(tags.ReplaceAllString(html, " ")); word != "" {
		t.Errorf("says %q", word)
	}
}

// checkControls checks that every control does something, has a name, and that
// ids are there once.
func checkControls(t *testing.T, html string) {
	t.Helper()
	ids, labels := map[string]int{}, map[string]bool{}
	for _, m := range idOf.FindAllStringSubmatch(html, -1) {
		ids[m[1]]++
	}
	for id, n := range ids {
		if n > 1 {
			t.Errorf("id %s is there %d times", id, n)
		}
	}
	for _, m := range forOf.FindAllStringSubmatch(html, -1) {
		labels[m[1]] = true
		if ids[m[1]] == 0 {
			t.Errorf("a label for %s, which is not there", m[1])
		}
	}
	for _, m := range controls.FindAllStringSubmatch(hidden.ReplaceAllString(html, ""), -1) {
		attributes, words := m[2]+m[4], tags.ReplaceAllString(m[3], "")
		act := actOf.FindStringSubmatch(attributes)
		if act == nil || acts[act[1]] == nil {
			t.Errorf("does nothing: %s", m[0])
		}
		id := idOf.FindStringSubmatch(" " + attributes)
		labelled := id != nil && labels[id[1]] || strings.Contains(attributes, "aria-label=")
		if !labelled && !letters.MatchString(words) {
			t.Errorf("has no name: %s", m[0])
		}
	}
}

// What is announced is what came of the take, and the notice beside it.
func TestVerdictAndNoticeAreBothAnnounced(t *testing.T) {
	s := everyState(1280)["store full"]
	html := goapp.HTMLString(announcer(s))
	said := tags.ReplaceAllString(html, " ")
	if !strings.Contains(said, s.Verdict.sentences()[0]) || !strings.Contains(said, s.Notice.Fact) {
		t.Errorf("announces %q", said)
	}
}

// A take that is not stored keeps its verdict, with one way to save it, and
// nothing on the page says that it is stored.
func TestATakeThatIsNotStoredKeepsItsVerdict(t *testing.T) {
	for _, width := range []int{1280, 390} {
		for _, name := range []string{"store full", "take not stored"} {
			s := everyState(width)[name]
			page := view(s, draw(s))
			html := goapp.HTMLString(page)
			seen := tags.ReplaceAllString(html, " ")
			if strings.Contains(seen, "Saved on this device") || strings.Count(html, `data-act="save-lost"`) != 1 || strings.Contains(html, `data-act="save"`) {
				t.Errorf("%s, %d wide: %q", name, width, seen)
			}
			if n := strings.Count(seen, s.Notice.Fact); n != 2 || !strings.Contains(seen, "Leaning") { // announced, and seen
				t.Errorf("%s, %d wide: the notice %d times in %q", name, width, n, seen)
			}
		}
	}
}

func TestAQuietNoticeIsSeenOnEveryWidth(t *testing.T) {
	for _, width := range []int{1280, 390} {
		s, _ := after(everyState(width)["ready"], sets("tempo", "9999"))
		html := goapp.HTMLString(view(s, draw(s)))
		if n := strings.Count(html, "Tempo goes from 20 to 400."); n != 2 { // announced, and seen
			t.Errorf("%d wide: %d times on the page", width, n)
		}
	}
}

func TestWordsOfStates(t *testing.T) {
	step := State.on(practising(1), 0, 0)
	title := step.step().Title
	done := func(s State, tempo int) State { s.Done = Done{stepName("headframe", title): tempo}; return s }
	passed, _ := playTake(done(step, 60), 10)
	passed.Verdict.Next = grade.Next{Kind: grade.NextStep}
	last := passed.on(0, len(passed.entry().Climb.Steps)-1)
	last.Verdict = passed.Verdict
	for _, c := range []struct{ got, want string }{
		{stepFact(0, step, nil), "now: goal 100"},
		{stepFact(0, done(step, 90), nil), "now: done at 90, goal 100"},
		{stepFact(0, done(step, 150), nil), "now: done at 150"},
		{stepFact(1, step, nil), ""},
		{suggestionWords(passed), "This step is done at 92. Go on to the next step."},
		{suggestionWords(last), "This step is done at 92. Go on to the next climb."},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// The result of a delay near none stands beside the words at the click.
func TestTheResultOfADelayIsClearOfTheClick(t *testing.T) {
	at := regexp.MustCompile(`<text class="plot-(result|word)" x="322" y="([\d.]+)"[^>]*>([^<]*)`)
	for _, ms := range []float64{0, 3, -3, 44} {
		s := practising(1)
		s.Settings.Delays["keyboard"] = Delay{MS: ms}
		y := map[string]float64{}
		for _, m := range at.FindAllStringSubmatch(delayPlot(s), -1) {
			if m[3] != "tap 28" {
				y[m[1]], _ = strconv.ParseFloat(m[2], 64)
			}
		}
		if gap := y["result"] - y["word"]; len(y) != 2 || math.Abs(gap) < plotLine-0.1 || gap*ms < 0 {
			t.Errorf("%v ms: %v", ms, y)
		}
	}
}

// Before the first sound every page that can start it says to turn it down.
func TestTheFirstSoundIsWarnedOf(t *testing.T) {
	for _, width := range []int{1280, 390} {
		for _, page := range []string{"/", "/practise/"} {
			s := first(exercises.Library())
			s.Page, s.Width = page, width
			if html := goapp.HTMLString(view(s, draw(s))); !strings.Contains(html, soundDown) {
				t.Errorf("%s at %d does not say %q", page, width, soundDown)
			}
		}
	}
}

// Where the window is low the rows of the strip stand closer, on a phone they
// stand close anyway.
func TestALowWindowHasCloserRows(t *testing.T) {
	height := func(width, height int) float64 {
		s, _ := after(practising(3), Sized{width, height})
		return draw(s).Layout.RowHeight
	}
	if low, high := height(1280, lowHeight-1), height(1280, lowHeight); low != lowRow || high <= low {
		t.Errorf("rows of %v in a low window, %v in a high one", low, high)
	}
	if low, high := height(390, 640), height(390, 844); low != high {
		t.Errorf("on a phone rows of %v and %v", low, high)
	}
}

func TestALeanInASentenceHasTheColourOfItsJudgement(t *testing.T) {
	for sentence, want := range map[string]string{
		"You lean 4 ms early on the kick.":  "tight",
		"You lean 12 ms early on the kick.": "early",
		"You lean 5 ms late on the kick.":   "tight",
		"You lean 10.5 ms late.":            "late",
	} {
		html := goapp.HTMLString(goapp.Div().Body(coloured(sentence)...))
		if !strings.Contains(html, `class="`+want+`"`) {
			t.Errorf("%q: %s, want %s", sentence, html, want)
		}
	}
}

// The areas of a column, filled downwards, are those of one thumb.
func TestThumbs(t *testing.T) {
	for areas, want := range map[int]string{1: "anywhere", 2: "left right", 4: "left left right right"} {
		var got []string
		for i := range areas {
			got = append(got, strings.TrimSuffix(areaHand(i, areas), " thumb"))
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%d areas: %q, want %q", areas, got, want)
		}
	}
}

// What a running take hides keeps its place: the same elements stand on the
// page in the same order.
func TestNothingMovesBetweenReadyAndPlaying(t *testing.T) {
	states := everyState(1280)
	settle := func(s State) string {
		html := goapp.HTMLString(view(s, draw(s)))
		head := html[:strings.Index(html, `class="words"`)]
		head = regexp.MustCompile(`(?s)<svg.*?</svg>`).ReplaceAllString(head, "")
		var order []string
		for _, m := range regexp.MustCompile(`<(header|nav|section|aside|main|h1|h2|select|input|ol|li)\b`).FindAllStringSubmatch(head, -1) {
			order = append(order, m[1])
		}
		return strings.Join(order, " ")
	}
	ready := settle(states["ready"])
	for _, name := range []string{"playing", "verdict", "count-in", "making the sounds", "hearing"} {
		if got := settle(states[name]); got != ready {
			t.Errorf("%s: %s\nready: %s", name, got, ready)
		}
	}
	l := draw(states["ready"]).Layout
	for _, name := range []string{"playing", "verdict"} {
		if got := draw(states[name]).Layout; got.Height != l.Height || got.Width != l.Width {
			t.Errorf("%s: the strip is %v by %v, ready %v by %v", name, got.Width, got.Height, l.Width, l.Height)
		}
	}
}

// writeStates is the Write page in each state that people see.
var writeStates = sync.OnceValue(func() map[string]State {
	empty, _ := after(first(exercises.Library()), Went{writePath})
	all := map[string]State{"empty": empty}
	state := func(name, text string, do func(stage)) {
		st := writing(text)
		do(st)
		st.clock.Run(2000)
		all[name] = st.state
	}
	state("in hand", gangueText, func(stage) {})
	state("menu", gangueText, func(st stage) { st.act("write-menu", "", "") })
	state("selected", gangueText, func(st stage) { st.act("write-select", "2", "") })
	state("chosen", gangueText, func(st stage) { st.act("write-choose", st.state.Write.Offers[0].text, "") })
	state("all changes", gangueText, func(st stage) { st.act("write-all", "", "") })
	state("nothing found", gangueText, func(st stage) { st.act("write-search", "", "zinc") })
	state("problem", strings.Replace(gangueText, "x.xx .x.x", "x.xx .x?x", 1), func(stage) {})
	state("many problems", strings.ReplaceAll(gangueText, "x.x", "x?x"), func(stage) {})
	state("no text", "", func(stage) {})
	state("hands wanting", strings.Replace(gangueText, "kick ", "ride  | x x x x | x x x x |\ncrash-left | x x x x | x x x x |\nkick ", 1), func(stage) {})
	state("refused", gangueText, func(st stage) { st.pressed(letterKey("b")) })
	state("hearing", gangueText, func(st stage) { st.act("write-hear", "", "") })
	state("deleted", gangueText, func(st stage) { st.act("write-delete", "", "") })
	state("unkept", gangueText, func(st stage) {
		st.desk.Full = "own/"
		st.pressed(letterKey("x"), letterKey("g"))
	})
	state("offline", gangueText, func(st stage) { st.desk.Wire(false) })
	state("link shown", gangueText, func(st stage) {
		st.desk.Allowed = false
		st.act("write-menu", "", "")
		st.act("write-link", "", "")
	})
	state("sticking", gangueText, func(st stage) { st.act("sticking", "", "") })
	return all
})
