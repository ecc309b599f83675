package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A screen's widths, in CSS pixels. Printed, the box inside the margins is 190 mm wide: that of A4.
const (
	phoneWide, screenWide = 360, 1000
	paperWide             = 740 // and a scroll bar
)

// TestPagesInABrowser opens every page in Chromium: on a phone, on a screen in light and dark, and on paper. It is skipped without a
// browser, unless SEVENYARD_BROWSER=require, which also has teams with odd names, many kids and a hot day, beside the demo. SEVENYARD_SWEEP=1 has more pages, each on both papers, and axe-core on all of them; without it axe-core sees
// the demo's.
func TestPagesInABrowser(t *testing.T) {
	t.Parallel()
	ctx, axe := browser(t)
	for i, p := range testPages(t) {
		t.Run(p.name, func(t *testing.T) {
			look(t, ctx, p, axe, papers(i))
		})
	}
}

// browser starts one Chromium for all pages.
func browser(t *testing.T) (context.Context, string) {
	require := os.Getenv("SEVENYARD_BROWSER") == "require"
	missing := func(what string) {
		if require {
			t.Fatal(what)
		}
		t.Skip(what)
	}
	name, err := exec.LookPath("chromium")
	if err != nil {
		missing("no chromium (apt-get install chromium)")
	}
	axe, err := os.ReadFile(filepath.Join("testdata", "axe", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		missing("no axe-core (npm ci in testdata/axe)")
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(name), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("hide-scrollbars", false), chromedp.Flag("disable-dev-shm-usage", true))
	alloc, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(stop)
	ctx, end := chromedp.NewContext(alloc)
	t.Cleanup(end)
	if err := chromedp.Do(ctx); err != nil {
		missing("chromium does not start: " + err.Error())
	}
	return ctx, string(axe)
}

// heard is what the browser said while a page was open.
type heard struct {
	sync.Mutex
	complaints, requests []string
}

func (h *heard) listen(event any) {
	h.Lock()
	defer h.Unlock()
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		h.complaints = append(h.complaints, e.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		h.complaints = append(h.complaints, fmt.Sprint(e.Type, " ", len(e.Args)))
	case *log.EventEntryAdded:
		h.complaints = append(h.complaints, e.Entry.Text+" "+e.Entry.URL)
	case *network.EventRequestWillBeSent:
		h.requests = append(h.requests, e.Request.URL)
	}
}

// papers are the sizes that a page is printed on, in inches: one of the two by turns, or both in a sweep.
func papers(i int) map[string][2]float64 {
	letter, a4 := [2]float64{8.5, 11}, [2]float64{8.27, 11.69}
	switch {
	case sweeping():
		return map[string][2]float64{"letter": letter, "a4": a4}
	case i%2 == 0:
		return map[string][2]float64{"letter": letter}
	}
	return map[string][2]float64{"a4": a4}
}

func look(t *testing.T, ctx context.Context, p testPage, axe string, papers map[string][2]float64) {
	ctx, end := chromedp.NewContext(ctx)
	defer end()
	ctx, stop := context.WithTimeout(ctx, 3*time.Minute)
	defer stop()
	h := &heard{}
	require.NoError(t, chromedp.Listen(ctx, h.listen))
	address := (&url.URL{Scheme: "file", Path: p.file}).String()
	call(t, ctx, network.Enable, network.EnableParams{})
	call(t, ctx, log.Enable, cdp.Empty{})
	call(t, ctx, runtime.Enable, cdp.Empty{})
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate(address)))

	for _, s := range []struct {
		name          string
		wide          int64
		media, scheme string
		axe           bool
	}{
		{"screen", screenWide, "screen", "light", true}, {"dark", screenWide, "screen", "dark", true}, {"phone", phoneWide, "screen", "light", true},
		{"narrow", 800, "screen", "light", false}, {"paper", paperWide, "print", "light", false},
	} {
		if s.scheme == "dark" && !strings.HasPrefix(p.name, "demo-") {
			continue // other colours, the same layout
		}
		call(t, ctx, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: s.wide, Height: 1400, DeviceScaleFactor: 1, Mobile: s.name == "phone"})
		call(t, ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: s.media, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: s.scheme}}})
		picture(t, ctx, p.name+"-"+s.name)
		assert.Empty(t, layoutFaults(t, ctx, s.media == "print"), "%s: %s", p.name, s.name)
		if s.axe && (strings.HasPrefix(p.name, "demo-") || s.name == "screen" && sweeping()) {
			assert.Empty(t, violations(t, ctx, axe), "%s: %s", p.name, s.name)
		}
	}
	call(t, ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
	call(t, ctx, emulation.ClearDeviceMetricsOverride, cdp.Empty{})
	for name, inches := range papers {
		pdf := printed(t, ctx, inches)
		keep(t, p.name+"-"+name+".pdf", pdf)
		assert.Equal(t, p.pages, len(pdfPage.FindAll(pdf, -1)), "%s on %s", p.name, name)
	}
	h.Lock()
	defer h.Unlock()
	require.Empty(t, h.complaints)
	require.Equal(t, []string{address}, h.requests, "nothing but the page itself is asked for")
}

