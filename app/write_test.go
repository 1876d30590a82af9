package app

import (
	"slices"
	"strings"
	"testing"

	goapp "github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/logbook"
	"stampmill/app/port"
	"stampmill/app/port/memory"
	"stampmill/app/shelf"
	"stampmill/exercises/drill"
	"stampmill/exercises/exchange"
	"stampmill/exercises/passage"
)

const gangueText = `title: Haulage
tempo: 88
metre: 4/4

step: Haul
china | x x x x | x x x x |
snare | . . X . | . . X . |
kick  | x.xx .x.x .xx. x.x. | x.xx .x.x .xx. x.x. |
guitar | x.xx .x.x .xx. x.x. | x.xx .x.x o--- ---! |
`

// writing is a program on the Write page with a text in hand.
func writing(text string) stage {
	st := newStage(map[string]string{})
	st.Dispatch(Went{writePath})
	st.Dispatch(Arrived{Name: "haulage.drill", Text: text})
	st.clock.Run(20_000)
	st.desk.Fields[textField] = memory.Field{Value: st.text()}
	return st
}

func (st stage) text() string { return st.state.Write.Draft.Text() }

// pressed presses keys while the strip has the keyboard.
func (st stage) pressed(keys ...Press) {
	for _, k := range keys {
		k.Down, k.On = true, "strip"
		st.desk.Press(k)
	}
}

func letterKey(label string) Press { return Press{Code: "Key" + strings.ToUpper(label), Label: label} }

