// Package table writes rows as CSV that opens in a table program as what it is.
//
// The one idea: a word stays a word. Titles and names come from files of other
// people, and one that begins like a formula would be run as one.
//
// Call [Row] for each row before it is written.
package table

import "strings"

// Row returns the cells of a row, each word that a table program would take for
// a formula with an apostrophe before it (the usual remedy: OWASP, "CSV
// Injection"). Negative numbers stay as they are.
func Row(cells []string) []string {
	safe := make([]string, len(cells))
	for i, cell := range cells {
		safe[i] = word(cell)
	}
	return safe
}

func word(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r\n", rune(cell[0])) {
		return cell
	}
	if cell[0] == '-' && strings.Trim(cell[1:], "0123456789.") == "" {
		return cell
	}
	return "'" + cell
}
