package main

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"text/tabwriter"

	"stampmill/exercises/passage"
	"stampmill/synth"
	"stampmill/synth/features"
	"stampmill/synth/wav"
)

var soundsCommand = command{
	name: "sounds", least: 0, most: 0,
	does: "list every voice and stroke with its measured features, or write them as WAV files",
	examples: []string{
		"sounds",
		"sounds --voices snare,guitar --tuning F1 --json",
		"sounds --wav sounds",
	},
	setup: func(flags *flag.FlagSet) action {
		s := soundList{rate: countFlag{clockRate, 1, math.MaxInt32}, tuning: tuningFlag{passage.DefaultTuning}, json: jsonFlag(flags)}
		flags.Var(&s.voices, "voices", "VOICES|voices to list, joined by commas; all when not given")
		flags.Var(&s.tuning, "tuning", "NOTE|lowest string of the guitar, E2 down to F1")
		flags.Var(&s.rate, "rate", "HZ|samples a second")
		flags.StringVar(&s.folder, "wav", "", "DIR|folder to write each sound to, made where it is not there")
		return s.run
	},
}

// soundList is what the flags of sounds say.
type soundList struct {
	voices voicesFlag
	tuning tuningFlag
	rate   countFlag
	folder string
	json   *bool
}

func (s *soundList) run(t terminal, _ []string) error {
	if s.folder != "" {
		if err := folderToFill(s.folder); err != nil {
			return err
		}
	}
	list, err := s.measure(t)
	switch {
	case err != nil:
		return err
	case *s.json:
		return writeJSON(t.stdout, list)
	}
	list.print(t, s.folder)
	return nil
}

// folderToFill makes a folder unless it is there.
func folderToFill(name string) error {
	if info, err := os.Stat(name); err == nil && !info.IsDir() {
		return unread{name, "it is not a folder", "name a folder for the WAV files"}
	}
	return plainFileError(name, os.MkdirAll(name, newFolderMode))
}

// newFolderMode is that of a folder that did not exist before.
const newFolderMode = 0o755

// A repertoire is what sounds tells, in JSON too.
type repertoire struct {
	Rate    int        `json:"rate"`
	Tuning  string     `json:"tuning"`
	Tunings []string   `json:"tunings"` // those there are, from the lowest up
	Sounds  []strokeOf `json:"sounds"`
}

// A strokeOf is one stroke of one voice. Its features are the medians of its
// takes.
type strokeOf struct {
	Voice    string   `json:"voice"`
	Stroke   string   `json:"stroke"`
	Letter   string   `json:"letter"`
	Note     *string  `json:"note"`  // null where it has no pitch
	Hertz    *float64 `json:"hertz"` // the same
	Measured measured `json:"features"`
	Takes    []taken  `json:"takes"`

	key     synth.Key   // what the takes have in common
	numbers [][]float64 // of each take
}

// A taken is one take of a stroke.
type taken struct {
	Take     int      `json:"take"` // from 1
	Side     string   `json:"side"` // of the two guitars: left or right; else ""
	File     string   `json:"file"` // its name in the folder of --wav
	Measured measured `json:"features"`
}

// measured is the features of a sound, as package features defines them. What
// it is too short for, or does not decay to, is null.
type measured struct {
	Seconds float64  `json:"seconds"`
	Peak    float64  `json:"peak_db"`
	Attack  float64  `json:"att_ms"`
	C0      float64  `json:"c0_hz"`
	C1      float64  `json:"c1_hz"`
	C2      *float64 `json:"c2_hz"`
	T20     float64  `json:"t20_ms"`
	T40     float64  `json:"t40_ms"`
	T60     *float64 `json:"t60_ms"`
	T60Lo   *float64 `json:"t60lo_ms"`
	T60Mid  *float64 `json:"t60mid_ms"`
	T60Hi   *float64 `json:"t60hi_ms"`
	Flat    float64  `json:"flat_db"`
	Crest   float64  `json:"crest_db"`
	HighLow float64  `json:"hl_db"`
	Mid     float64  `json:"mfrac_db"`
}

