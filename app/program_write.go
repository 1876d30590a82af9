package app

import (
	"crypto/rand"
	"encoding/hex"
	"slices"
	"strings"

	"stampmill/app/draft"
	"stampmill/app/logbook"
	"stampmill/app/port"
	"stampmill/app/shelf"
	"stampmill/exercises/drill"
	"stampmill/exercises/exchange"
)

// fileMime is the media type of exercise text.
const fileMime = "text/plain;charset=utf-8"

// mostText is how many bytes an exercise may have.
const mostText = drill.MaxFile

// listenToWriting joins the ports to what the Write page wants to know.
func (p *Program) listenToWriting() {
	p.state.Write.Shelf = p.shelf.List()
	in := p.ports.Inputs
	in.OnText(func(t port.Text) { p.Dispatch(Typed{t, p.ports.Clock.Now()}) })
	in.OnCaret(func(field string, from, to int) { p.Dispatch(Caretted{field, from, to}) })
	in.OnPoint(func(pt port.Point) bool {
		p.used = false
		p.Dispatch(Pointed{pt})
		return p.used
	})
	p.ports.Files.OnDrop(logbook.MaxBackup, p.dropped)
	p.ports.Address.OnFragment(p.linked)
	p.ports.Store.OnChange(func(name string) {
		if name == "" || strings.HasPrefix(name, shelf.Prefix) {
			p.later(Later{relistAll, relistAfter})
		}
	})
	if fragment := p.ports.Address.Fragment(); fragment != "" {
		p.linked(fragment)
	}
}

// relist takes over what another window wrote.
func (p *Program) relist() {
	id := p.state.Write.ID
	if base, ok := p.base[id]; ok && p.shelf.Stale(id, base) && !p.state.Write.Unkept {
		if text, err := p.shelf.Read(id); err == nil {
			p.base[id] = text
			p.Dispatch(Adopted{id, text, p.ports.Clock.Now()})
		}
	}
	p.Dispatch(Shelved{Items: p.shelf.List()})
}

// came is a file that the player opened or dropped.
func (p *Program) came(name string, content []byte, err error) {
	a := Arrived{Name: name, Text: string(content)}
	if err != nil {
		a.Err = err.Error()
	}
	p.Dispatch(a)
}

// linked is a fragment of the address: an exercise, where it is one of ours.
func (p *Program) linked(fragment string) {
	if !exchange.IsLink(fragment) {
		return
	}
	p.ports.Address.SetFragment("") // read once, not with every load
	text, err := exchange.ReadLink(fragment)
	a := Arrived{Name: "This link", Text: string(text)}
	if err != nil {
		a.Err = err.Error()
	}
	p.Dispatch(a)
}

// doWriting does one effect of the Write page.
func (p *Program) doWriting(e Effect) {
	switch e := e.(type) {
	case Fill:
		p.after = append(p.after, p.fillField)
	case Later:
		p.later(e)
	case Shelve:
		p.shelve(e)
	case Unshelve:
		if err := p.shelf.Delete(e.ID, p.now()); err != nil {
			p.Dispatch(Unkept{err.Error()})
		}
		p.Dispatch(Shelved{Items: p.shelf.List()})
	case Reshelve:
		if err := p.shelf.Restore(e.ID); err != nil {
			p.Dispatch(Unkept{err.Error()})
		}
		p.fetch(Fetch{ID: e.ID})
		p.Dispatch(Shelved{Items: p.shelf.List()})
	case Fetch:
		p.fetch(e)
	case Relist:
		p.relist()
	case Explain:
		p.explain(e.Draft.Explain(), e.Rated)
	case Held:
		p.ports.Screen.Hold(e.On)
	case OpenFile:
		p.ports.Files.Open([]string{".drill", ".txt", "text/plain"}, mostText, p.came)
	case CopyLink:
		p.copyLink(e.Text)
	case Download:
		p.ports.Files.Save(e.Name, fileMime, []byte(e.Text))
	case Reveal:
		p.after = append(p.after, func() {
			p.ports.Screen.Scroll("text-scroll", 0, float64(max(e.Line-2, 0)*textLine))
			p.ports.Screen.Reveal(e.ID)
		})
	}
}

