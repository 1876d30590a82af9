package chart

import (
	"encoding/csv"
	"strings"
)

// CSV writes rows as RFC 4180 has them, with lines that end in CR LF. A word
// that a table program would take for a formula is kept a word by an apostrophe.
func CSV(rows [][]string) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = literal(cell)
		}
		w.Write(safe) // to a string: it cannot fail
	}
	w.Flush()
	return b.String()
}

// literal keeps negative numbers as they are.
func literal(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return cell
	}
	if strings.Trim(cell[1:], "0123456789.") == "" && cell[0] == '-' {
		return cell
	}
	return "'" + cell
}
