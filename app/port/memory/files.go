package memory

import "stampmill/app/port"

// Files are the player's files.
type Files struct {
	Saved  map[string]string // downloads by name
	Accept []string          // of the last Open
	Asked  bool              // a choice is open
	most   int
	opened port.Arrival
	drop   port.Arrival
	drops  int // most bytes of a dropped file
}

// A File is one that the player chooses or drops.
type File struct {
	Name    string
	Content []byte
	Folder  bool
	Unread  bool // it went away meanwhile
}

// Save keeps a download.
func (d *Files) Save(name, _ string, content []byte) { d.Saved[name] = string(content) }

// Open waits for Choose.
func (d *Files) Open(accept []string, most int, f port.Arrival) {
	d.Accept, d.most, d.opened, d.Asked = accept, most, f, true
}

// Choose is the player choosing a file.
func (d *Files) Choose(f File) {
	d.Asked = false
	arrive(f, d.most, d.opened)
}

// OnDrop sets the function that Drop tells.
func (d *Files) OnDrop(most int, f port.Arrival) { d.drops, d.drop = most, f }

// Drop is the player dropping files on the page.
func (d *Files) Drop(files ...File) {
	if d.drop == nil {
		return
	}
	for _, f := range files[:min(len(files), port.MaxDropped)] {
		arrive(f, d.drops, d.drop)
	}
	if n := len(files); n > port.MaxDropped {
		d.drop("", nil, port.ErrMany(n))
	}
}

func arrive(f File, most int, tell port.Arrival) {
	switch {
	case f.Folder:
		tell(f.Name, nil, port.ErrFolder(f.Name))
	case len(f.Content) > most:
		tell(f.Name, nil, port.ErrTooLarge(f.Name, most))
	case f.Unread:
		tell(f.Name, nil, port.ErrUnread(f.Name))
	default:
		tell(f.Name, f.Content, nil)
	}
}

// outgoing is a download that is being made.
type outgoing struct {
	files   *Files
	name    string
	content []byte
}

// Begin begins a download.
func (d *Files) Begin(name, _ string) port.Outgoing { return &outgoing{files: d, name: name} }

// Write adds to it.
func (o *outgoing) Write(part []byte) { o.content = append(o.content, part...) }

// Close keeps it.
func (o *outgoing) Close() { o.files.Saved[o.name] = string(o.content) }