// kept is the text of the exercise in hand as the shelf has it.
func (st stage) kept(t *testing.T) string {
	t.Helper()
	text, err := shelf.New(&st.desk.Store).Read(st.state.Write.ID)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// html is the page as it is drawn.
func (st stage) html() string { return goapp.HTMLString(view(st.state, st.picture)) }

func TestEveryKeyPressIsKept(t *testing.T) {
	st := writing(gangueText)
	typed := strings.Replace(gangueText, "snare | . . X .", "snare | . . X x", 1)
	st.desk.Type(textField, typed, 80, 80)
	if st.kept(t) != typed { // at once: no pause, no leaving
		t.Fatalf("the shelf has\n%s", st.kept(t))
	}
	st.pressed(Press{Code: "ArrowDown"}, letterKey("g"))
	if st.kept(t) != st.text() || st.text() == typed {
		t.Errorf("after the strip the shelf has\n%s", st.kept(t))
	}
	again := newStage(st.desk.Kept)
	again.Dispatch(Went{writePath})
	if again.text() != st.text() {
		t.Errorf("at the next visit\n%s", again.text())
	}
}

func TestAProblemLeavesTheLastGoodStrip(t *testing.T) {
	st := writing(gangueText)
	good := st.picture.Layout
	at := strings.Index(gangueText, ".xx. x.x. |")
	bad := gangueText[:at] + "?" + gangueText[at:]
	st.desk.Type(textField, bad, at+1, at+1)
	st.clock.Run(20)
	ps := st.state.Write.Draft.Problems()
	if len(ps) == 0 || ps[0].Line != 8 {
		t.Fatalf("problems %v", ps)
	}
	html := st.html()
	for _, want := range []string{`class="text-fault"`, "sm-problem", "line 8", "8:"} {
		if !strings.Contains(html, want) {
			t.Errorf("the page has no %s", want)
		}
	}
	if len(st.picture.Layout.Rows) != len(good.Rows) || st.state.Write.Draft.Passage().Length() != draftOf(gangueText).Length() {
		t.Error("the last good strip is gone")
	}
	st.act("write-goto", "0", "")
	if c := st.state.Write.Draft.Caret(); c.Line != 8 {
		t.Errorf("the caret went to %v", c)
	}
	st.act("write-undo", "", "")
	st.act("write-undo", "", "")
	if st.text() != gangueText || len(st.state.Write.Draft.Problems()) != 0 {
		t.Errorf("undone it is\n%s", st.text())
	}
}

func draftOf(text string) passage.Passage {
	climb, _ := drill.Parse("x", []byte(text), nil)
	return climb.Steps[0].Passage
}

func TestKeysOnTheStrip(t *testing.T) {
	for _, c := range []struct {
		name string
		keys []Press
		want string // in the text
	}{
		{"a letter", []Press{letterKey("g")}, "china | g x x x |"},
		{"the cursor goes on", []Press{letterKey("g"), {Code: "Period", Label: "."}}, "china | g . x x |"},
		{"a digit cuts the beat", []Press{{Code: "Digit4", Label: "4"}}, "china | x... x x x |"},
		{"Delete clears", []Press{{Code: "Delete", Label: "Delete"}}, "china | . x x x |"},
		{"a selection takes the sign", []Press{{Code: "ArrowRight", Shift: true}, {Code: "KeyX", Label: "X", Shift: true}}, "china | X X x x |"},
		{"Escape lets it go", []Press{{Code: "ArrowRight", Shift: true}, {Code: "Escape"}, letterKey("g")}, "china | x g x x |"},
		{"undone", []Press{letterKey("g"), {Code: "KeyZ", Label: "z", Ctrl: true, Modified: true}}, "china | x x x x |"},
		{"and done again", []Press{letterKey("g"), {Code: "KeyZ", Label: "z", Ctrl: true, Modified: true}, {Code: "KeyY", Label: "y", Ctrl: true, Modified: true}}, "china | g x x x |"},
	} {
		st := writing(gangueText)
		st.pressed(c.keys...)
		if !strings.Contains(strings.Join(strings.Fields(st.text()), " "), c.want) {
			t.Errorf("%s: want %q, refused %q, in\n%s", c.name, c.want, st.state.Write.Refused, st.text())
		}
	}
}

func TestARefusedEditSaysWhyAndChangesNothing(t *testing.T) {
	st := writing(gangueText)
	st.pressed(letterKey("b")) // a china does not bend
	if st.text() != gangueText || st.state.Write.Refused == "" || !strings.Contains(st.html(), "refused") {
		t.Errorf("refused %q", st.state.Write.Refused)
	}
	st.pressed(letterKey("x"))
	if st.state.Write.Refused != "" {
		t.Errorf("still refused: %q", st.state.Write.Refused)
	}
}

func TestAPointerSelects(t *testing.T) {
	st := writing(gangueText)
	at := func(beat float64, row int) (x, y float64) {
		l := st.picture.Layout
		return (l.X(beat) + 1) / l.Width, l.Rows[row].Y / l.Height
	}
	x, y := at(0, 2)
	if !st.desk.Point(port.Point{Stage: port.Began, On: "strip", X: x, Y: y}) {
		t.Fatal("the press was not taken")
	}
	if c := st.state.Write.Draft.Cursor(); c.Voice != passage.Kick {
		t.Fatalf("the cursor is on %v", c.Voice)
	}
	x, y = at(1.75, 3)
	st.desk.Point(port.Point{Stage: port.Moved, On: "strip", X: x, Y: y})
	st.desk.Point(port.Point{Stage: port.Ended, On: "strip", X: x, Y: y})
	if got := scopeWords(st.state); got != "Kick and guitar, bar 1, beats 1 to 2" {
		t.Errorf("selected: %q", got)
	}
	if !strings.Contains(st.html(), "text-cell") {
		t.Error("the text does not show what is selected")
	}
}

func TestAChangeIsShownHeardAndMade(t *testing.T) {
	st := writing(gangueText)
	offers := st.state.Write.Offers
	i := slices.IndexFunc(offers, func(o offered) bool { return o.why == "" })
	if i < 0 || st.state.Write.rest.Left() != 0 {
		t.Fatalf("%d changes, %d left to try", len(offers), st.state.Write.rest.Left())
	}
	st.act("write-choose", offers[i].text, "")
	if st.picture.Pair.Before == "" || st.text() != gangueText {
		t.Fatal("no bar before and after, or the text changed")
	}
	st.act("write-try", offers[i].text, "")
	if !st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Hearing }) {
		t.Fatalf("not heard: %+v", st.state.Notice)
	}
	st.act("write-apply", offers[i].text, "")
	if st.text() == gangueText || st.state.Phase != Idle || st.state.Write.Chosen != "" || st.kept(t) != st.text() {
		t.Errorf("made: phase %v, chosen %q\n%s", st.state.Phase, st.state.Write.Chosen, st.text())
	}
	st.act("write-undo", "", "")
	if st.text() != gangueText {
		t.Errorf("undone\n%s", st.text())
	}
	st.act("write-as-step", offers[i].text, "")
	if steps := st.state.Write.Draft.Steps(); len(steps) != 2 || !steps[1].Good || !strings.Contains(st.text(), "do: "+offers[i].text) {
		t.Errorf("saved as a step\n%s", st.text())
	}
	st.clock.Run(20_000)
	if st.state.Write.Did == "" || !strings.Contains(st.html(), "Against the step before") {
		t.Errorf("what the step changes is not said: %q", st.state.Write.Did)
	}
}

