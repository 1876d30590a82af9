//go:build !js

package sitetest

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

// chromium is the one browser of a test run; every tab is a context below it.
var chromium = sync.OnceValues(startChromium)

var stopChromium = func() {}

func TestMain(m *testing.M) {
	code := m.Run()
	stopChromium()
	os.RemoveAll(sites.dir)
	os.Exit(code)
}

func findChromium() (string, error) {
	names := []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"}
	if named := os.Getenv("STAMPMILL_CHROMIUM"); named != "" {
		names = []string{named}
	}
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", fmt.Errorf("no Chromium under the names %s; install it (`make tools`, or apt-get install chromium), or set STAMPMILL_CHROMIUM to its file", strings.Join(names, ", "))
}

func startChromium() (context.Context, error) {
	path, err := findChromium()
	if err != nil {
		return nil, err
	}
	alloc, cancelAlloc := chromedp.NewExecAllocator(context.Background(), chromiumOptions(path)...)
	ctx, cancel := chromedp.NewContext(alloc)
	if err := chromedp.Do(ctx); err != nil {
		return nil, fmt.Errorf("%s does not start: %w", path, err)
	}
	stopChromium = func() {
		chromedp.Cancel(ctx)
		cancel()
		cancelAlloc()
	}
	return ctx, nil
}

// chromiumOptions: no window, no sandbox (containers have no user namespaces),
// nothing fetched on its own account, and no slowing down of tabs out of sight.
func chromiumOptions(path string) []chromedp.ExecAllocatorOption {
	options := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck,
	}
	for _, flag := range []string{
		"disable-quic", "disable-background-networking", "disable-component-update", "disable-sync",
		"disable-default-apps", "disable-extensions", "disable-breakpad", "disable-dev-shm-usage",
		"disable-background-timer-throttling", "disable-backgrounding-occluded-windows", "disable-renderer-backgrounding",
		"hide-scrollbars", "mute-audio",
	} {
		options = append(options, chromedp.Flag(flag, true))
	}
	return append(options, chromedp.Flag("force-color-profile", "srgb"))
}
