//go:build js && wasm

// Command engine is a page without pages: the sound engine of the program with
// a key for each thing to try, for the tests of package sitetest. Under the name
// "ports" it is the small program of package porttest instead, under the name
// "archive" what that package tries with an archive.
//
// The one idea: it holds what the program holds between the browser and its
// pages, the transport over the browser's ports, and nothing of the pages, so
// that what is measured is the engine. Its argument is an exercise's text, of
// which it plays the first step. It writes what happens into the element "out",
// a line each. Times are ms of the clock of events; frames are the device's.
//
// Keys: P plays, S stops; O opens the device and then I plays impulses, T a
// tone, X something far too loud, C chokes the tone, Q ends all; B keeps
// records; every other key is a press to be placed.
package main

import (
	"fmt"
	"math"
	"os"
	"strings"

	"stampmill/app/port"
	"stampmill/app/port/porttest"
	"stampmill/app/transport"
	"stampmill/exercises/drill"
	"stampmill/exercises/passage"
	"stampmill/synth"
	"stampmill/web/browser"
)

type engine struct {
	ports port.Ports
	play  *transport.Transport
	out   strings.Builder
}

func main() {
	e := &engine{ports: browser.Ports()}
	if os.Args[0] == "ports" {
		e.say("broken %q", porttest.Broken(e.ports))
		porttest.Listen(e.ports, func(line string) { e.say("%s", line) })
		select {}
	}
	if os.Args[0] == "archive" {
		e.archive()
	}
	e.play = transport.New(e.ports.Audio, e.ports.Clock, transport.Settings{Rate: 48000, Seed: 1})
	e.play.OnEvent(e.event)
	e.ports.Inputs.OnPress(e.press)
	e.load()
	e.say("ready")
	select {}
}

// archive tries the archive as two windows see it, and then answers to keys: P
// puts two records, L lists what is there.
func (e *engine) archive() {
	here := browser.Archive()
	porttest.Try(here, browser.Archive(), func(line string) { e.say("%s", line) }, func() { e.say("end") })
	e.ports.Inputs.OnPress(func(p port.Press) bool {
		switch {
		case !p.Down:
		case p.Code == "KeyP":
			two := []port.Record{{Name: "take/1", Value: []byte("1")}, {Name: "take/2", Value: make([]byte, 1<<20)}}
			here.Put(two, func(err error) { e.say("put %v", err) })
		case p.Code == "KeyL":
			here.Names("", func(names []string, err error) { e.say("names %q %v", names, err) })
		}
		return false
	})
	select {}
}

func (e *engine) say(format string, args ...any) {
	fmt.Fprintf(&e.out, format+"\n", args...)
	e.ports.Screen.Attr("out", "", e.out.String())
}

// load loads the exercise: a bar of count-in, two passes, a click on each beat.
func (e *engine) load() {
	climb, problems := drill.Parse("engine.drill", []byte(os.Args[1]), nil)
	if problems != nil {
		e.say("error %v", problems)
		return
	}
	e.play.Master(0.25) // low enough that no limiter has anything to do
	err := e.play.Load(synth.Plan{Passage: climb.Steps[0].Passage, CountIn: 1, Passes: 2, Click: synth.ClickBeats})
	if err != nil {
		e.say("error %v", err)
	}
}

func (e *engine) event(ev transport.Event) {
	if ev.Kind != transport.Progressed {
		e.say("event %d %d late %d at %.1f", ev.Kind, ev.Notice, e.play.Late(), e.ports.Clock.Now())
	}
}

func (e *engine) press(p port.Press) bool {
	if !p.Down || p.Repeat {
		return false
	}
	switch a := e.ports.Audio; p.Code {
	case "KeyP":
		e.play.Start()
	case "KeyS":
		e.play.Stop()
		e.say("stop at %d", a.Now())
	case "KeyO":
		a.Open(0)
	case "KeyI":
		e.impulses()
	case "KeyT":
		e.tone()
	case "KeyX":
		e.loud()
	case "KeyB":
		e.records()
	case "KeyC":
		frame := a.Now() + 4800
		a.Fade(frame, passage.Lead, 480)
		e.say("choke at %d", frame)
	case "KeyQ":
		frame := a.Now() + 4800 // far enough ahead on a busy machine; how soon Stop is silent has a test of its own
		a.Silence(frame, 576)
		e.say("silence at %d", frame)
	default:
		placed := e.play.Place(p.At)
		e.say("press %s %s at %.3f seconds %.6f ok %v quality %d pairs %d spread %.4f", p.Code, p.Area, p.At,
			placed.Seconds, placed.OK, placed.Sure.Quality, placed.Sure.Pairs, placed.Sure.Spread)
	}
	return true
}

// records keeps a small record, tries one that has no room, and tells what is
// there then.
func (e *engine) records() {
	s := e.ports.Store
	small := s.Put("test.small", "1")
	large := s.Put("test.small", strings.Repeat("x", 16<<20))
	value, ok := s.Get("test.small")
	names := s.Names("test.")
	gone := s.Delete("test.small")
	_, still := s.Get("test.small")
	e.say("records: kept %v, too large refused %v, then %q %v %q, deleted %v %v",
		small == nil, large != nil, value[:min(len(value), 9)], ok, names, gone == nil, !still)
}

// loud plays what would leave full scale by 24 dB, and turns all up.
func (e *engine) loud() {
	a := e.ports.Audio
	a.Master(4)
	key := synth.Key{Voice: passage.Snare}
	a.Load(key, a.Rate(), []float32{1, -1, 0.04, 1, 1, -1})
	begin := a.Now() + int64(a.Rate())/5
	for range 4 {
		a.Play(begin, key, 4, -1)
	}
	e.say("loud at %d", begin)
}

// impulses plays one frame of sound at many frames, each of its own height.
func (e *engine) impulses() {
	a := e.ports.Audio
	key := synth.Key{Voice: passage.Kick}
	a.Load(key, a.Rate(), []float32{0.5})
	begin := a.Now() + int64(a.Rate())/5
	for i := range int64(200) {
		gain := 0.25 + float32(i%7)/16
		a.Play(begin+i*97+i*i%13, key, gain, 0)
	}
	e.say("impulses at %d", begin)
}

// tone plays four seconds of 441 Hz.
func (e *engine) tone() {
	a := e.ports.Audio
	key := synth.Key{Voice: passage.Lead}
	pcm := make([]float32, 4*a.Rate())
	for i := range pcm {
		pcm[i] = float32(0.5 * math.Sin(2*math.Pi*441*float64(i)/float64(a.Rate())))
	}
	a.Load(key, a.Rate(), pcm)
	begin := a.Now() + int64(a.Rate())/10
	a.Play(begin, key, 1, 0)
	e.say("tone at %d", begin)
}
