package pages

import (
	"context"

	"sevenyard/cmd/internal/report"
	"sevenyard/cmd/internal/sheet"
	"sevenyard/cmd/sevenyard/internal/team"
	"sevenyard/cmd/sevenyard/internal/tty"
)

func runTeamSheet(ctx context.Context, o planOptions, sio tty.IO) error {
	g, l, err := o.lineup(ctx, sio)
	if err != nil {
		return err
	}
	page, err := sheet.TeamSheet(team.ProfileReport(g.Folder, g.Profile), l, UsedRoles(g.Folder), PageTeam(g.Folder, report.Cautions(&g.Folder.Team.Catalogue, "advice")))
	if err != nil {
		return err
	}
	kids := []string{}
	for _, k := range g.Folder.Roster {
		kids = append(kids, k.ID)
	}
	return tty.FirstError(o.put(page, &report.Sheet{Sheet: "team", Team: l.Team, Kids: kids, Warnings: l.Warnings}), tty.After(g.Stopped))
}
