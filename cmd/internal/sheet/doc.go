// Package sheet writes the pages that people look at: one self-contained HTML file each, with its pictures (SVG) and styles in
// it, no script, nothing to fetch, for a screen, a phone, and paper (Letter or A4, upright, black and white).
//
// A page shows the numbers of a report object, rounded, and works nothing out of its own: what a page says and what the
// JSON of the same command says are the same. Beside it the page needs what a report leaves to the files: names, the
// catalogue's words, and where the spots of a formation are.
//
// Every colour goes with a letter, a sign or a shape. Texts from files go through html/template, which escapes them, and
// stand in elements of their own direction (bdi), so that a name in any writing leaves its neighbours alone. The page
// forbids itself, by its content security policy, to load or run anything.
//
// How many printed pages there are is decided here, not by the browser: what does not fit on one page goes on another, whole
// rows at a time. A page is laid out for the smaller box of Letter and A4.
package sheet