func TestSearchFindsChangesAndReasons(t *testing.T) {
	st := writing(gangueText)
	st.act("write-search", "", "double")
	html := st.html()
	if !strings.Contains(html, "double") || strings.Contains(html, `data-arg="stop at`) {
		t.Error("the list does not follow the search")
	}
	st.act("write-search", "", "zinc")
	if !strings.Contains(st.html(), "No change has these words.") {
		t.Error("nothing is said of a search that finds nothing")
	}
	st.act("write-search", "", "")
	st.act("write-all", "", "")
	if n := strings.Count(st.html(), "unfit"); n == 0 {
		t.Error("what does not fit is not listed with its reason")
	}
}

// Two windows write one exercise: what the other wrote comes over, and when
// both wrote at once, both are kept.
func TestTwoWindows(t *testing.T) {
	one := writing(gangueText)
	two := newStage(one.desk.Kept)
	two.Dispatch(Went{writePath})
	id := one.state.Write.ID
	if two.state.Write.ID != id {
		t.Fatal("the second window has another exercise")
	}
	first := strings.Replace(gangueText, "tempo: 88", "tempo: 89", 1)
	one.desk.Type(textField, first, 0, 0)
	two.desk.Change(shelf.Prefix + id)
	two.clock.Run(1000)
	if two.text() != first || !strings.Contains(lesser(two.state), "Another window changed this exercise") {
		t.Fatalf("the second window has\n%s\nand says %q", two.text(), lesser(two.state))
	}
	second := strings.Replace(gangueText, "tempo: 88", "tempo: 120", 1)
	one.desk.Type(textField, first+"\n# one", 0, 0)
	two.desk.Type(textField, second, 0, 0) // before it hears of the other
	var texts []string
	all := shelf.New(&two.desk.Store)
	for _, e := range all.List() {
		text, _ := all.Read(e.ID)
		texts = append(texts, text)
	}
	joined := strings.Join(texts, "\n----\n")
	if len(texts) != 2 || !strings.Contains(joined, "tempo: 120") || !strings.Contains(joined, "# one") {
		t.Errorf("the shelf has\n%s", joined)
	}
	if !strings.HasPrefix(two.state.Notice.Fact, "Another window wrote this exercise") {
		t.Errorf("notice %+v", two.state.Notice)
	}
}

func TestNoRoomForTheExercise(t *testing.T) {
	st := writing(gangueText)
	st.desk.Full = shelf.Prefix
	typed := strings.Replace(gangueText, "Haulage", "Haulway", 1)
	st.desk.Type(textField, typed, 0, 0)
	if st.text() != typed || !st.state.Write.Unkept || !st.desk.Holding || st.kept(t) != gangueText {
		t.Fatalf("unkept %v, holding %v", st.state.Write.Unkept, st.desk.Holding)
	}
	st.act("write-save", "", "")
	if st.desk.Saved["haulway.drill"] != typed {
		t.Errorf("saved %v", st.desk.Saved)
	}
	st.act("write-delete", "", "") // it is nowhere else
	if st.state.Write.ID == "" {
		t.Error("deleted what was nowhere else")
	}
	st.desk.Full = ""
	st.desk.Type(textField, typed+"\n", 0, 0)
	if st.state.Write.Unkept || st.desk.Holding || st.kept(t) != typed+"\n" || st.state.Notice.Fact != "" {
		t.Errorf("with room again: unkept %v, notice %+v", st.state.Write.Unkept, st.state.Notice)
	}
}

func TestDeletedAndPutBack(t *testing.T) {
	st := writing(gangueText)
	st.act("write-practise", "", "")
	st.act("write-delete", "", "")
	if st.state.Write.ID != "" || !strings.Contains(st.state.Notice.Fact, "Haulage was deleted.") || len(st.state.Library) != len(st.state.builtIn()) {
		t.Fatalf("in hand %q, notice %+v", st.state.Write.ID, st.state.Notice)
	}
	st.act("write-putback", st.state.Notice.Arg, "")
	if st.text() != gangueText || st.kept(t) != gangueText {
		t.Errorf("put back\n%s", st.text())
	}
}

