package chart

import (
	"encoding/csv"
	"strings"

	"stampmill/app/table"
)

// CSV writes rows as RFC 4180 has them, with lines that end in CR LF, and words
// that stay words.
func CSV(rows [][]string) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	for _, row := range rows {
		w.Write(table.Row(row)) // to a string: it cannot fail
	}
	w.Flush()
	return b.String()
}
