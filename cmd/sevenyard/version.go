package main

import (
	"fmt"
	"runtime/debug"
	"strings"
)

// versionWords say which build this is, as far as the build itself tells.
func versionWords() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "sevenyard, built from source"
	}
	version := info.Main.Version
	if version == "" || version == "(devel)" {
		version = "built from source"
	}
	set := map[string]string{}
	for _, s := range info.Settings {
		set[s.Key] = s.Value
	}
	about := []string{info.GoVersion, set["GOOS"] + "/" + set["GOARCH"]}
	if commit := set["vcs.revision"]; commit != "" {
		if set["vcs.modified"] == "true" {
			commit += ", changed since"
		}
		about = append([]string{"commit " + commit}, about...)
	}
	return fmt.Sprintf("sevenyard %s (%s)", version, strings.Join(about, "; "))
}
