"""Collections of games and what they say: tallies, model games, plans, reach."""
