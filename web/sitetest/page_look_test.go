//go:build !js

package sitetest

import (
	"testing"
)

func TestLookOfEveryPage(t *testing.T) {
	host := serve(t, "/")
	for _, page := range []struct{ name, path string }{{"first-visit", ""}, {"practise-ready", "practise/"}, {"setup", "setup/"}} {
		tab := open(t, host.at(page.path))
		tab.screens(page.name)
	}
}
