"""The page that a grower prints and shows: every answer of the program, one section a file."""