func TestAnOwnExerciseIsPractised(t *testing.T) {
	st := writing(gangueText)
	st.act("write-practise", "", "")
	st.Dispatch(Went{"/practise/"})
	if got := st.state.entry().Climb.Title; got != "Haulage" {
		t.Fatalf("practising %q, notice %+v", got, st.state.Notice)
	}
	options := climbOptions(st.state)
	if last := options[len(options)-1]; last.label != "Haulage" || len(options) != len(st.state.builtIn())+1 {
		t.Errorf("the climbs are %v", options)
	}
	again := newStage(st.desk.Kept) // after a reload
	if got := again.state.entry().Climb.Title; got != "Haulage" {
		t.Fatalf("after a reload %q", got)
	}
	again.take(t, 12)
	if again.state.Verdict == nil || len(again.archived(logbook.TakePrefix)) != 1 {
		t.Errorf("no take of it: %+v", again.state.Notice)
	}
	again.Dispatch(Went{writePath})
	again.act("write-header", "title", "Drift")
	again.Dispatch(Went{"/practise/"})
	if got := again.state.entry().Climb.Title; got != "Drift" {
		t.Errorf("the change is not taken over: %q", got)
	}
}

func TestTextsThatComeIn(t *testing.T) {
	link, err := exchange.Link([]byte(gangueText))
	if err != nil {
		t.Fatal(err)
	}
	st := newStage(map[string]string{})
	st.Dispatch(Went{writePath})
	st.desk.Visit(link)
	if st.text() != gangueText || st.desk.Fragment() != "" {
		t.Fatalf("the link gave\n%s", st.text())
	}
	st.desk.Visit(link[:len(link)-9])
	if st.text() != gangueText || st.state.Notice.Fact == "" {
		t.Errorf("a cut link: notice %+v", st.state.Notice)
	}
	st.act("write-close", "", "")
	st.desk.Drop(
		memory.File{Name: "ores", Folder: true},
		memory.File{Name: "a.drill", Content: []byte("title: A\r\ntempo: 90\r\nmetre: 4/4\r\n\r\nstep: One\r\nkick | x x x x |\r\n")},
		memory.File{Name: "b.drill", Content: []byte{0xff, 0xfe, 0}},
		memory.File{Name: "take.json", Content: []byte(`{"stampmill":1,"taps":[]}`)},
		memory.File{Name: "empty.drill", Content: []byte(" \n")},
		memory.File{Name: "c.drill", Content: []byte("nothing of an exercise")},
	)
	if n := len(st.state.Write.Shelf); n != 3 {
		t.Errorf("%d exercises on the shelf, want the link and two files", n)
	}
	for _, want := range []string{"Ores is a folder", "b.drill is no exercise text", "take.json is no exercise text", "empty.drill is no exercise text"} {
		if !strings.Contains(st.state.Notice.words(), want) {
			t.Errorf("said %q, want %q in it", st.state.Notice.words(), want)
		}
	}
	if st.text() != "nothing of an exercise" || len(st.state.Write.Draft.Problems()) == 0 {
		t.Errorf("in hand %q, problems %v", st.text(), st.state.Write.Draft.Problems())
	}
	st.act("write-practise", "", "")
	if !strings.HasPrefix(st.state.Write.Refused, "The text has something to mend first") {
		t.Errorf("refused %q", st.state.Write.Refused)
	}
	st.act("write-open", "", st.state.Write.Shelf[len(st.state.Write.Shelf)-1].ID)
	st.act("write-link", "", "")
	if text, err := exchange.ReadLink(st.desk.Copied); err != nil || string(text) != st.text() {
		t.Errorf("copied %q: %v", st.desk.Copied, err)
	}
	st.desk.Allowed = false
	st.act("write-menu", "", "")
	st.act("write-link", "", "")
	if !strings.Contains(st.html(), st.state.Write.Link) || st.state.Write.Link == "" {
		t.Error("the link is not shown where copying is not allowed")
	}
}

// Hearing goes on from bar to bar, and the strip follows it.
func TestHearingFromABar(t *testing.T) {
	st := writing(strings.ReplaceAll(gangueText, "|\n", "| % | % | % | % |\n"))
	st.act("write-select", "3", "")
	st.act("write-hear", "", "")
	if !st.clock.RunUntil(60_000, func() bool { return st.state.Phase == Hearing }) {
		t.Fatalf("notice %+v", st.state.Notice)
	}
	if first, last := st.state.bars(); first != 3 || last != 6 {
		t.Errorf("heard are bars %d to %d", first, last)
	}
	if !st.clock.RunUntil(60_000, func() bool { return st.state.Bar == 5 }) {
		t.Error("the strip does not follow")
	}
	st.pressed(Press{Code: "Escape"}, Press{Code: "Escape"})
	if st.state.Phase != Idle {
		t.Error("Escape does not stop it")
	}
}
