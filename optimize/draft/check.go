package draft

// Check lists every hard rule that the split breaks: sizes first, then in the order of the pool's rules. It goes by the pool alone and shares no code with
// the search, so that either finds the other's faults. Kids without a team break the rule of sizes.
func Check(p *Pool, s Split) []Rule {
	var broken []Rule
	count := make([]int, len(p.Teams))
	ok := len(s) == len(p.Kids)
	for _, t := range s {
		if t < 0 || t >= len(count) {
			ok = false
			continue
		}
		count[t]++
	}
	least, most := len(p.Kids), 0
	for _, c := range count {
		least, most = min(least, c), max(most, c)
	}
	if !ok || most-least > 1 {
		broken = append(broken, Rule{Kind: Sizes, Least: len(p.Kids) / len(p.Teams), Most: (len(p.Kids) + len(p.Teams) - 1) / len(p.Teams)})
	}
	if len(s) != len(p.Kids) {
		return broken
	}
	for _, family := range p.Siblings {
		for _, k := range family {
			if s[k] != s[family[0]] {
				broken = append(broken, Rule{Kind: Siblings, Kids: family})
				break
			}
		}
	}
	for _, f := range p.Fixed {
		if s[f.Kid] != f.Team {
			broken = append(broken, Rule{Kind: Settled, Kids: []int{f.Kid}, Teams: []int{f.Team}, Coach: f.Coach})
		}
	}
	for k, kid := range p.Kids {
		if kid.Teams == nil || s[k] < 0 || s[k] >= len(kid.Teams) || kid.Teams[s[k]] {
			continue
		}
		r := Rule{Kind: Nights, Kids: []int{k}}
		for t := range kid.Teams {
			if kid.Teams[t] {
				r.Teams = append(r.Teams, t)
			}
		}
		broken = append(broken, r)
	}
	for _, a := range p.Apart {
		if s[a[0]] >= 0 && s[a[0]] == s[a[1]] {
			broken = append(broken, Rule{Kind: Apart, Kids: []int{a[0], a[1]}})
		}
	}
	return append(broken, checkReturning(p, s)...)
}

// checkReturning counts, for every old team, how many of its kids each team has.
func checkReturning(p *Pool, s Split) []Rule {
	if p.MaxReturning <= 0 {
		return nil
	}
	var broken []Rule
	done := map[string]bool{"": true}
	for _, kid := range p.Kids {
		if done[kid.Returning] {
			continue
		}
		done[kid.Returning] = true
		all, over := []int{}, false
		count := make([]int, len(p.Teams))
		for l, other := range p.Kids {
			if other.Returning != kid.Returning {
				continue
			}
			all = append(all, l)
			if t := s[l]; t >= 0 && t < len(count) {
				count[t]++
				over = over || count[t] > p.MaxReturning
			}
		}
		if over {
			broken = append(broken, Rule{Kind: Returning, Kids: all, Old: kid.Returning, Most: p.MaxReturning})
		}
	}
	return broken
}
