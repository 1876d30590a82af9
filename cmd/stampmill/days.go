package main

import (
	"fmt"
	"time"

	"stampmill/app/logbook"
	"stampmill/app/port"
	"stampmill/exercises/grade"
	"stampmill/exercises/passage"
	"stampmill/exercises/player"
)

// dateLayout is how --until is written.
const dateLayout = time.DateOnly

// A dateFlag is a day; zero when it was not given.
type dateFlag struct{ day time.Time }

func (f *dateFlag) String() string {
	if f.day.IsZero() {
		return ""
	}
	return f.day.Format(dateLayout)
}

func (f *dateFlag) Set(s string) error {
	day, err := time.Parse(dateLayout, s)
	if err != nil || day.Year() < 2000 {
		return fmt.Errorf("not a day; write it like 2026-03-14")
	}
	f.day = day
	return nil
}

// practise writes the takes of a learner over some days as a backup.
func (s *simulation) practise(t terminal, files []string) error {
	if name := s.needless("step", "tempo", "part", "passes", "lean", "spread", "drift", "miss", "extra", "uneven", "grace",
		"one-key", "strength", "release", "misread", "takes", "json"); name != "" {
		return misusef("%s is for one take, not for --days; leave it out", dashes(name))
	}
	if len(files) == 0 {
		return misusef("it needs the FILEs to be practised; see stampmill simulate -h")
	}
	if s.out != standardInput {
		if err := outputNamed(s.out, ".json"); err != nil {
			return err
		}
	}
	course := player.Course{Days: s.days.value, Until: s.until.day, Seed: s.seed}
	if course.Until.IsZero() {
		course.Until = time.Now().UTC()
	}
	for _, file := range files {
		climb, err := readClimb(t, file)
		if err != nil {
			return err
		}
		course.Pieces = append(course.Pieces, player.Piece{Name: exerciseName(file, climb), Climb: climb})
	}
	takes, err := player.Practise(course)
	if err != nil {
		return err
	}
	plays, err := playsOf(course, takes)
	if err != nil {
		return err
	}
	last := takes[len(takes)-1].At
	var records [][]port.Record
	for _, p := range plays {
		records = append(records, p.Records())
	}
	if err := s.write(t, logbook.BackupOf(last, records)); err != nil || s.out == standardInput {
		return err
	}
	fmt.Fprintf(t.stdout, "%s of %s from %s to %s; read the file in Setup\n", counted(len(takes), "take"), counted(len(files), "climb"),
		takes[0].At.Format(dateLayout), last.Format(dateLayout))
	return nil
}

// playsOf returns takes as the book of a device keeps them.
func playsOf(c player.Course, takes []player.Practised) ([]logbook.Play, error) {
	texts := make([]string, len(c.Pieces))
	for i, piece := range c.Pieces {
		var err error
		if texts[i], err = logbook.TextOf(piece.Climb); err != nil {
			return nil, err
		}
	}
	var plays []logbook.Play
	for _, p := range takes {
		play, err := playOf(c.Pieces[p.Piece].Climb, texts[p.Piece], p.At, p.Take)
		if err != nil {
			return nil, err
		}
		plays = append(plays, play)
	}
	return plays, nil
}

func playOf(climb passage.Climb, text string, at time.Time, take grade.Take) (logbook.Play, error) {
	record, err := logbook.Record{At: at, Title: climb.Steps[take.Step-1].Title, Text: logbook.Hash(text), Known: true, Take: take}.Write()
	if err != nil {
		return logbook.Play{}, err
	}
	return logbook.Play{Record: record, Text: text, Entry: logbook.Entry{Name: logbook.NameOf(at, record)}}, nil
}