// pdfPage is what a page of a PDF by Chromium starts with; /Pages is the tree above them.
var pdfPage = regexp.MustCompile(`/Type\s*/Page[^s]`)

func printed(t *testing.T, ctx context.Context, inches [2]float64) []byte {
	pdf, err := chromedp.Run(ctx, chromedp.PrintToPDF(func(p *page.PrintToPDFParams) { p.PaperWidth, p.PaperHeight = inches[0], inches[1] }))
	require.NoError(t, err)
	return pdf
}

func call[P, R any](t *testing.T, ctx context.Context, cmd cdp.Command[P, R], params P) {
	t.Helper()
	_, err := chromedp.Call(ctx, cmd, params)
	require.NoError(t, err)
}

func layoutFaults(t *testing.T, ctx context.Context, paper bool) []string {
	faults, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](fmt.Sprintf("(%s)(%t)", faultsScript, paper)))
	require.NoError(t, err)
	return faults
}

// violations asks axe-core, whole rule set.
func violations(t *testing.T, ctx context.Context, axe string) []string {
	_, err := chromedp.Run(ctx, chromedp.Evaluate[int]("window.axe || (() => {"+axe+"})(); 0"))
	require.NoError(t, err)
	out, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](
		`axe.run(document, {resultTypes: ["violations"]}).then(r => r.violations.map(v => v.id + ": " + v.nodes.slice(0, 3).map(n => n.target + " " + n.failureSummary).join(" | ")))`,
		chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	return out
}

// picture keeps a picture where SEVENYARD_PICTURES names a folder, for people to look at.
func picture(t *testing.T, ctx context.Context, name string) {
	if os.Getenv("SEVENYARD_PICTURES") == "" {
		return
	}
	png, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	require.NoError(t, err)
	keep(t, name+".png", png)
}

func keep(t *testing.T, name string, data []byte) {
	if dir := os.Getenv("SEVENYARD_PICTURES"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o644))
	}
}

// faultsScript lists what is wrong with the layout as it is now: a page wider than the window, text that leaves its cell, page or
// picture, texts on top of each other, a text under a spot of a diagram, and boxes that hide a part of what is in them.
const faultsScript = `function (paper) {
  const faults = [], wide = document.documentElement.clientWidth;
  const hidden = e => e.closest(".vh") || (e.closest("thead") && getComputedStyle(e.closest("thead")).position === "absolute");
  if (document.documentElement.scrollWidth > wide) faults.push("scrolls sideways: " + document.documentElement.scrollWidth + " > " + wide);
  const texts = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let n = walk.nextNode(); n; n = walk.nextNode()) {
    const e = n.parentElement;
    if (!n.data.trim() || hidden(e) || e.closest("title, desc, style, script")) continue;
    const r = document.createRange();
    r.selectNodeContents(n);
    const name = n.data.trim().slice(0, 30);
    const home = e.closest("svg.strip") ? e.closest("section") : e.closest("svg, td, th, .kid, .card, figcaption, li, section");
    const box = home.getBoundingClientRect();
    for (const q of r.getClientRects()) {
      if (q.width < 1) continue;
      if (q.left < -0.5 || q.right > wide + 0.5) faults.push("leaves the window: " + name);
      if (q.left < box.left - 1 || q.right > box.right + 1 || (q.top + q.bottom) / 2 < box.top || (q.top + q.bottom) / 2 > box.bottom + 1)
        faults.push("leaves its " + home.tagName + ": " + name + " " + [q.left - box.left, q.right - box.right, q.top - box.top, q.bottom - box.bottom].map(Math.round));
      const trim = q.height * 0.24; // a line's box is higher than its letters
      texts.push({name, e, l: q.left + 0.5, r: q.right - 0.5, t: q.top + trim, b: q.bottom - trim});
    }
  }
  const meet = (a, b) => a.l < b.r && b.l < a.r && a.t < b.b && b.t < a.b;
  texts.sort((a, b) => a.t - b.t);
  for (let i = 0; i < texts.length; i++)
    for (let j = i + 1; j < texts.length && texts[j].t < texts[i].b; j++)
      if (meet(texts[i], texts[j])) faults.push("on top of each other: " + texts[i].name + " / " + texts[j].name);
  const solids = [...document.querySelectorAll(".spot circle, .mark, .box")].filter(e => !hidden(e));
  for (const c of solids) {
    const q = c.getBoundingClientRect(), a = {l: q.left + 1, r: q.right - 1, t: q.top + 1, b: q.bottom - 1};
    const own = c.parentElement.querySelector(".mark");
    for (const x of texts) if (x.e !== own && !c.contains(x.e) && meet(a, x)) faults.push("under a spot: " + x.name);
    for (const d of solids) if (d !== c && !d.contains(c) && !c.contains(d) && d !== own && d.parentElement !== c.parentElement) {
      const p = d.getBoundingClientRect();
      if (meet(a, {l: p.left + 1, r: p.right - 1, t: p.top + 1, b: p.bottom - 1})) faults.push("spots on each other");
    }
  }
  for (const e of document.querySelectorAll("body *")) {
    if (hidden(e) || e.closest("svg") && e.tagName !== "svg") continue;
    const css = getComputedStyle(e);
    if (css.display === "inline" || e.tagName === "THEAD") continue;
    if (css.overflowX !== "visible" && e.tagName !== "svg" && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1)) faults.push("clipped: " + e.tagName + "." + e.className);
  }
  for (const e of document.querySelectorAll("section.page")) {
    const box = e.getBoundingClientRect();
    if (paper && box.height > 257 * 96 / 25.4) faults.push("higher than a page: " + box.height);
    for (const c of e.querySelectorAll("*")) {
      if (hidden(c) || c.closest("svg") && c.tagName !== "svg") continue;
      const q = c.getBoundingClientRect();
      if (q.height && (q.bottom > box.bottom + 1 || q.right > box.right + 1 || q.left < box.left - 1)) { faults.push("leaves the page: " + c.tagName + "." + c.className + " by " + Math.round(q.bottom - box.bottom) + ", " + Math.round(q.right - box.right)); break; }
    }
  }
  return [...new Set(faults)].slice(0, 12);
}`

