//go:build !js

package sitetest

import (
	"net/http"
	"strings"
	"testing"

	"stampmill/app"
	"stampmill/web/site"
)

// Opening every page without a complaint is held by the other tests: a breach
// of the policy is an error in the console. This one holds that a policy is in
// force at all, also on a host that sends no headers of its own.
func TestPolicyIsInForceOnEveryPage(t *testing.T) {
	good := site.Handler(built(t, "/"), "/")
	host := serve(t, "/")
	host.answer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		good.ServeHTTP(withoutPolicy{w}, r)
	}))
	for _, page := range app.Pages() {
		tab := open(t, host.at(page.Path[1:]))
		tab.allow("Content Security Policy")
		eval[bool](tab, `(() => {
			const script = document.createElement("script");
			script.textContent = "window.inlineScriptRan = true";
			document.body.append(script);
			document.body.setAttribute("style", "opacity: 0.5");
			return true;
		})()`)
		if eval[bool](tab, `window.inlineScriptRan === true`) {
			t.Errorf("%s: an inline script ran", page.Path)
		}
		if got := eval[string](tab, `getComputedStyle(document.body).opacity`); got != "1" {
			t.Errorf("%s: an inline style was taken", page.Path)
		}
	}
}

// withoutPolicy drops the header, as most static hosts would.
type withoutPolicy struct{ http.ResponseWriter }

func (w withoutPolicy) WriteHeader(status int) {
	w.Header().Del("Content-Security-Policy")
	w.ResponseWriter.WriteHeader(status)
}

// A complaint of the console must reach the test, or the other tests hold nothing.
func TestComplaintsOfTheConsoleAreHeard(t *testing.T) {
	tab := open(t, serve(t, "/").at(""))
	tab.allow("said by the test", "thrown by the test", "Content Security Policy")
	eval[bool](tab, `(() => {
		console.error("said by the test");
		setTimeout(() => { throw new Error("thrown by the test"); });
		document.body.setAttribute("style", "opacity: 0.5");
		return true;
	})()`)
	for _, want := range []string{"said by the test", "thrown by the test", "Content Security Policy"} {
		if !strings.Contains(tab.heardUntil(want), want) {
			t.Errorf("%q was not heard", want)
		}
	}
}
