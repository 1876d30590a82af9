package porttest

import (
	"fmt"
	"strings"

	"stampmill/app/port"
)

// A Trial is something done with an archive and the lines that it must give.
type Trial struct {
	Name string
	Want []string
	do   func(a *asker)
}

// An asker asks one archive, which another window shares, and says what comes.
type asker struct {
	here, there port.Archive
	say         func(line string)
	next        func() // the trial is over
}

func (a *asker) sayf(format string, args ...any) { a.say(fmt.Sprintf(format, args...)) }

// put writes records named and valued alike, "name=value".
func (a *asker) put(then func(), records ...string) {
	var all []port.Record
	for _, r := range records {
		name, value, _ := strings.Cut(r, "=")
		all = append(all, port.Record{Name: name, Value: []byte(value)})
	}
	a.here.Put(all, func(err error) {
		if err != nil {
			a.sayf("not put: %v", err)
		}
		then()
	})
}

// list says all records of an archive.
func (a *asker) list(from port.Archive, then func()) {
	from.Range("", "", 100, a.records("all", then))
}

// records says the records of an answer.
func (a *asker) records(what string, then func()) func([]port.Record, error) {
	return func(records []port.Record, err error) {
		if err != nil {
			a.sayf("%s: error %v", what, err)
			then()
			return
		}
		line := what + ":"
		for _, r := range records {
			line += fmt.Sprintf(" %s=%q", r.Name, r.Value)
		}
		a.say(line)
		then()
	}
}

// Trials returns what every archive promises. They follow on one another and
// begin with an empty archive.
func Trials() []Trial {
	return []Trial{
		{"an empty archive", []string{"all:", "got:", "names []"}, func(a *asker) {
			a.list(a.here, func() {
				a.here.Get([]string{"take/1"}, a.records("got", func() {
					a.here.Names("", func(names []string, err error) {
						a.sayf("names %q", names)
						a.next()
					})
				}))
			})
		}},
		{"bytes come back as they were", []string{`all: take/1="\x00\xff x" take/2=""`}, func(a *asker) {
			a.put(func() { a.list(a.here, a.next) }, "take/2=", "take/1=\x00\xff x")
		}},
		{"the other window has them too", []string{`all: take/1="\x00\xff x" take/2=""`}, func(a *asker) { a.list(a.there, a.next) }},
		{"a read asked for after a write sees it", []string{`got: take/1="new" text/1="b"`}, func(a *asker) {
			a.put(func() {}, "take/1=new", "text/1=b")
			a.here.Get([]string{"take/1", "take/9", "text/1"}, a.records("got", a.next))
		}},
		{"what was handed over is the archive's own", []string{`got: take/3="kept"`}, func(a *asker) {
			value := []byte("kept")
			a.here.Put([]port.Record{{Name: "take/3", Value: value}}, func(error) {})
			copy(value, "lost")
			a.here.Get([]string{"take/3"}, func(got []port.Record, err error) {
				copy(got[0].Value, "lost")
				a.here.Get([]string{"take/3"}, a.records("got", a.next))
			})
		}},
		{"ranges are in order of names, and go on where they ended", []string{
			`from the start: take/1="new" take/2=""`, `after take/2: take/3="kept"`, `after take/3:`, `after what is not there: take/2="" take/3="kept"`,
		}, func(a *asker) {
			a.here.Range("take/", "", 2, a.records("from the start", func() {
				a.here.Range("take/", "take/2", 2, a.records("after take/2", func() {
					a.here.Range("take/", "take/3", 2, a.records("after take/3", func() {
						a.here.Range("take/", "take/1x", 9, a.records("after what is not there", a.next))
					}))
				}))
			}))
		}},
		{"a range after a name before its prefix", []string{`text: text/1="b"`}, func(a *asker) {
			a.here.Range("text/", "take/2", 9, a.records("text", a.next))
		}},
		{"names with a prefix", []string{`names ["take/1" "take/2" "take/3"]`}, func(a *asker) {
			a.here.Names("take/", func(names []string, err error) {
				a.sayf("names %q", names)
				a.next()
			})
		}},
		{"what is deleted is gone", []string{"deleted <nil>", `all: take/1="new" text/1="b"`}, func(a *asker) {
			a.here.Delete([]string{"take/2", "take/3", "take/9"}, func(err error) {
				a.sayf("deleted %v", err)
				a.list(a.here, a.next)
			})
		}},
		{"nothing put and nothing deleted is no error", []string{"put <nil>", "deleted <nil>", "got:"}, func(a *asker) {
			a.here.Put(nil, func(err error) {
				a.sayf("put %v", err)
				a.here.Delete(nil, func(err error) {
					a.sayf("deleted %v", err)
					a.here.Get(nil, a.records("got", a.next))
				})
			})
		}},
		{"the other window is told", []string{`told ["take/4" "take/5"]`, `told ["take/4"]`}, func(a *asker) {
			a.there.OnChange(func(names []string) {
				a.sayf("told %q", names)
				a.there.OnChange(func(names []string) {
					a.sayf("told %q", names)
					a.there.OnChange(func([]string) {})
					a.next()
				})
				a.here.Delete([]string{"take/4"}, func(error) {})
			})
			a.put(func() {}, "take/4=", "take/5=")
		}},
		{"many records at once", []string{"put <nil>", "1000 names", "250 in a range"}, func(a *asker) {
			all := make([]port.Record, 1000)
			for i := range all {
				all[i] = port.Record{Name: fmt.Sprintf("many/%04d", i), Value: make([]byte, 100)}
			}
			a.here.Put(all, func(err error) {
				a.sayf("put %v", err)
				a.there.Names("many/", func(names []string, err error) {
					a.sayf("%d names", len(names))
					a.here.Range("many/", "many/0499", 250, func(records []port.Record, err error) {
						a.sayf("%d in a range", len(records))
						a.next()
					})
				})
			})
		}},
		{"clearing takes everything", []string{"cleared <nil>, told of it true", "all:"}, func(a *asker) {
			var failed error
			all, both := false, 2
			over := func() {
				if both--; both == 0 {
					a.sayf("cleared %v, told of it %v", failed, all)
					a.there.OnChange(func([]string) {})
					a.list(a.there, a.next)
				}
			}
			a.there.OnChange(func(names []string) {
				all = names == nil
				over()
			})
			a.here.Clear(func(err error) {
				failed = err
				over()
			})
		}},
	}
}

// Try runs all trials on an empty archive that two windows share, one after the
// other, and calls end. Each begins with the line of its name.
func Try(here, there port.Archive, say func(line string), end func()) {
	try(Trials(), here, there, say, end)
}

func try(trials []Trial, here, there port.Archive, say func(line string), end func()) {
	if len(trials) == 0 {
		end()
		return
	}
	say(trials[0].Name)
	trials[0].do(&asker{here, there, say, func() { try(trials[1:], here, there, say, end) }})
}

// Wanted is what Try must say.
func Wanted() []string {
	var lines []string
	for _, t := range Trials() {
		lines = append(append(lines, t.Name), t.Want...)
	}
	return lines
}