// fillField brings the text field to the draft as it is now: more may have been
// typed since the fill was asked for, and the field may only just be there.
func (p *Program) fillField() {
	if !p.state.writing() {
		return
	}
	d, screen := p.state.Write.Draft, p.ports.Screen
	at := d.Caret().Units(d.Text())
	if value, ok := screen.Text(textField); ok && value == d.Text() {
		screen.Select(textField, at, at)
		return
	}
	screen.SetText(textField, d.Text(), at, at)
}

// later puts work off; asked again, it waits anew.
func (p *Program) later(e Later) {
	if stop := p.put[e.Work]; stop != nil {
		stop()
	}
	p.put[e.Work] = p.ports.Clock.After(e.MS, func() {
		delete(p.put, e.Work)
		p.Dispatch(Due{e.Work})
	})
}

// shelve writes an exercise: the one in hand, or a new one, which is then
// taken in hand.
func (p *Program) shelve(e Shelve) {
	if e.ID == "" {
		id := freshID()
		if err := p.shelf.Add(id, e.Text, p.now()); err != nil {
			p.Dispatch(Taken{ID: id, Text: e.Text, New: true}) // in hand at least
			p.Dispatch(Unkept{err.Error()})
			return
		}
		p.base[id] = e.Text
		p.Dispatch(Shelved{Items: p.shelf.List()})
		p.Dispatch(Taken{ID: id, Text: e.Text, New: true})
		return
	}
	kept, err := p.shelf.Write(e.ID, p.base[e.ID], e.Text, p.now(), freshID)
	if err != nil {
		p.Dispatch(Unkept{err.Error()})
		return
	}
	p.base[kept.ID] = e.Text
	if kept.ID != e.ID || kept.Other != "" || p.state.Write.Unkept || p.missing(kept.ID) {
		p.Dispatch(Shelved{Items: p.shelf.List(), ID: e.ID, Now: kept.ID, Other: kept.Other})
	}
}

// missing reports whether the list of the shelf has no such exercise: another
// window deleted it, or it could not be kept before.
func (p *Program) missing(id string) bool {
	return !slices.ContainsFunc(p.state.Write.Shelf, func(e shelf.Entry) bool { return e.ID == id })
}

// trials are how many trials of a change are made at a time, about ten
// microseconds each, in a browser fifty: our choice, so that keys are answered.
const trials = 200

// explain looks on for what a step changes, until that is known or asked anew.
func (p *Program) explain(x *draft.Explanation, rated int) {
	if stop := p.put["explain"]; stop != nil {
		stop()
	}
	p.put["explain"] = p.ports.Clock.After(0, func() {
		delete(p.put, "explain")
		if !x.Next(trials) {
			p.explain(x, rated)
			return
		}
		p.Dispatch(Explained{strings.Join(x.Sentences(), " "), rated})
	})
}

// freshID is a new name for an exercise on the shelf.
func freshID() string {
	var b [8]byte
	_, _ = rand.Read(b[:]) // never fails
	return hex.EncodeToString(b[:])
}

// fetch reads an exercise from the shelf.
func (p *Program) fetch(e Fetch) {
	text, err := p.shelf.Read(e.ID)
	if err != nil {
		p.Dispatch(Arrived{Name: "This exercise", Err: err.Error()})
		return
	}
	p.base[e.ID] = text
	p.Dispatch(Taken{ID: e.ID, Text: text, Practise: e.Practise, Step: e.Step})
}

// copyLink puts the link of a text into the clipboard.
func (p *Program) copyLink(text string) {
	fragment, err := exchange.Link([]byte(text))
	if err != nil {
		p.Dispatch(Arrived{Name: "This exercise", Err: err.Error()})
		return
	}
	link := p.ports.Address.Link(href(writePath), fragment)
	p.ports.Clipboard.Copy(link, func(ok bool) { p.Dispatch(Copied{link, ok}) })
}
