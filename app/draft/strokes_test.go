package draft

import (
	"fmt"
	"strings"
	"testing"

	"stampmill/exercises/drill"
	"stampmill/exercises/meter"
	"stampmill/exercises/passage"
)

// one returns a draft with one voice line, one bar of 4/4 or more.
func one(t *testing.T, voice, cells string) Draft {
	t.Helper()
	d := New("adit", fmt.Sprintf("title: Adit\ntempo: 96\nmetre: 4/4\nstep: Timber\n%s | %s |\n", voice, cells), nil)
	if len(d.Problems()) > 0 {
		t.Fatal(d.Problems())
	}
	return d
}

// cellsOf returns the cells of a line as text, a space between beats.
func cellsOf(t *testing.T, p passage.Passage) string {
	t.Helper()
	text, err := drill.Print(passage.Climb{Title: "Adit", Tempo: []meter.Tempo{p.Bars[0].Tempo}, Metre: []meter.Metre{meter.CommonTime},
		Steps: []passage.Step{drill.Written("Timber", "", p)}})
	if err != nil {
		t.Fatal(err)
	}
	_, cells, _ := strings.Cut(string(text), "|")
	cells, _, _ = strings.Cut(cells, "\n")
	return strings.TrimSpace(strings.TrimSuffix(strings.Join(strings.Fields(cells), " "), "|"))
}

// nth returns the cell with an index, from 0, of the only line.
func nth(p passage.Passage, n int) passage.Cell {
	c, _ := p.CellAt(p.Lines[0].Voice, meter.Rat{})
	for range n {
		c, _ = p.NextCell(c)
	}
	return c
}

// A sign in a cell means what the letter in its place in the text would mean;
// where the text could not stand (a hold after silence), what follows falls
// silent.
func TestSignsInCells(t *testing.T) {
	for _, c := range []struct {
		voice, cells string
		n            int // index of the cell
		sign         rune
		want         string
	}{
		{"kick", "x.x. . . .", 1, 'x', "xxx. . . ."},
		{"kick", "x.x. . . .", 0, 'X', "X.x. . . ."},
		{"guitar", "o--- . . .", 2, 'x', "o-x- . . ."},
		{"guitar", "o--- - . .", 4, 'o', "o--- o . ."},
		{"guitar", "o--- - . .", 2, '.', "o-.. . . ."},
		{"guitar", "o(3)--- . . .", 0, 'b', "b(3)--- . . ."},
		{"guitar", "b(3+1)--- . . .", 0, 'o', "o(3)--- . . ."},
		{"guitar", "o--- . . .", 2, '!', "o-!. . . ."},
		{"guitar", "o--- . . .", 0, '!', "!... . . ."},
		{"guitar", "x.x. . . .", 1, '-', "x-x. . . ."},
		{"guitar", "x... . . .", 3, '-', "x--- . . ."},
		{"guitar", "x.x- - . .", 2, '-', "x--- - . ."},
		{"guitar", "x... . . x", 6, '-', "x--- - - -"},
		{"guitar", "x[xx]. . . .", 2, '.', "x[x.]. . . ."},
		{"guitar", "x[xx]. . . .", 2, 'o', "x[xo]. . . ."},
		{"hat", "xxx . 2:xxx", 5, 'o', "xxx . 2:xox"},
	} {
		d := one(t, c.voice, c.cells)
		p := d.Passage().Clone()
		cell := nth(p, c.n)
		switch c.sign {
		case '.':
			silence(&p.Lines[0], cell.At, cell.End())
		case '-':
			if err := hold(&p.Lines[0], cell.At, cell.End(), meter.Rat{}); err != nil {
				t.Errorf("%s %q in cell %d: %v", c.cells, c.sign, c.n, err)
			}
		default:
			k, _ := passage.KindOf(c.sign)
			strike(&p.Lines[0], cell, k)
		}
		if ps := passage.Check(p); len(ps) > 0 {
			t.Errorf("%s %q in cell %d: %v", c.cells, c.sign, c.n, ps)
		} else if got := cellsOf(t, p); got != c.want {
			t.Errorf("%s %q in cell %d: got %s, want %s", c.cells, c.sign, c.n, got, c.want)
		}
	}
}

func TestNothingToHold(t *testing.T) {
	for _, c := range []struct {
		voice, cells string
		n            int
		want         string
	}{
		{"guitar", ".... . . .", 1, "nothing sounds before"},
		{"guitar", "x... . . . | .... . . .", 10, "nothing sounds before"},
		{"guitar", "o.!. . . .", 3, "the choke before this place ended what rang"},
	} {
		p := one(t, c.voice, c.cells).Passage().Clone()
		cell := nth(p, c.n)
		since := p.Starts()[p.Place(cell.At).Bar-1]
		if err := hold(&p.Lines[0], cell.At, cell.End(), since); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s, cell %d: %v, want %s", c.cells, c.n, err, c.want)
		}
	}
}

// The first beat, or what starts there, falls into other cells. Strokes go to
// the nearest one.
func TestDivide(t *testing.T) {
	for _, c := range []struct {
		voice, cells string
		n            int
		over         int64 // beats
		want         string
	}{
		{"kick", "x.x. . . .", 8, 1, "x...x... . . ."},
		{"kick", "x.x. . . .", 2, 1, "xx . . ."},
		{"kick", "x.x. . . .", 6, 1, "x..x.. . . ."},
		{"kick", "x.x. . . .", 3, 1, "xx. . . ."}, // 1/2 lies between 1/3 and 2/3: the sooner
		{"kick", "xxx . . .", 4, 1, "xx.x . . ."},
		{"kick", "x..x . . .", 3, 1, "x.x . . ."},
		{"kick", "...x . . .", 2, 1, ".x . . ."},
		{"kick", "x.x. x . .", 5, 2, "2:xxx.. . ."}, // 1/2 goes to 2/5, and 1, between 4/5 and 6/5, to the sooner
		{"kick", "x.xx x[xx]. . .", 4, 2, ""},
		{"guitar", "x.x. . . .", 8, 1, "x-..x-.. . . ."},
		{"guitar", "o--- - . .", 3, 1, "o-- - . ."},
		{"guitar", "o-x- - . .", 3, 1, "ox- - . ."},
		{"guitar", "o--- . . .", 1, 1, "o . . ."},
		{"guitar", "o--. . . .", 3, 1, "o-. . . ."},
		{"guitar", "x.!. . . .", 6, 1, "x..!.. . . ."},
		{"kick", "2:xxx . .", 3, 1, "x.x .x- . ."}, // the second beat keeps its stroke at 1/3
		{"kick", "xxxx . . .", 3, 1, ""},
		{"kick", "x.xx . . .", 2, 1, ""},
	} {
		before := one(t, c.voice, c.cells).Passage()
		p := before.Clone()
		err := divide(before, &p.Lines[0], passage.Group{Length: meter.Int(c.over), Cells: c.n})
		if c.want == "" {
			if err == nil || !strings.Contains(err.Error(), "would meet") {
				t.Errorf("%s in %d cells: %v, want two strokes that meet", c.cells, c.n, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s in %d cells: %v", c.cells, c.n, err)
		} else if ps := passage.Check(p); len(ps) > 0 {
			t.Errorf("%s in %d cells: %v", c.cells, c.n, ps)
		} else if got := cellsOf(t, p); got != c.want {
			t.Errorf("%s in %d cells: got %s, want %s", c.cells, c.n, got, c.want)
		}
	}
}
