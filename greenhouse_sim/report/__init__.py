"""Reports: the season in a grower's words, as tables, pictures, CSV and JSON."""
