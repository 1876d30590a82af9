// Package sitetest tries the built site in a real Chromium, with real key and
// touch events. Its tests build the site once for each base path and serve it
// on a loopback address; every tab has a profile of its own, and an error in
// its console, an exception or a breach of the security policy fails the test
// that opened it.
//
// To write a page test, start from
//
//	host := serve(t, "/")                    // or "/stampmill/", a folder below the root
//	tab := open(t, host.at("practise/"))     // waits until the program shows its page
//	tab.click(`button[name="start"]`)
//	tab.press(key{Code: "KeyF", At: ms})     // a key at an exact time of the page's clock
//	tab.waitFor(`document.querySelector("[role=status]")`, "the verdict")
//	tab.checkAxe()                           // nothing serious for assistive technology
//	tab.screens("practise-verdict")          // pictures for a person to look at
//
// Times are milliseconds of the page's performance clock, as in the timeStamp
// of an event. Chromium is found on the PATH or named by STAMPMILL_CHROMIUM;
// "make tools" brings it and axe-core. Nothing is skipped where one is missing.
// The test files say !js, because a program in a browser cannot start one.
package sitetest