// measure makes every sound, measures it and writes it where that is asked for.
func (s *soundList) measure(t terminal) (repertoire, error) {
	ctx, stop := interruptible(t)
	defer stop()
	list := repertoire{Rate: s.rate.value, Tuning: s.tuning.String(), Tunings: tunings(), Sounds: []strokeOf{}}
	tell, keys := progress(t), s.keys()
	for n := 0; n < len(keys); n += batch {
		if ctx.Err() != nil {
			return list, errors.New("interrupted; what was written before stays")
		}
		some := keys[n:min(n+batch, len(keys))]
		bank, err := synth.NewBank(s.rate.value, renderSeed)
		if err != nil {
			return list, misuse{fmt.Errorf("--rate %d: %w", s.rate.value, err)}
		}
		bank.Make(some...)
		for _, k := range some {
			pcm := bank.Sound(k).PCM
			list.add(k, numbersOf(pcm, s.rate.value))
			if err := s.keep(k, pcm); err != nil {
				return list, err
			}
		}
		tell(float64(n+len(some)) / float64(len(keys)))
	}
	for i := range list.Sounds {
		list.Sounds[i].Measured = measuredOf(medians(list.Sounds[i].numbers))
	}
	return list, nil
}

// add adds a take to its stroke.
func (r *repertoire) add(k synth.Key, numbers []float64) {
	i := slices.IndexFunc(r.Sounds, func(s strokeOf) bool { return s.key == strokeKey(k) })
	if i < 0 {
		i = len(r.Sounds)
		r.Sounds = append(r.Sounds, strokeNamed(k))
	}
	s := &r.Sounds[i]
	s.numbers = append(s.numbers, numbers)
	s.Takes = append(s.Takes, taken{int(k.Take) + 1, sideName(k.Side), fileOf(k), measuredOf(numbers)})
}

// keys returns the sounds asked for.
func (s *soundList) keys() []synth.Key {
	return slices.DeleteFunc(synth.Repertoire(s.tuning.pitch), func(k synth.Key) bool {
		return s.voices.voices != nil && !slices.Contains(s.voices.voices, k.Voice)
	})
}

// keep writes a sound where there is a folder for it.
func (s *soundList) keep(k synth.Key, pcm []float32) error {
	if s.folder == "" {
		return nil
	}
	return writeSound(filepath.Join(s.folder, fileOf(k)), pcm, s.rate.value)
}

// strokeKey is what the takes of a stroke have in common.
func strokeKey(k synth.Key) synth.Key {
	k.Take, k.Side = 0, 0
	return k
}

func strokeNamed(k synth.Key) strokeOf {
	s := strokeOf{key: strokeKey(k), Voice: k.Voice.String(), Stroke: k.Kind.String(), Letter: passage.Stroke{Kind: k.Kind, Bend: k.Bend}.Text()}
	if k.Pitch > 0 {
		note, hertz := k.Pitch.String(), math.Round(100*k.Pitch.Hertz())/100
		s.Note, s.Hertz = &note, &hertz
	}
	return s
}

func sideName(side int8) string { return map[int8]string{-1: "left", 1: "right"}[side] }

// fileOf returns the name of a sound's file: guitar-bend+2-A1-left-take1.wav.
func fileOf(k synth.Key) string {
	parts := []string{k.Voice.String(), strings.ReplaceAll(k.Kind.String(), " ", "-")}
	if k.Bend > 0 {
		parts[1] += fmt.Sprintf("+%d", k.Bend)
	}
	if k.Pitch > 0 {
		parts = append(parts, strings.ReplaceAll(k.Pitch.String(), "#", "sharp"))
	}
	if k.Side != 0 {
		parts = append(parts, sideName(k.Side))
	}
	return strings.Join(parts, "-") + fmt.Sprintf("-take%d.wav", k.Take+1)
}

// writeSound writes a sound as a WAV file of one channel and 24 bits.
func writeSound(name string, pcm []float32, rate int) error {
	return writeFile(name, func(f *os.File) error {
		w, err := wav.NewWriter(f, wav.Format{Rate: rate, Channels: 1, Encoding: wav.PCM24})
		if err != nil {
			return err
		}
		if err := w.Write(pcm); err != nil {
			return err
		}
		return w.Close()
	})
}

