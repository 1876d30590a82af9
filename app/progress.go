package app

import (
	"time"

	"github.com/maxence-charriere/go-app/v10/pkg/app"

	"stampmill/app/chart"
	"stampmill/app/logbook"
	"stampmill/app/progress"
	"stampmill/exercises/meter"
	agenda "stampmill/exercises/plan"
)

// progressPath is the page of what takes of weeks show.
const progressPath = "/progress/"

// Progress is what the player chose on the Progress page.
type Progress struct {
	Span   string          // its name; "" for the one that fits
	Tuplet string          // whose splits; "" for the one played last
	Weak   progress.Chosen // whose weak places; zero for what was played last
	Every  bool            // all climbs are shown, not only those played last
	Page   int             // of the takes, from 0, the newest
	Open   string          // name of the take whose row is open; "" for none
}

// span is how far the page looks back.
func (s State) span() progress.Span {
	if span, ok := progress.SpanNamed(s.Progress.Span); ok {
		return span
	}
	return progress.Fitting(s.Book, s.Now)
}

// question is what the page asks of the book.
func (s State) question() progress.Question {
	q := progress.Question{Now: s.Now, Span: s.span(), Tuplet: s.Progress.Tuplet, Weak: s.Progress.Weak}
	for _, e := range s.Library {
		q.Climbs = append(q.Climbs, progress.Climb{Name: e.Name, Climb: e.Climb})
	}
	return q
}

// A card is one chart of the page with its words.
type card struct {
	id, title, note string
	says            string // what it means for the next practice
	chart           chart.Chart
}

// shownClimbs is how many climbs have their tempo shown before the player asks
// for all: two rows in a usual window. Our choice.
const shownClimbs = 8

// A sight is what the page shows of a report.
type sight struct {
	report progress.Report
	tempi  []card // of every climb
	timing []card // leaning, split, weak places
	daily  card   // minutes
	heard  []heardCard
	bar    int // with the weakest place of the step; 0 for none
}

// sightOf fills in the charts of a report.
func sightOf(s State, r progress.Report) sight {
	v := sight{report: r, heard: heardCards(s.Listen.All)}
	v.tempi = tempoCards(s, r)
	leaning := r.Leaning
	leaning.Title, leaning.Note = "Leaning and spread, ms", "all climbs"
	if r.Unknown > 0 && len(leaning.Takes) > 0 {
		leaning.Note += ", " + countWord(r.Unknown, "take") + " without a measured delay left out"
	}
	split := r.Split
	split.Title, split.Note = "Split", "dashed: even"
	if split.Tuplet != "" {
		split.Title = splitTitle(split.Tuplet)
	}
	tuplets := card{"split", split.Title, split.Note, r.Split.Says(), split.Split}
	if split.Tuplet == "" {
		tuplets = card{id: "split", title: "Splits of tuplets", says: "No take of these weeks has a tuplet in it."}
	}
	weak := weakChart(s, r.Weak)
	v.bar = weak.WeakestBar()
	v.timing = []card{
		{"leaning", leaning.Title, leaning.Note, r.LeaningSays(), leaning},
		tuplets,
		{"weak", weak.Title, weak.Note, "", weak},
	}
	if len(weak.Passage.Bars) == 0 && r.Weak.Takes > 0 {
		v.timing[2] = card{id: "weak", title: weak.Title, note: weak.Note, says: "This step is not in hand here, so its bars cannot be drawn. An exercise of your own is, once it was opened in Practise."}
	}
	minutes := r.Minutes
	minutes.Title, minutes.Note = "Practice, minutes a "+minutes.Unit(), r.Week.Words()
	v.daily = card{"minutes", minutes.Title, minutes.Note, "", minutes}
	return v
}

// splitTitle names the splits of a kind of tuplet.
func splitTitle(tuplet string) string {
	if tuplet == "3:2" {
		return "Triplet split"
	}
	return "Split of " + tuplet
}

// cards are all charts, by which they are saved.
func (v sight) cards() []card {
	all := append(append(append([]card(nil), v.tempi...), v.timing...), v.daily)
	for _, c := range v.heard {
		all = append(all, c.card)
	}
	return all
}

