//go:build !js

package sitetest

import (
	"strings"
	"testing"

	"stampmill/app"
)

func TestLookOfEveryPage(t *testing.T) {
	host := serve(t, "/")
	for _, page := range app.Pages() {
		tab := open(t, host.at(page.Path[1:]))
		tab.screens("page-" + pageName(page))
	}
}

// pageName names the pictures of a page.
func pageName(p app.Page) string {
	if p.Path == "/" {
		return "front"
	}
	return strings.Trim(p.Path, "/")
}
