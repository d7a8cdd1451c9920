package shop

// Effective returns the settings under the keys of the shop file, in its
// units, ready to be written as JSON. What is not known is nil.
func (s Shop) Effective() map[string]any {
	printers, materials := []any{}, []any{}
	for _, p := range s.Printers {
		printers = append(printers, printerTable().plain(p))
	}
	for _, m := range s.Materials {
		materials = append(materials, materialTable().plain(m))
	}
	hours := hoursTable().plain(s.Hours)
	hours["attended"] = attendedTable().plain(s.Hours.Attended)
	hours["running"] = runningTable().plain(s.Hours.Running)
	hours["start"] = startTable().plain(s.Hours.Start)
	return map[string]any{
		"printer":  printers,
		"material": materials,
		"support":  supportTable().plain(s.Support),
		"search":   searchTable().plain(s.Search),
		"hours":    hours,
		"bench":    benchTable().plain(s.Bench),
		"weights":  weightsTable().plain(s.Weights),
		"plate":    plateTable().plain(s.Plate),
		"reserve":  reserveTable().plain(s.Reserve),
		"worries":  worriesTable().plain(s.Worries),
	}
}
