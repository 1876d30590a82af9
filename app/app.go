// Package app is what the player sees and does.
//
// The one idea: a [State] is a value, [Update] says in one pure function what
// becomes of it when something happens, and the pages are functions of it.
// Everything from the outside comes through [Ports]; a [Program] joins them.
// Call [New], then [Routes]; [Pages] lists what Routes serves.
package app

import (
	"strings"

	"github.com/maxence-charriere/go-app/v10/pkg/app"
)

// A Page is one address of the site with the words a browser shows for it.
type Page struct {
	Path        string // from the site's root, starts and ends in "/"
	Title       string // the browser's tab and history
	Description string // one sentence for search results and link previews
	Name        string // in the list of pages; "" for the front page, which the brand leads to
}

// Pages lists every page of the site, the front page first.
func Pages() []Page {
	return []Page{
		{"/", "Stampmill", "A practice room for heavy, syncopated music: hear a passage, tap it, and read to the millisecond what happened.", ""},
		{"/practise/", "Practise · Stampmill", "Play a climb step by step and see where each hit fell.", "Practise"},
		{listenPath, "Listen · Stampmill", "Train the ear on the passages you play: what changed, where, how early, how many in a beat.", "Listen"},
		{"/write/", "Write · Stampmill", "Write a climb of your own as text and as a strip, with every change drawn before it is made.", "Write"},
		{progressPath, "Progress · Stampmill", "What is due today, and what the takes of weeks show: tempo owned, leaning, splits, weak places.", "Progress"},
		{"/setup/", "Setup · Stampmill", "Keys, delay and level.", "Setup"},
	}
}

// Routes registers the component of every page with go-app.
func Routes(p *Program) {
	for _, page := range Pages() {
		app.Route(page.Path, func() app.Composer { return &root{program: p, path: page.Path, title: page.Title} })
	}
}

// href gives a page's address under the folder the site is served from, which
// go-app does not add by itself in the browser.
func href(path string) string {
	return strings.TrimSuffix(app.Getenv("GOAPP_ROOT_PREFIX"), "/") + path
}

// root is the component of a page. What it shows is the state of the program;
// it holds nothing of its own.
type root struct {
	app.Compo
	program     *Program
	path, title string
}

// CompoID lets go-app put a page in the place of another one, instead of
// changing it.
func (r *root) CompoID() string { return r.path }

// OnInit comes before the first drawing, so that the state is on this page.
func (r *root) OnInit() { r.program.Dispatch(Went{r.path}) }

// OnMount makes the page the one that the program draws.
func (r *root) OnMount(ctx app.Context) {
	r.program.page = &ctx
	r.program.show()
}

// OnNav gives the page its title.
func (r *root) OnNav(ctx app.Context) { ctx.Page().SetTitle(r.title) }

// OnAppUpdate is called when a newer version of the site was stored.
func (r *root) OnAppUpdate(app.Context) { r.program.Dispatch(Newer{}) }

// Render draws the page.
func (r *root) Render() app.UI {
	return view(r.program.state, r.program.picture).
		OnClick(r.clicked).
		OnChange(r.changed).
		OnInput(r.slid)
}

// clicked, changed and slid are the only handlers: each control says by data-act
// what it does, so that no handler holds a value that has grown old.
func (r *root) clicked(_ app.Context, e app.Event) {
	control := e.Get("target").Call("closest", "button[data-act]")
	if control.Truthy() {
		release(control)
		r.program.act(dataOf(control, "act"), dataOf(control, "arg"), "")
	}
}

// release takes the keyboard off a control that was worked by a mouse or a
// finger, so that Space starts a take and does not work it again. Who works it
// by the keyboard keeps it there.
func release(control app.Value) {
	if !control.Call("matches", ":focus-visible").Bool() {
		control.Call("blur")
	}
}

func (r *root) changed(_ app.Context, e app.Event) {
	control := e.Get("target")
	act, arg := dataOf(control, "act"), dataOf(control, "arg")
	if act == "" {
		return
	}
	r.program.act(act, arg, control.Get("value").String())
	if value, ok := r.program.field(act, arg); ok {
		control.Set("value", value)
	}
	if control.Get("type").String() == "select-one" {
		release(control)
	}
}

// slid lets a slider be heard while it moves, and a search find while it is
// typed.
func (r *root) slid(ctx app.Context, e app.Event) {
	target := e.Get("target")
	if target.Get("type").String() == "range" || dataOf(target, "live") != "" {
		r.changed(ctx, e)
	}
}

func dataOf(element app.Value, name string) string {
	v := element.Get("dataset").Get(name)
	if !v.Truthy() {
		return ""
	}
	return v.String()
}

// view is the page of the state.
func view(s State, pic Picture) app.HTMLElem {
	page := app.Elem("div").ID("root").Class("page", phaseClass(s))
	if s.phone() {
		page = page.Class("phone")
	}
	switch s.Page {
	case "/practise/":
		return page.Class("practise").Body(practise(s, pic)...)
	case listenPath:
		return page.Class("listen").Body(listenPage(s, pic)...)
	case writePath:
		return page.Class("write").Body(write(s, pic)...)
	case progressPath:
		return page.Class("progress").Body(progressPage(s, pic)...)
	case "/setup/":
		return page.Class("setup").Body(setup(s)...)
	}
	return page.Class("front").Body(front(s, pic)...)
}

func phaseClass(s State) string {
	switch {
	case s.taking():
		return "taking"
	case s.Phase != Idle:
		return "hearing"
	case s.Verdict != nil:
		return "judged"
	}
	return "ready"
}

// taking reports whether a take runs or is about to.
func (s State) taking() bool {
	return s.Phase == Playing || s.Phase == Starting && (s.Aim == ForTake || s.Aim == ForTapping)
}

// drawing is a picture as a component of its own, so that it is only touched
// when it changed.
type drawing struct {
	app.Compo
	SVG string
}

// Render puts the picture on the page.
func (d *drawing) Render() app.UI { return app.Raw(d.SVG) }
