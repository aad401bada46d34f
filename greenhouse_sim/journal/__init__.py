"""The grower's journal of a winter: what was done and read, kept in a small database."""
