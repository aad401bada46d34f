"""Plans: what the grower decides with many seasons."""
