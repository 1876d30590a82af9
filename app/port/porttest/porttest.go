// Package porttest says what the ports promise, so that the browser and its
// stand-in in memory can be held to the same.
//
// The one idea: a small program writes down, a line each, everything that its
// ports tell it; a player does things; and each [Scene] says which lines those
// must give. Units are those of package port. Run [Listen] over the ports,
// let a [Player] act out all [Scenes] in order, and compare; [Broken] tries
// what needs no player.
package porttest

import (
	"fmt"
	"slices"
	"strings"

	"stampmill/app/port"
)

// What has to be on the page: an empty textarea with this id and the attribute
// data-text; an element to draw on with this data-draw, Width by Height; an
// element that can have focus with this id and the same data-keys.
const (
	Field  = "field"
	Strip  = "strip"
	Width  = 200 // CSS pixels
	Height = 100
)

// most is how large a file may be, in bytes.
const most = 1000

// Listen is the small program. It takes strokes on [Strip], and the keys pressed
// there that it has something to do for.
func Listen(p port.Ports, say func(line string)) {
	sayf := func(format string, args ...any) { say(fmt.Sprintf(format, args...)) }
	arrival := func(name string, content []byte, err error) {
		if err != nil {
			sayf("file %q error %v", name, err)
			return
		}
		sayf("file %q of %d bytes %.12q", name, len(content), content)
	}
	p.Inputs.OnPress(func(k port.Press) bool {
		if !k.Down {
			return false
		}
		sayf("press %s on %q typing %v%s", k.Code, k.On, k.Typing, held(k))
		if k.On != Strip {
			return k.Ctrl && k.Code == "KeyZ" // in the field too
		}
		switch k.Code {
		case "KeyO":
			p.Files.Open([]string{".drill"}, most, arrival)
		case "KeyC":
			p.Clipboard.Copy("to be pasted", func(ok bool) { sayf("copied %v", ok) })
		case "KeyT":
			p.Screen.SetText(Field, "one\ntwo", 4, 7)
		case "KeyH":
			p.Screen.Hold(!k.Shift)
		case "KeyK":
			late := p.Clock.After(1, func() { say("too late to stop") })
			p.Clock.After(30, func() { say("30 ms") })
			p.Clock.After(10, func() { say("10 ms") })
			late()
		}
		return true
	})
	p.Inputs.OnPoint(func(q port.Point) bool {
		sayf("point %d source %d on %q at %.2f %.2f shift %v", q.Stage, q.Source, q.On, q.X, q.Y, q.Shift)
		return q.X < 0.9 // what begins at the right edge is left to the browser
	})
	p.Inputs.OnText(func(t port.Text) { sayf("text %s %q %d-%d", t.Field, t.Value, t.From, t.To) })
	p.Inputs.OnCaret(func(field string, from, to int) { sayf("caret %s %d-%d", field, from, to) })
	p.Files.OnDrop(most, arrival)
	p.Address.OnFragment(func(fragment string) { sayf("fragment %q", fragment) })
	p.Store.OnChange(func(name string) { sayf("changed %q", name) })
	p.Screen.OnLeave(func() { say("leaving") })
}

func held(k port.Press) string {
	words := ""
	for _, m := range []struct {
		on   bool
		name string
	}{{k.Shift, " shift"}, {k.Ctrl, " ctrl"}, {k.Alt, " alt"}, {k.Meta, " meta"}} {
		if m.on {
			words += m.name
		}
	}
	return words
}

// A Player does what people do.
type Player interface {
	// Focus moves the keyboard to the field or the strip.
	Focus(id string)
	// Press presses a key with others held: "ctrl+shift+KeyZ".
	Press(keys string)
	// Write writes at the caret of the field, all at once.
	Write(text string)
	// Back moves the caret of the field one place back, by a key.
	Back()
	// Draw strokes the strip from one place to the next, in CSS pixels from its
	// upper left, with a finger or the mouse, Shift held or not.
	Draw(finger, shift bool, places ...[2]float64)
	// Choose chooses a file in the question that is open.
	Choose(File)
	// Drop drops files on the page.
	Drop(files ...File)
	// Follow follows a link to a fragment of the page.
	Follow(fragment string)
	// Elsewhere writes a record in another window.
	Elsewhere(name, value string)
	// Leave leaves the page.
	Leave()
	// Wait lets ms pass.
	Wait(ms float64)
}