// tunings lists the notes that the lowest string may be tuned to.
func tunings() []string {
	var names []string
	for p := passage.LowestTuning; p <= passage.HighestTuning; p++ {
		names = append(names, p.String())
	}
	return names
}

// numbersOf returns length in seconds, peak in dB and then the features in the
// order of features.Names.
func numbersOf(pcm []float32, rate int) []float64 {
	top := 0.0
	for _, x := range pcm {
		top = max(top, math.Abs(float64(x)))
	}
	peak := 20 * math.Log10(max(top, 1e-6))
	return append([]float64{float64(len(pcm)) / float64(rate), peak}, features.Measure(pcm, rate).Values()...)
}

// medians returns the median of each column.
func medians(rows [][]float64) []float64 {
	out := make([]float64, len(rows[0]))
	column := make([]float64, len(rows))
	for i := range out {
		for j, r := range rows {
			column[j] = r[i]
		}
		sort.Float64s(column)
		n := len(column)
		out[i] = (column[(n-1)/2] + column[n/2]) / 2
	}
	return out
}

// measuredOf gives the numbers their names, rounded to what can be told apart.
func measuredOf(x []float64) measured {
	round := func(i int) float64 { return math.Round(100*x[i]) / 100 }
	reached := func(i int) *float64 {
		if v := round(i); v > 0 {
			return &v
		}
		return nil
	}
	return measured{round(0), round(1), round(2), round(3), round(4), reached(5), round(6), round(7),
		reached(8), reached(9), reached(10), reached(11), round(12), round(13), round(14), round(15)}
}

// values are the numbers in the order of the columns, NaN where there is none.
func (m measured) values() []float64 {
	value := func(p *float64) float64 {
		if p == nil {
			return math.NaN()
		}
		return *p
	}
	return []float64{m.Seconds, m.Peak, m.Attack, m.C0, m.C1, value(m.C2), m.T20, m.T40,
		value(m.T60), value(m.T60Lo), value(m.T60Mid), value(m.T60Hi), m.Flat, m.Crest, m.HighLow, m.Mid}
}

// print prints the table, and what its columns are.
func (r repertoire) print(t terminal, folder string) {
	tab := tabwriter.NewWriter(t.stdout, 0, 0, 1, ' ', tabwriter.AlignRight)
	fmt.Fprintf(tab, "voice\tstroke\tletter\tnote\ttakes\ts\tpeak\t%s\t\n", strings.Join(features.Names, "\t"))
	files := 0
	for _, s := range r.Sounds {
		note := ""
		if s.Note != nil {
			note = *s.Note
		}
		fmt.Fprintf(tab, "%s\t%s\t%s\t%s\t%d\t", s.Voice, s.Stroke, s.Letter, note, len(s.Takes))
		for i, v := range s.Measured.values() {
			fmt.Fprintf(tab, "%s\t", cell(i, v))
		}
		fmt.Fprintln(tab)
		files += len(s.Takes)
	}
	tab.Flush()
	fmt.Fprintf(t.stdout, `
Medians of all takes, one stroke after silence, before levels and places are set, at %d Hz.
s: length in seconds. att: rise from 10 to 90 %% of the peak, ms. c0 c1 c2: centroid of 0-30, 30-150, 150-500 ms, Hz.
t20 t40: last time within 20, 40 dB of the loudest 10 ms, ms. t60: decay by 60 dB, ms, of all, of 20-250, 250-2000
and 2000-20,000 Hz; - where it is over before. peak, flat (30-150 ms), crest, hl (above 2 kHz against below
250 Hz) and mfrac (250-2000 Hz against all) of 0-150 ms: dB.
A flam or drag is hits and ghosts, a choke is silence. Lowest string %s; --tuning takes %s.
`, r.Rate, r.Tuning, strings.Join(r.Tunings, " "))
	if folder != "" {
		fmt.Fprintf(t.stdout, "%d files are in %s.\n", files, folder)
	}
}

// cell writes a number of the table: seconds with a decimal more.
func cell(column int, v float64) string {
	switch {
	case math.IsNaN(v):
		return "-"
	case column == 0:
		return fmt.Sprintf("%.2f", v)
	case math.Abs(v) >= 100:
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.1f", v)
}