// The check of the layout sees what it is for.
func TestFaultsAreSeen(t *testing.T) {
	t.Parallel()
	ctx, axe := browser(t)
	ctx, end := chromedp.NewContext(ctx)
	defer end()
	for name, c := range map[string]struct{ body, want string }{
		"wide":    {`<section class="page"><p style="width:2000px">a</p></section>`, "scrolls sideways"},
		"overlap": {`<section class="page"><p style="position:absolute;top:9px;left:9px">one</p><p style="position:absolute;top:12px;left:14px">two</p></section>`, "on top of each other"},
		"clipped": {`<section class="page"><p style="width:20px;overflow:hidden;white-space:nowrap">a long text</p></section>`, "clipped"},
		"cell":    {`<section class="page"><table style="table-layout:fixed;width:40px"><tr><td style="white-space:nowrap">a long text</td><td></td></tr></table></section>`, "leaves its TD"},
		"spot":    {`<section class="page"><svg width="90" height="90"><g class="spot"><circle cx="20" cy="20" r="15"/></g><g><text x="12" y="25">7</text></g></svg></section>`, "under a spot"},
		"page":    {`<section class="page" style="height:20px"><p>one</p><p>two</p><p>three</p></section>`, "leaves the page"},
	} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "page.html")
			require.NoError(t, os.WriteFile(file, []byte(`<!DOCTYPE html><html lang="en"><title>t</title><body>`+c.body), 0o644))
			require.NoError(t, chromedp.Do(ctx, chromedp.Navigate("file://"+file)))
			require.Contains(t, strings.Join(layoutFaults(t, ctx, false), "\n"), c.want)
			if name == "page" {
				require.NotEmpty(t, violations(t, ctx, axe), "axe sees a page without a heading")
			}
		})
	}
}

// testPage is a page written by the program, with the number of printed pages that the program promised.
type testPage struct {
	name, file string
	pages      int
}

// testPages writes all pages of the demo, of a large team, of a team with names that try everything, of a game in the heat, and of one for
// which a page is not enough. The large team's are as large as those of the odd names, and come in a sweep.
func testPages(t *testing.T) []testPage {
	dir := t.TempDir()
	large, odd, many := largeTeam(t), oddTeam(t), manyTeam(t)
	hot, plan := hotGame(t)
	var out []testPage
	for _, x := range []struct {
		name string
		args []string
	}{
		{"demo-game", []string{"game", "--demo"}}, {"demo-kid", []string{"kid", "--demo"}}, {"demo-team", []string{"team", "--demo"}}, {"demo-draft", []string{"draft", "--demo"}},
		{"large-game", []string{"game", large}}, {"large-kid", []string{"kid", large}}, {"large-team", []string{"team", large}},
		{"odd-game", []string{"game", odd, "--seconds", "1"}}, {"odd-kid", []string{"kid", odd, "--kid", "1,22,333,4444,6,11," + oddID}}, {"odd-team", []string{"team", odd, "--seconds", "1"}},
		{"hot-game", []string{"game", hot, "--from", plan}}, {"many-game", []string{"game", many, "--seconds", "1"}}, {"many-team", []string{"team", many, "--seconds", "1"}},
	} {
		switch all := os.Getenv("SEVENYARD_BROWSER") == "require"; {
		case strings.HasPrefix(x.name, "large-") && !sweeping(), !strings.HasPrefix(x.name, "demo-") && !all && !sweeping():
			continue
		}
		file := filepath.Join(dir, x.name+".html")
		args := append([]string{"sheet"}, append(x.args, "--out", file, "--format", "json")...)
		var about struct{ Pages int }
		require.NoError(t, json.Unmarshal([]byte(done(t, args...)), &about))
		out = append(out, testPage{x.name, file, about.Pages})
	}
	return out
}