// A File is one that a player chooses or drops.
type File struct {
	Name   string
	Size   int // bytes, all x
	Folder bool
}

// A Scene is what a player does and what the program is told.
type Scene struct {
	Name string
	Play func(Player)
	Want []string
}

// Scenes returns all scenes. They follow on one another.
func Scenes() []Scene {
	many := make([]File, port.MaxDropped+1)
	var manyLines []string
	for i := range many {
		many[i] = File{Name: fmt.Sprintf("%02d.drill", i), Size: 1}
		if i < port.MaxDropped {
			manyLines = append(manyLines, fmt.Sprintf(`file "%02d.drill" of 1 bytes "x"`, i))
		}
	}
	return []Scene{
		{"keys on the strip", func(p Player) {
			p.Focus(Strip)
			for _, k := range []string{"KeyX", "shift+Digit1", "ctrl+KeyZ", "ctrl+shift+KeyZ", "meta+KeyY", "alt+ArrowUp", "Tab"} {
				p.Press(k)
			}
		}, []string{
			`press KeyX on "strip" typing false`,
			`press Digit1 on "strip" typing false shift`,
			`press KeyZ on "strip" typing false ctrl`,
			`press KeyZ on "strip" typing false shift ctrl`,
			`press KeyY on "strip" typing false meta`,
			`press ArrowUp on "strip" typing false alt`,
			`press Tab on "strip" typing false`, // taken: the keyboard stays
		}},
		{"timers", func(p Player) { p.Press("KeyK"); p.Wait(40) }, []string{
			`press KeyK on "strip" typing false`, "10 ms", "30 ms",
		}},
		{"copying", func(p Player) { p.Press("KeyC"); p.Wait(1) }, []string{`press KeyC on "strip" typing false`, "copied true"}},
		{"a file", func(p Player) { p.Press("KeyO"); p.Choose(File{Name: "winze.drill", Size: 12}) },
			[]string{`press KeyO on "strip" typing false`, `file "winze.drill" of 12 bytes "xxxxxxxxxxxx"`}},
		{"a large file", func(p Player) { p.Press("KeyO"); p.Choose(File{Name: "core.bin", Size: most + 1}) },
			[]string{`press KeyO on "strip" typing false`, `file "core.bin" error ` + port.ErrTooLarge("core.bin", most).Error()}},
		{"writing", func(p Player) {
			p.Focus(Field)
			p.Write("x𝄞|")
		}, []string{`text field "x𝄞|" 4-4`}},
		{"moving the caret", func(p Player) { p.Back() }, []string{`press ArrowLeft on "" typing true`, `caret field 3-3`}},
		{"keys in the field", func(p Player) {
			p.Press("ctrl+KeyZ") // taken, so what was written stays
			p.Write("ü")
		}, []string{`press KeyZ on "" typing true ctrl`, `text field "x𝄞ü|" 4-4`}},
		{"the program writes, and is not told of that", func(p Player) {
			p.Focus(Strip)
			p.Press("KeyT")
			p.Focus(Field)
			p.Write("x")
		}, []string{`press KeyT on "strip" typing false`, `text field "one\nx" 5-5`}},
		{"a stroke of the mouse", func(p Player) {
			p.Draw(false, true, [2]float64{50, 25}, [2]float64{100, 50}, [2]float64{300, -50})
		}, []string{
			`point 0 source 2 on "strip" at 0.25 0.25 shift true`,
			`point 1 source 2 on "strip" at 0.50 0.50 shift true`,
			`point 1 source 2 on "strip" at 1.50 -0.50 shift true`,
			`point 2 source 2 on "strip" at 1.50 -0.50 shift true`,
		}},
		{"a stroke of a finger", func(p Player) {
			p.Draw(true, false, [2]float64{20, 90}, [2]float64{60, 10})
		}, []string{
			`point 0 source 1 on "strip" at 0.10 0.90 shift false`,
			`point 1 source 1 on "strip" at 0.30 0.10 shift false`,
			`point 2 source 1 on "strip" at 0.30 0.10 shift false`,
		}},
		{"a stroke that is left to the browser", func(p Player) {
			p.Draw(false, false, [2]float64{190, 50}, [2]float64{100, 50})
		}, []string{`point 0 source 2 on "strip" at 0.95 0.50 shift false`}},
		{"dropped files", func(p Player) {
			p.Drop(File{Name: "ore.drill", Size: 3}, File{Name: "core.bin", Size: most + 1}, File{Name: "mill", Folder: true})
		}, []string{
			`file "ore.drill" of 3 bytes "xxx"`,
			`file "core.bin" error ` + port.ErrTooLarge("core.bin", most).Error(),
			`file "mill" error ` + port.ErrFolder("mill").Error(),
		}},
		{"too many files", func(p Player) { p.Drop(many...) }, append(manyLines, `file "" error `+port.ErrMany(len(many)).Error())},
		{"a link", func(p Player) { p.Follow("d1.x"); p.Wait(1); p.Follow("d1.y") }, []string{`fragment "d1.x"`, `fragment "d1.y"`}},
		{"another window", func(p Player) { p.Elsewhere("own/a", "1") }, []string{`changed "own/a"`}},
		{"leaving", func(p Player) { p.Leave() }, []string{"leaving"}},
	}
}

