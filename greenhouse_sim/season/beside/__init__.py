"""Seasons side by side: the hour once more, in stages, with a season in each lane."""
