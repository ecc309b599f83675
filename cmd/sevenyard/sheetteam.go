package main

import (
	"github.com/urfave/cli/v2"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/sheet"
)

func runTeamSheet(c *cli.Context, sio stdio) error {
	g, l, p, err := readPlanned(c, sio)
	if err != nil {
		return err
	}
	page, err := sheet.TeamSheet(profileReport(g.folder, g.profile), l, usedRoles(g.folder), pageTeam(g.folder, cautions(&g.folder.Team.Catalogue, "advice")))
	if err != nil {
		return err
	}
	kids := []string{}
	for _, k := range g.folder.Roster {
		kids = append(kids, k.ID)
	}
	return firstError(p.put(page, &report.Sheet{Sheet: "team", Team: l.Team, Kids: kids, Warnings: l.Warnings}), after(g.stopped))
}