// Broken tries what needs no player and returns the promises that were not
// kept. It leaves nothing behind.
func Broken(p port.Ports) []string {
	var broken []string
	for _, try := range []struct {
		name string
		of   func(port.Ports) bool
	}{
		{"a record is as it was put", func(p port.Ports) bool {
			const value = "x\x00 \"𝄞\"\n"
			err := p.Store.Put("test/a", value)
			got, ok := p.Store.Get("test/a")
			return err == nil && ok && got == value
		}},
		{"names with a prefix are listed", func(p port.Ports) bool {
			err := p.Store.Put("test/b", "")
			names := p.Store.Names("test/")
			slices.Sort(names)
			return err == nil && slices.Equal(names, []string{"test/a", "test/b"})
		}},
		{"a record of nothing is there", func(p port.Ports) bool {
			value, ok := p.Store.Get("test/b")
			return ok && value == ""
		}},
		{"what is deleted is gone", func(p port.Ports) bool {
			err := p.Store.Delete("test/a")
			_, ok := p.Store.Get("test/a")
			return err == nil && !ok && p.Store.Delete("test/b") == nil && len(p.Store.Names("test/")) == 0
		}},
		{"deleting nothing is no error", func(p port.Ports) bool { return p.Store.Delete("test/a") == nil }},
		{"a fragment is as it was set", func(p port.Ports) bool {
			p.Address.SetFragment("d1.A-_z")
			return p.Address.Fragment() == "d1.A-_z"
		}},
		{"a fragment can be removed", func(p port.Ports) bool {
			p.Address.SetFragment("")
			return p.Address.Fragment() == ""
		}},
		{"a link holds host, path and fragment", func(p port.Ports) bool {
			link := p.Address.Link("/mill/write/", "d1.x")
			host, ok := strings.CutSuffix(link, "/mill/write/#d1.x")
			return ok && strings.Contains(host, "://") && p.Address.Link("/", "") == host+"/"
		}},
		{"a text comes back", func(p port.Ports) bool {
			p.Screen.SetText(Field, "a𝄞\r\nb", 1, 4)
			text, ok := p.Screen.Text(Field)
			return ok && text == "a𝄞\nb" && caret(p, 1, 4)
		}},
		{"a selection can be set", func(p port.Ports) bool { p.Screen.Select(Field, 3, 3); return caret(p, 3, 3) }},
		{"places beyond the end mean the end", func(p port.Ports) bool { p.Screen.Select(Field, 4, 99); return caret(p, 4, 5) }},
		{"places before the start mean the start", func(p port.Ports) bool { p.Screen.Select(Field, -9, 2); return caret(p, 0, 2) }},
		{"a text can be emptied", func(p port.Ports) bool { p.Screen.SetText(Field, "", 0, 0); return caret(p, 0, 0) }},
		{"what is not there is left alone", func(p port.Ports) bool {
			p.Screen.SetText("nothing", "x", 0, 0)
			p.Screen.Select("nothing", 0, 0)
			p.Screen.Scroll("nothing", 0, 0)
			p.Screen.Reveal("nothing")
			p.Screen.RevealLine("nothing", 3)
			_, text := p.Screen.Text("nothing")
			_, _, caret := p.Screen.Caret("nothing")
			return !text && !caret
		}},
	} {
		if !try.of(p) {
			broken = append(broken, try.name)
		}
	}
	return broken
}

func caret(p port.Ports, from, to int) bool {
	a, b, ok := p.Screen.Caret(Field)
	return ok && a == from && b == to
}
