package porttest

import (
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"stampmill/app/port"
	"stampmill/app/port/memory"
	"stampmill/app/transport/fake"
)

// player acts on a window in memory.
type player struct {
	*memory.Window
	clock *fake.Clock
	focus string
}

func (p *player) Focus(id string) { p.focus = id }

func (p *player) Press(keys string) {
	names := strings.Split(keys, "+")
	press := port.Press{Code: names[len(names)-1], Down: true, Typing: p.focus == Field}
	if p.focus == Strip {
		press.On = Strip
	}
	for _, n := range names[:len(names)-1] {
		press.Shift = press.Shift || n == "shift"
		press.Ctrl = press.Ctrl || n == "ctrl"
		press.Alt = press.Alt || n == "alt"
		press.Meta = press.Meta || n == "meta"
	}
	p.Window.Press(press)
}

func (p *player) Write(text string) {
	f := p.Fields[Field]
	units := utf16.Encode([]rune(f.Value))
	value := string(utf16.Decode(units[:f.From])) + text + string(utf16.Decode(units[f.To:]))
	at := f.From + len(utf16.Encode([]rune(text)))
	p.Type(Field, value, at, at)
}

func (p *player) Back() {
	p.Press("ArrowLeft")
	at := p.Fields[Field].From - 1
	p.Move(Field, at, at)
}

func (p *player) Draw(finger, shift bool, places ...[2]float64) {
	q := port.Point{Source: port.Pointer, On: Strip, Shift: shift}
	if finger {
		q.Source = port.Touch
	}
	for i, at := range places {
		q.X, q.Y = at[0]/Width, at[1]/Height
		if i > 0 {
			q.Stage = port.Moved
		}
		p.Point(q)
	}
	q.Stage = port.Ended
	p.Point(q)
}

func (p *player) Choose(f File) { p.Window.Choose(fileOf(f)) }

func (p *player) Drop(files ...File) {
	var all []memory.File
	for _, f := range files {
		all = append(all, fileOf(f))
	}
	p.Window.Drop(all...)
}

func fileOf(f File) memory.File {
	return memory.File{Name: f.Name, Content: []byte(strings.Repeat("x", f.Size)), Folder: f.Folder}
}

func (p *player) Follow(fragment string) { p.Visit(fragment) }

func (p *player) Elsewhere(name, value string) {
	p.Kept[name] = value
	p.Change(name)
}

func (p *player) Wait(ms float64) { p.clock.Run(ms) }

func newPlayer() (*player, port.Ports) {
	w, c := memory.New(map[string]string{}), fake.NewClock()
	w.Fields[Field] = memory.Field{}
	return &player{Window: w, clock: c}, w.Ports(fake.NewAudio(c), c)
}

func TestMemoryKeepsThePromises(t *testing.T) {
	p, ports := newPlayer()
	if broken := Broken(ports); len(broken) > 0 {
		t.Errorf("not kept: %q", broken)
	}
	var lines []string
	Listen(ports, func(line string) { lines = append(lines, line) })
	for _, s := range Scenes() {
		lines = nil
		s.Play(p)
		if diff := cmp.Diff(s.Want, lines); diff != "" {
			t.Errorf("%s (-want +got):\n%s", s.Name, diff)
		}
	}
}