func tempoCards(s State, r progress.Report) []card {
	var charts []chart.Tempo
	for _, t := range r.Tempi {
		c := t.Tempo
		c.Title, c.Note = s.climbTitle(t.Exercise), tempoNote(t)
		charts = append(charts, c)
	}
	scale := chart.TempoScale(charts...)
	var all []card
	for i, c := range charts {
		c.Scale = scale
		all = append(all, card{"tempo-" + r.Tempi[i].Exercise, c.Title, c.Note, r.Tempi[i].Says(s.Now), c})
	}
	return all
}

// tempoNote is "step 5 of 8, kick".
func tempoNote(t progress.Tempo) string {
	note := "step " + number(float64(t.Step))
	if t.Of > 0 {
		note += " of " + number(float64(t.Of))
	}
	return note
}

// weakChart draws the places of a step, less the voices that are not of the
// part.
func weakChart(s State, w progress.Weak) chart.Weak {
	c := chart.Weak{Spots: w.Spots}
	c.Title = "Weak places in the bar"
	if w.Exercise == "" {
		return c
	}
	c.Note = s.climbTitle(w.Exercise) + ", " + s.stepWord(w.Exercise, w.Title)
	p := w.Now.Passage
	voices := partNamed(w.Part).voices(p)
	lines := p.Lines[:0:0]
	for _, v := range voices {
		l, _ := p.Line(v)
		lines = append(lines, l)
	}
	p.Lines = lines
	if played, err := p.AtTempo(meter.Int(int64(goal(w.Now)))); err == nil {
		p = played
	}
	c.Passage = p
	return c
}

// A progressPicture is the Progress page as far as it takes long to make. It is
// made anew only where what it was made of changed.
type progressPicture struct {
	asked   asked
	planned planned
	sight   sight
	due     []agenda.Task

	list, plots, heard, takes *part
}

// asked is all that the report and what is due depend on.
type asked struct {
	book   *logbook.Entry // the first; a book is never changed in place
	takes  int
	heard  heardKey
	booked Booked
	climbs int
	day    string
	span   progress.Span
	tuplet string
	weak   progress.Chosen
}

func (s State) asked() asked {
	a := asked{
		takes: len(s.Book), heard: s.heardKey(), booked: s.Booked, climbs: len(s.Library), day: s.Now.Format(time.DateOnly),
		span: s.span(), tuplet: s.Progress.Tuplet, weak: s.Progress.Weak,
	}
	if len(s.Book) > 0 {
		a.book = &s.Book[0]
	}
	return a
}

// planned is what the list of today depends on.
type planned struct {
	asked
	minutes int
}

func (s State) planned() planned {
	a := s.asked()
	a.span, a.tuplet, a.weak, a.heard = 0, "", progress.Chosen{}, heardKey{}
	return planned{a, s.Settings.Minutes}
}

// progressPictureOf makes the picture anew as far as it changed.
func progressPictureOf(old progressPicture, s State) progressPicture {
	if s.Page != progressPath || s.Booked == BookLoading {
		return old
	}
	pic := old
	if a := s.asked(); a != old.asked {
		pic.asked, pic.sight = a, sightOf(s, progress.Of(s.Book, s.question()))
	}
	if p := s.planned(); p != old.planned {
		pic.planned, pic.due = p, dueToday(s)
	}
	type has [4]any
	lay, phone := s.plotLayout(), s.phone()
	pic.list = kept(pic.list, has{pic.planned, phone}, func() app.UI { return dueList(s, pic.due) })
	pic.plots = kept(pic.plots, has{pic.asked, lay, s.Progress.Every}, func() app.UI { return plots(s, pic.sight) })
	pic.heard = kept(pic.heard, has{pic.asked, lay}, func() app.UI { return listeningBox(s, pic.sight) })
	pic.takes = kept(pic.takes, has{pic.asked, lay.narrow, s.Progress.Page, s.Progress.Open}, func() app.UI { return takesTable(s) })
	return pic
}
